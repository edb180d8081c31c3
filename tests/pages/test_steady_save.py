"""Saving under bad conditions: a full disk and an interrupt end the work, not the process."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from imposer.pages.steady_save import save_steadily
from tests.pages.traps import new


def test_the_file_is_the_librarys_own(tmp_path):
    pdf = new(pages=3)
    save_steadily(pdf, tmp_path / "a.pdf", deterministic_id=True)
    pdf.save(tmp_path / "b.pdf", deterministic_id=True)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    assert len(pikepdf.Pdf.open(tmp_path / "a.pdf").pages) == 3


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device is always full here")
def test_a_full_disk(tmp_path):
    with pytest.raises(OSError, match="No space left on device"):
        save_steadily(new(), Path("/dev/full"))


@pytest.mark.skipif(sys.platform == "win32", reason="signals are a matter of other systems")
@pytest.mark.parametrize("most", [0, 500, 900])
def test_a_disk_that_fills_while_it_is_written(tmp_path, most):
    """A process that may write no more than so many bytes to a file."""
    program = (
        "import resource; from pathlib import Path\n"
        "from imposer.pages.steady_save import save_steadily; from tests.pages.traps import new\n"
        f"resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))\n"
        "try: save_steadily(new(pages=9), Path('a.pdf'))\n"
        "except OSError as error: print(error.strerror)\n"
    )
    root = str(Path(__file__).parents[2])
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": root},
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "File too large\n", "")


@pytest.mark.skipif(sys.platform == "win32", reason="signals are a matter of other systems")
def test_an_interrupt_waits_until_the_file_is_whole(tmp_path):
    pdf, came = new(pages=9), []

    def progress(percent):
        if not came:
            came.append(percent)
            signal.raise_signal(signal.SIGINT)

    # The tests may run where interrupts are ignored, as behind `nohup`.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            save_steadily(pdf, tmp_path / "a.pdf", progress=progress)
        assert came
        assert len(pikepdf.Pdf.open(tmp_path / "a.pdf").pages) == 9
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    finally:
        signal.signal(signal.SIGINT, before)
