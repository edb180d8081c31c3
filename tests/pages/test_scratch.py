"""The folder of scratch files: one a process, gone with it; others' folders are left alone."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import pytest

from imposer.pages import scratch

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="folders cannot be locked there")

HOLD = """
import sys, time
from imposer.pages.scratch import scratch_file, scratch_folder
print(scratch_folder(), flush=True)
(scratch_folder() / "page.pdf").write_bytes(b"x")
sys.stdin.read()
"""
CLEAR = "from imposer.pages.scratch import clear_litter; clear_litter()"
DRAW = """
import sys
from pathlib import Path
from imposer.geometry import Size
from imposer.limits import LIMITS
from imposer.pages.render import render_tones
from imposer.pages.scratch import scratch_folder
render_tones(Path(sys.argv[1]), 0, Size(70, 105), 72, limits=LIMITS)
(scratch_folder() / "page.pdf").write_bytes(b"x")
print(scratch_folder(), flush=True)
sys.stdin.read()
"""


def python(code, temporary, *arguments):
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, arguments)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"TMPDIR": str(temporary)},
    )


def cleared(temporary):
    running = python(CLEAR, temporary)
    running.communicate("", timeout=60)
    assert running.returncode == 0


def test_it_goes_with_its_process(tmp_path):
    running = python(HOLD, tmp_path)
    folder = running.stdout.readline().strip()
    assert [str(path) for path in tmp_path.iterdir()] == [folder]
    running.communicate("", timeout=60)
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_process_left_the_next_one_clears_but_not_what_a_live_one_holds(tmp_path):
    alive, killed = python(HOLD, tmp_path), python(HOLD, tmp_path)
    held, left = alive.stdout.readline().strip(), killed.stdout.readline().strip()
    killed.send_signal(signal.SIGKILL)
    killed.communicate(timeout=60)
    assert sorted(str(path) for path in tmp_path.iterdir()) == sorted([held, left])
    cleared(tmp_path)
    assert [str(path) for path in tmp_path.iterdir()] == [held]
    alive.communicate("", timeout=60)


def test_the_renderer_clears_up_after_a_killed_process(tmp_path):
    from tests.pages.traps import new

    temporary = tmp_path / "temporary"
    temporary.mkdir()
    new().save(tmp_path / "page.pdf")
    running = python(DRAW, temporary, tmp_path / "page.pdf")
    assert running.stdout.readline().strip()
    running.send_signal(signal.SIGKILL)
    running.communicate(timeout=60)
    for _ in range(200):
        if not any(temporary.iterdir()):
            break
        time.sleep(0.05)
    assert list(temporary.iterdir()) == []


@pytest.mark.parametrize(
    "name", ["imposer-notes", "imposer-scratch-", "imposer-scratch-moths", "imposer-scratch-12345678.bak", "other"]
)
def test_folders_of_other_names_are_nobodys_litter(tmp_path, name):
    (tmp_path / name).mkdir()
    (tmp_path / name / "mine.txt").write_text("mine", encoding="utf-8")
    cleared(tmp_path)
    assert (tmp_path / name / "mine.txt").exists()


def test_a_link_that_bears_such_a_name_is_not_followed(tmp_path):
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "mine.txt").write_text("mine", encoding="utf-8")
    (temporary / "imposer-scratch-12345678").symlink_to(tmp_path / "mine")
    cleared(temporary)
    assert (tmp_path / "mine" / "mine.txt").exists()


def test_a_folder_that_is_cleared_away_before_it_is_locked_is_made_anew(tmp_path, monkeypatch):
    made = []

    def taken(prefix):
        folder = tmp_path / f"{prefix}{len(made):08}"
        folder.mkdir()
        made.append(folder)
        if len(made) == 1:
            folder.rmdir()
        return str(folder)

    monkeypatch.setattr(scratch.tempfile, "mkdtemp", taken)
    assert scratch._made() == made[1]


def test_many_that_begin_at_once_take_nothing_from_each_other(tmp_path):
    running = [python(HOLD, tmp_path) for _ in range(6)]
    folders = {one.stdout.readline().strip() for one in running}
    assert len(folders) == 6
    assert {str(path) for path in tmp_path.iterdir()} == folders
    for one in running:
        one.communicate("", timeout=60)
    assert list(tmp_path.iterdir()) == []
