"""The commands as a person runs them: exit status, the words on both streams, what is on the disk afterwards."""

from __future__ import annotations

import json
import subprocess
import sys

import numpy as np
import pytest

from imposer.check import rules
from tests.folders import job_folder, page_tones, write_png


def imposer(*arguments, cwd=None, expect=0):
    """Run the program; return what it said. A traceback never reaches a person."""
    done = subprocess.run(
        [sys.executable, "-m", "imposer", *map(str, arguments)], cwd=cwd, capture_output=True, text=True, timeout=120
    )
    assert "Traceback" not in done.stderr
    assert done.returncode == expect, done.stderr
    return done


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = job_folder(tmp_path_factory.mktemp("jobs") / "job", pages=7)
    return folder, imposer("build", folder)


def test_build_ends_with_the_few_lines_a_person_wants(built):
    folder, done = built
    assert done.stderr == ""
    lines = done.stdout.splitlines()
    assert lines[0] == "Small <b>job</b> & co"
    assert any(line.split()[:4] == ["booklet", "8", "pages,", "1"] for line in lines)
    assert any(line.split()[0] == "masters" for line in lines)
    assert any(str(folder / "out") in line for line in lines)


def test_quiet_says_nothing(built):
    folder, _ = built
    done = imposer("build", folder, "--quiet")
    assert done.stdout == done.stderr == ""


def test_check_tells_findings_and_writes_nothing(tmp_path):
    folder = job_folder(tmp_path / "job", pages=7, second=False)
    done = imposer("check", folder)
    assert "7 pages fill 8: page 8 is blank, at the end" in done.stdout
    assert not (folder / "out").exists()


def test_check_json_has_the_shape_of_the_contract(built):
    facts = json.loads(imposer("check", built[0], "--json").stdout)
    assert set(facts) == {"findings", "rules"}
    keys = {"rule", "level", "page", "ink", "sheet", "side", "box", "measured", "limit", "message", "mend", "accepted"}
    assert all(set(finding) == keys for finding in facts["findings"])
    assert [rule["rule"] for rule in facts["rules"]] == [rule.name for rule in rules()]
    assert {r["rule"]: r["found"] for r in facts["rules"]}["page-count"] == 1


def test_plan_json_is_the_plan_file(built):
    folder, _ = built
    assert imposer("plan", folder, "--json").stdout == (folder / "out" / "plan.json").read_text(encoding="utf-8")


def test_plan_shows_sheets_passes_and_sums(built):
    shown = imposer("plan", built[0]).stdout
    assert "masters/pass-1-front-drum-2-marigold.pdf" in shown
    assert "25 copies ÷ 2 copies a set of sheets = 13 good of each press sheet" in shown


def test_plan_pages_shows_the_file_in_each_cell(built):
    lines = imposer("plan", built[0], "--pages").stdout.splitlines()
    assert lines[0].split() == ["page", "lamp", "black", "marigold"]
    assert lines[1].split() == ["1", "black/1.png", "marigold.pdf,", "page", "1"]
    assert lines[8].split() == ["8", "blank", "blank"]


def test_a_job_is_named_by_its_folder_its_file_or_the_place_one_stands_in(built):
    folder, _ = built
    here = imposer("plan", cwd=folder).stdout
    assert here == imposer("plan", folder / "job.toml").stdout == imposer("plan", folder).stdout


def test_a_new_job_builds_as_it_comes(tmp_path):
    names = [line.split()[0] for line in imposer("new", "--list").stdout.splitlines()]
    assert len(names) >= 4
    imposer("new", tmp_path / "job", "--template", names[0])
    imposer("build", tmp_path / "job")
    assert (tmp_path / "job" / "out" / "guide.pdf").exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("build", "nowhere"), "nowhere: "),
        (("new", "here", "--template", "a5-on-a2"), 'did you mean "a5-on-a3"?'),
        (("frobnicate",), "No such command"),
        (("count", "0"), "Invalid value"),
    ],
)
def test_what_cannot_be_used_is_one_plain_line_and_exit_2(arguments, says, tmp_path):
    done = imposer(*arguments, cwd=tmp_path, expect=2)
    assert says in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_every_fault_of_a_job_is_a_line_of_its_own(tmp_path):
    folder = job_folder(tmp_path / "job")
    job = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(
        job.replace("copies = 25", "copies = 0\ncolour = 1").replace('name = "marigold"', 'name = "marigolt"'),
        encoding="utf-8",
    )
    lines = imposer("build", folder, expect=2).stderr.splitlines()
    assert len(lines) == 3
    assert any("copies" in line for line in lines)
    assert any("ink[2].name" in line and 'did you mean "marigold"?' in line for line in lines)


def test_somebody_elses_folder_and_a_file_are_left_alone(built, tmp_path):
    folder, _ = built
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    (theirs / "letter.txt").write_text("mine", encoding="utf-8")
    assert "theirs" in imposer("build", folder, "-o", theirs, expect=2).stderr
    assert "letter.txt" in imposer("build", folder, "-o", theirs / "letter.txt", expect=2).stderr
    assert [(p.name, p.read_text(encoding="utf-8")) for p in theirs.iterdir()] == [("letter.txt", "mine")]


def test_an_interrupt_in_code_made_from_text_leaves_with_two_as_any_other(tmp_path):
    """CPython 3.11 would end `python -m` by signal for it, though the program had met the interrupt."""
    (tmp_path / "interrupted.py").write_text(
        "import imposer.cli as cli\n"
        "def main(**_): exec('raise KeyboardInterrupt')\n"
        "cli.imposer.main = main\n"
        "cli.main()\n",
        encoding="utf-8",
    )
    done = subprocess.run([sys.executable, "-m", "interrupted"], cwd=tmp_path, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (2, "stopped; nothing was changed\n")


def test_a_closed_pipe_is_no_fault(built):
    done = subprocess.run(
        f"{sys.executable} -m imposer plan {built[0]} --json | head -1", shell=True, capture_output=True, text=True
    )
    assert done.stdout == "{\n"
    assert "Traceback" not in done.stderr


def test_help_imports_no_heavy_library():
    code = (
        "import sys; sys.argv = ['imposer', '--help']\n"
        "from imposer.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'PIL', 'pikepdf', 'pypdf', 'pypdfium2', 'reportlab'} & set(sys.modules)\n"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "build" in done.stdout


def test_a_layer_in_colour_is_a_warning_that_names_the_page(tmp_path):
    folder = job_folder(tmp_path / "job", pages=4, second=False)
    tones = page_tones(2)
    yellow = np.stack([np.full_like(tones, 250), np.full_like(tones, 200), tones], axis=2)
    write_png(folder / "black" / "2.png", yellow)
    said = imposer("check", folder).stdout
    assert "warning  page 2, lamp black: " in said
