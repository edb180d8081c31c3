"""A job checked, then something sent anew: the next check says which pages are others, once."""

from __future__ import annotations

import json
import os

import pytest
from PIL import Image

from imposer import build, prepare
from imposer.approval.last_check import check_file
from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from imposer.main_job import remember_check
from tests.folders import job_folder, page_tones, write_png, write_vector_pdf


@pytest.fixture
def job(tmp_path):
    """Four pages in two inks, checked."""
    folder = job_folder(tmp_path / "job", pages=4, ppi=100)
    remember_check(prepare(folder))
    return folder


def _said(job):
    return [finding for finding in prepare(job).findings if finding.rule == "changed-since-check"]


def _changed(job, page=3):
    tones = page_tones(page, ppi=100)
    tones[40, 40] ^= 1
    write_png(job / "black" / f"{page}.png", tones, 100)


def test_one_pixel_names_its_page_and_its_ink_once(job, capsys):
    _changed(job)
    for expected in (1, 0):
        command_line.main(["check", str(job), "--json"], standalone_mode=False)
        told = json.loads(capsys.readouterr().out)
        found = [f for f in told["findings"] if f["rule"] == "changed-since-check"]
        assert [(f["page"], f["ink"], f["level"]) for f in found] == [(3, "lamp black", "note")] * expected
        assert next(r["found"] for r in told["rules"] if r["rule"] == "changed-since-check") == expected


def test_a_build_tells_it_too_and_is_the_same_however_often(job):
    _changed(job)
    assert "changed-since-check" in [finding.rule for finding in build(job).prepared.findings]
    first = (job / "out" / "plan.json").read_bytes()
    build(job)
    assert (job / "out" / "plan.json").read_bytes() == first
    assert b"changed-since-check" in first


def test_what_cannot_be_used_at_all_was_no_check(job, capsys):
    _changed(job, page=1)
    write_png(job / "black" / "2.png", page_tones(2, ppi=100)[:-9], 100)
    with pytest.raises(ImposerError):
        command_line.main(["check", str(job)], standalone_mode=False)
    write_png(job / "black" / "2.png", page_tones(2, ppi=100), 100)
    assert [finding.page for finding in _said(job)] == [1]
    capsys.readouterr()


def test_a_date_another_packing_or_another_place_is_no_change(job, tmp_path):
    os.utime(job / "black" / "1.png", (1_000_000_000, 1_000_000_000))
    with Image.open(job / "black" / "2.png") as image:
        image.load()
        image.save(job / "black" / "2.png", dpi=(100, 100), compress_level=0)
    (job / "black" / "3.png").rename(job / "black" / "page 3.png")
    job.rename(tmp_path / "elsewhere")
    assert _said(tmp_path / "elsewhere") == []


def test_pages_that_came_and_went_and_settings_are_named(job):
    write_vector_pdf(job / "marigold.pdf", [1, None, 3, 4])
    text = (job / "job.toml").read_text(encoding="utf-8")
    (job / "job.toml").write_text(text.replace("copies = 25", "copies = 30"), encoding="utf-8")
    assert [(f.page, f.message) for f in _said(job)] == [
        (None, "copies have changed: 30, at the last check 25"),
        (2, "its art is gone since the last check"),
        (3, "its art is new since the last check"),
    ]


def test_two_jobs_in_one_folder_have_a_check_each(job):
    other = job / "other.toml"
    other.write_text((job / "job.toml").read_text(encoding="utf-8").replace("copies = 25", "copies = 99"), "utf-8")
    assert not [finding for finding in prepare(other).findings if finding.rule == "changed-since-check"]
    remember_check(prepare(other))
    assert _said(job) == []


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"format": "imposer-check"}', "nonsense", "[" * 100_000, "\0"])
def test_a_record_that_cannot_be_read_is_as_good_as_none(text, job):
    check_file(job / "job.toml").write_text(text, encoding="utf-8")
    _changed(job)
    assert _said(job) == []
    remember_check(prepare(job))
    _changed(job, page=1)
    assert [finding.page for finding in _said(job)] == [1]


def test_a_folder_that_cannot_be_written_is_checked_all_the_same(job, capsys):
    check_file(job / "job.toml").unlink()
    # A folder in the record's place stands for one that may not be written: the superuser may write any.
    check_file(job / "job.toml").mkdir()
    assert command_line.main(["check", str(job)], standalone_mode=False) in (0, None)
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "cannot be written, so the next check cannot tell what changed" in told
