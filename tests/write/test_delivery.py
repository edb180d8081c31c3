"""Delivery held to its promise: the old output or the new one, whatever happens, and nothing of ours lying about."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from imposer.errors import ImposerError
from imposer.interrupts import raise_interrupts
from imposer.write import delivery
from imposer.write.delivery import delivered

ROOT = Path(__file__).parents[2]
FILES = 8


def output(folder, word):
    """Write an output: a plan, and many files that all hold the same word."""
    (folder / "masters").mkdir()
    (folder / "plan.json").write_text(json.dumps({"format": "imposer-plan", "word": word}), encoding="utf-8")
    for number in range(FILES):
        (folder / "masters" / f"{number}.pdf").write_text(word, encoding="utf-8")


def words(folder):
    """The words that an output holds; one, if it is whole and no mixture."""
    files = sorted((folder / "masters").iterdir())
    assert len(files) == FILES
    return {json.loads((folder / "plan.json").read_bytes())["word"], *(file.read_text() for file in files)}


@pytest.fixture
def old(tmp_path):
    """A folder with an old output in it."""
    with delivered(tmp_path / "job" / "out") as folder:
        output(folder, "old")
    return tmp_path / "job" / "out"


def left_beside(target):
    return sorted(p.name for p in target.parent.iterdir() if p != target)


def script(target, body):
    """A process that delivers to `target` and runs `body` inside."""
    code = (
        "import os, sys, time\nfrom pathlib import Path\nfrom imposer.write import delivery\n"
        "from imposer.write.delivery import delivered\nfrom tests.write.test_delivery import output\n"
        f"target = Path({str(target)!r})\n{body}"
    )
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=env)


# --- when all goes well ---------------------------------------------------------------------------------------------


def test_a_new_output_appears_as_a_whole_at_the_end(tmp_path):
    target = tmp_path / "somewhere" / "new" / "out"
    with delivered(target) as folder:
        output(folder, "new")
        assert not target.exists()
        assert folder.parent == target.parent
        assert folder.name.startswith(".")
    assert words(target) == {"new"}
    assert left_beside(target) == []


def test_an_old_output_is_replaced_as_a_whole(old):
    (old / "masters" / "left over.pdf").write_bytes(b"")
    with delivered(old) as folder:
        assert list(folder.iterdir()) == []
        output(folder, "new")
        assert (old / "masters" / "left over.pdf").exists()
    assert words(old) == {"new"}
    assert left_beside(old) == []


def test_an_empty_folder_is_taken(tmp_path):
    target = tmp_path / "out"
    target.mkdir()
    with delivered(target) as folder:
        output(folder, "new")
    assert words(target) == {"new"}


def test_a_link_stays_a_link(old, tmp_path):
    link = tmp_path / "link"
    link.symlink_to(old)
    with delivered(link) as folder:
        output(folder, "new")
    assert link.is_symlink()
    assert words(old) == words(link) == {"new"}


def test_a_target_named_from_where_one_stands(old, monkeypatch):
    monkeypatch.chdir(old.parent)
    with delivered(Path("out")) as folder:
        output(folder, "new")
    assert words(old) == {"new"}


def test_two_renames_do_where_names_cannot_be_swapped(old, monkeypatch):
    monkeypatch.setattr(delivery, "_swap", lambda new, target: False)
    with delivered(old) as folder:
        output(folder, "new")
    assert words(old) == {"new"}
    assert left_beside(old) == []


def test_others_may_read_what_is_delivered(tmp_path):
    """Rights are those of any new folder here, not those of a private temporary one."""
    (tmp_path / "plain").mkdir()
    with delivered(tmp_path / "out") as folder:
        output(folder, "new")
    assert (tmp_path / "out").stat().st_mode == (tmp_path / "plain").stat().st_mode


# --- what is refused ------------------------------------------------------------------------------------------------


def test_a_file_is_not_replaced(tmp_path):
    target = tmp_path / "out"
    target.write_bytes(b"mine")
    with pytest.raises(ImposerError, match=r"out: is a file, not a folder; name another output folder with -o$"):
        enter(target)
    assert target.read_bytes() == b"mine"


@pytest.mark.parametrize(
    "plan", [None, "", "{", "[]", "null", '{"format": "something else"}', "[" * 100_000, "\udcff"], ids=range(8)
)
def test_somebody_elses_folder_is_not_replaced(tmp_path, plan):
    target = tmp_path / "out"
    target.mkdir()
    (target / "letters.txt").write_bytes(b"mine")
    if plan is not None:
        (target / "plan.json").write_bytes(os.fsencode(plan))
    with pytest.raises(ImposerError, match=r"out: holds files, but no plan.json of this program"):
        enter(target)
    assert (target / "letters.txt").read_bytes() == b"mine"
    assert left_beside(target) == []


def test_an_output_that_holds_the_job_itself_is_not_replaced(old):
    (old / "zine").mkdir()
    (old / "zine" / "job.toml").write_bytes(b"")
    with pytest.raises(ImposerError, match=r"out: holds job.toml, which belongs to the job and would be replaced"):
        enter(old, [old / "zine" / "job.toml"])
    assert words(old) == {"old"}


def test_a_parent_that_is_a_file_is_a_plain_fault(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(ImposerError, match=r"cannot be written \((Not a directory|File exists)"):
        enter(tmp_path / "file" / "out")


def enter(target, sources=()):
    with delivered(target, sources) as folder:
        output(folder, "new")


@pytest.mark.parametrize(("number", "words_of_it"), [(13, "Permission denied"), (30, "Read-only file system")])
def test_a_place_that_may_not_be_written_is_a_plain_fault(old, monkeypatch, number, words_of_it):
    def refused(path, *_, **__):
        raise OSError(number, os.strerror(number), str(path))

    monkeypatch.setattr(os, "open", refused)
    with pytest.raises(
        ImposerError, match=rf"out: cannot be written \({words_of_it}: .*\); make room, check its rights"
    ):
        enter(old)
    monkeypatch.undo()
    assert words(old) == {"old"}
    assert left_beside(old) == []


def test_a_name_too_long_for_the_disk_is_a_plain_fault(tmp_path):
    with pytest.raises(ImposerError, match=r"cannot be written \(File name too long"):
        enter(tmp_path / ("o" * 250))
    assert list(tmp_path.iterdir()) == []


# --- when something goes wrong --------------------------------------------------------------------------------------


@pytest.mark.parametrize("error", [KeyboardInterrupt, ZeroDivisionError, SystemExit, MemoryError])
def test_whatever_ends_the_work_leaves_the_old_output_and_nothing_else(old, error):
    def work():
        with delivered(old) as folder:
            (folder / "masters").mkdir()
            raise error

    with pytest.raises(error):
        work()
    assert words(old) == {"old"}
    assert left_beside(old) == []


def test_a_failure_before_anything_was_there_leaves_nothing(tmp_path):
    with pytest.raises(KeyboardInterrupt), delivered(tmp_path / "deep" / "down" / "out"):
        raise KeyboardInterrupt
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("step", ["_sync_files", "_swap", "_sync_folder"])
@pytest.mark.parametrize("swap", [True, False])
def test_an_interrupt_at_any_step_leaves_one_of_the_two(old, monkeypatch, step, swap):
    def interrupt(*_):
        raise KeyboardInterrupt

    if not swap:
        monkeypatch.setattr(delivery, "_swap", lambda new, target: False)
    monkeypatch.setattr(delivery, step, interrupt)
    with pytest.raises(KeyboardInterrupt), delivered(old) as folder:
        output(folder, "new")
    assert words(old) in ({"old"}, {"new"})
    assert left_beside(old) == []


@pytest.mark.parametrize("failing", [1, 2])
def test_an_interrupt_between_two_renames_brings_the_old_output_back(old, monkeypatch, failing):
    rename, calls = Path.rename, []

    def renamed(self, target):
        calls.append(self)
        if len(calls) == failing:
            raise KeyboardInterrupt
        return rename(self, target)

    monkeypatch.setattr(delivery, "_swap", lambda new, target: False)
    monkeypatch.setattr(Path, "rename", renamed)
    with pytest.raises(KeyboardInterrupt), delivered(old) as folder:
        output(folder, "new")
    assert words(old) == {"old"}
    assert left_beside(old) == []


def test_a_full_disk_is_a_plain_fault(old):
    """A limit on the size of files stands in for a disk without room: the system says so with another word."""
    body = (
        "import resource, signal\nsignal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\nfrom imposer.errors import ImposerError\n"
        "try:\n  with delivered(target) as folder:\n    (folder / 'big').write_bytes(b'x' * 100_000)\n"
        "except ImposerError as error:\n  print(error)\n"
    )
    told, errors = script(old, body).communicate(timeout=60)
    assert errors == b""
    assert told.decode().startswith(f"{old}: cannot be written (File too large")
    assert words(old) == {"old"}
    assert left_beside(old) == []


# --- killed ---------------------------------------------------------------------------------------------------------


def test_killed_at_any_moment_the_target_is_the_old_or_the_new(old):
    """Runs that deliver one output after the other are killed without warning, at ever other moments.

    With two names swapped in one step there is no moment without an output; what is left behind, the next run clears.
    """
    body = (
        "n = 0\nwhile True:\n  n += 1\n  with delivered(target) as folder:\n    output(folder, str(n))\n"
        "  print(n, flush=True)\n"
    )
    for moment in range(8):
        run = script(old, body)
        assert run.stdout.readline() == b"1\n"
        time.sleep(0.003 * moment)
        run.send_signal(signal.SIGKILL)
        run.communicate()
        assert len(words(old)) == 1
    with delivered(old) as folder:
        output(folder, "last")
    assert words(old) == {"last"}
    assert left_beside(old) == []


@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("step", ["_clear_litter", "_sync_files", "_swap", "_exchange"])
def test_killed_at_a_step_the_target_is_the_old_or_the_new(old, step, when):
    body = (
        f"step = delivery.{step}\n"
        "def killed(*given):\n"
        f"  {'step(*given)' if when == 'after' else 'pass'}\n  os.kill(os.getpid(), 9)\n"
        f"delivery.{step} = killed\nwith delivered(target) as folder:\n  output(folder, 'new')\n"
    )
    run = script(old, body)
    run.communicate(timeout=60)
    assert run.returncode == -signal.SIGKILL
    if (step, when) == ("_swap", "after"):
        # Not every file system can swap two names; where one cannot, the old output is still in place.
        assert words(old) in ({"old"}, {"new"})
    else:
        assert words(old) == ({"new"} if (step, when) == ("_exchange", "after") else {"old"})
    enter(old)
    assert left_beside(old) == []


@pytest.mark.parametrize("after", [1, 2])
def test_killed_between_two_renames_the_next_run_brings_the_old_output_back(old, after):
    """Where names cannot be swapped: after the first rename the target is gone, after the second it is the new one."""
    body = (
        "delivery._swap = lambda new, target: False\nrename, calls = Path.rename, []\n"
        "def renamed(self, to):\n  rename(self, to)\n  calls.append(to)\n"
        f"  if len(calls) == {after}: os.kill(os.getpid(), 9)\nPath.rename = renamed\n"
        "with delivered(target) as folder:\n  output(folder, 'new')\n"
    )
    script(old, body).communicate(timeout=60)
    assert old.exists() == (after == 2)
    with pytest.raises(KeyboardInterrupt), delivered(old):
        raise KeyboardInterrupt
    assert words(old) == ({"old"} if after == 1 else {"new"})
    assert left_beside(old) == []


# --- two at a time --------------------------------------------------------------------------------------------------


def test_a_second_run_at_the_same_time_is_refused_and_harms_nothing(old):
    with delivered(old) as folder:
        run = script(
            old,
            "from imposer.errors import ImposerError\ntry:\n  delivered(target).__enter__()\n"
            "except ImposerError as error:\n  print(error)\n",
        )
        told, _ = run.communicate(timeout=60)
        assert told.decode() == f"{old}: is being written by another run at this moment; let that one end first\n"
        output(folder, "new")
    assert words(old) == {"new"}
    assert left_beside(old) == []


def test_a_second_delivery_in_the_same_process_is_refused_as_well(old):
    with delivered(old) as folder:
        with pytest.raises(ImposerError, match="is being written by another run"):
            enter(old)
        output(folder, "new")
    assert words(old) == {"new"}


def test_many_runs_at_once_end_in_one_whole_output(old):
    body = (
        "from imposer.errors import ImposerError\ndone = 0\nfor n in range(12):\n"
        "  try:\n    with delivered(target) as folder:\n      output(folder, f'{os.getpid()}-{n}')\n    done += 1\n"
        "  except ImposerError as error:\n    assert 'another run' in str(error), error\n    time.sleep(0.002)\n"
        "print(done)\n"
    )
    runs = [script(old, body) for _ in range(3)]
    results = [run.communicate(timeout=120) for run in runs]
    assert [errors for _, errors in results] == [b"", b"", b""]
    assert sum(int(done) for done, _ in results) >= 3
    assert len(words(old)) == 1
    assert left_beside(old) == []


def test_two_targets_side_by_side_do_not_meet(tmp_path):
    with delivered(tmp_path / "one") as one, delivered(tmp_path / "two") as two:
        output(one, "1")
        output(two, "2")
    assert (words(tmp_path / "one"), words(tmp_path / "two")) == ({"1"}, {"2"})


def test_an_interrupt_after_the_new_output_is_in_place_comes_too_late(tmp_path):
    """Else the program would say that nothing was changed, between the exchange and its last line."""
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}
    hook = sys.unraisablehook
    try:
        signal.signal(signal.SIGTERM, signal.SIG_DFL)
        raise_interrupts()
        with pytest.raises(KeyboardInterrupt), delivered(tmp_path / "out"):
            signal.raise_signal(signal.SIGTERM)
        assert not (tmp_path / "out").exists()
        with delivered(tmp_path / "out") as aside:
            (aside / "plan.json").write_text('{"format": "imposer-plan"}', encoding="utf-8")
        signal.raise_signal(signal.SIGTERM)
        assert (tmp_path / "out" / "plan.json").is_file()
    finally:
        sys.unraisablehook = hook
        for number, handler in before.items():
            signal.signal(number, handler)
