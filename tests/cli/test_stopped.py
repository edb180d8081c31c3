"""Builds stopped at random moments: the old output or the new one, one plain line, and nothing left lying about."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from random import Random

import pytest

from tests.folders import TRIM, job_folder, page_tones, write_png
from tests.pages.traps import new

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals are a matter of other systems")

#: Moments at which each signal is sent, spread over a build by chance that is the same every time.
MOMENTS = 3


def contents(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def started(folder, temporary, *more):
    return subprocess.Popen(
        [sys.executable, "-m", "imposer", "build", str(folder), *map(str, more)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=os.environ | {"TMPDIR": str(temporary)},
        start_new_session=True,
    )


def built(folder, temporary, *more):
    running = started(folder, temporary, "-q", *more)
    said = running.communicate(timeout=120)
    assert (running.returncode, said) == (0, (b"", b""))


def hidden(folder):
    return [path.name for path in folder.iterdir() if path.name.startswith(".")]


@pytest.fixture(scope="module")
def outputs(tmp_path_factory):
    """A job that was built, then changed; what its output was and what it will be; and how long a build takes."""
    root = tmp_path_factory.mktemp("stopped")
    temporary = root / "temporary"
    temporary.mkdir()
    folder = job_folder(root / "job", pages=4)
    # In colours and with a layer of its own, so that pages are put aside for the renderer.
    pdf = new(b"1 0 0 rg 20 20 60 12 re f 0 0 1 rg 20 60 40 12 re f", pages=4)
    for page in pdf.pages:
        page.MediaBox = [0, 0, *(side * 72 / 25.4 for side in TRIM)]
    pdf.save(folder / "marigold.pdf")
    built(folder, temporary)
    old = contents(folder / "out")
    for page in range(1, 5):
        write_png(folder / "black" / f"{page}.png", page_tones(page, salt=99))
    begun = time.monotonic()
    built(folder, temporary, "-o", root / "new")
    took = time.monotonic() - begun
    assert list(temporary.iterdir()) == []
    return folder, temporary, old, contents(root / "new"), took


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_the_output_is_the_old_one_or_the_new_one_and_nothing_is_left(how, outputs):
    folder, temporary, old, new, took = outputs
    # A test before this one may have left the new output in place.
    assert contents(folder / "out") in (old, new)
    old = contents(folder / "out")
    random = Random(how)
    for _ in range(MOMENTS):
        running = started(folder, temporary)
        time.sleep(random.uniform(0, 1.1 * took))
        running.send_signal(how)
        out, said = running.communicate(timeout=120)
        after = contents(folder / "out")
        assert after in (old, new)
        if how == signal.SIGKILL:
            # What is left now is gone after the next run, below.
            continue
        if running.returncode == 0:
            # The signal came when everything was done, or too late to be heard.
            assert after == new
        elif running.returncode == 2:
            assert (out, said.decode()) == (b"", "stopped; nothing was changed\n")
            assert after == old or old == new
        else:
            # Before the program's first line runs, the interpreter answers for itself.
            assert running.returncode in (-how, 1)
            assert b"imposer" not in said
            assert after == old or old == new
        assert hidden(folder) == []
        assert list(temporary.iterdir()) == []
        if after == new:
            old = new
    built(folder, temporary)
    assert contents(folder / "out") == new
    assert hidden(folder) == []
    assert list(temporary.iterdir()) == []


def test_killed_with_its_renderer_its_litter_is_gone_at_the_next_run(outputs):
    """The worst case: everything of the program is killed at once, so nobody is left to clear up."""
    folder, temporary, _, new, took = outputs
    random = Random(9)
    for _ in range(MOMENTS):
        running = started(folder, temporary)
        time.sleep(random.uniform(0.3, 1.0) * took)
        os.killpg(running.pid, signal.SIGKILL)
        running.communicate(timeout=120)
    built(folder, temporary)
    assert contents(folder / "out") == new
    assert hidden(folder) == []
    assert list(temporary.iterdir()) == []
