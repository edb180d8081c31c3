"""A proof approved, then something changed: the program says what, down to the page and the ink."""

from __future__ import annotations

import json
import os
import shutil

import pytest

from imposer import build, prepare
from imposer.approval.digests import digests_of, same_code
from imposer.approval.record import approval_file, read_approval
from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from imposer.job.templates import templates_folder
from tests.folders import job_folder, page_tones, write_png, write_vector_pdf


@pytest.fixture
def job(tmp_path):
    return job_folder(tmp_path / "job", pages=4, ppi=100)


def _approve(job, code=None, by="Ana Prado"):
    code = code or digests_of(prepare(job)).code
    command_line.main(["approve", str(job), code, "--by", by, "-q"], standalone_mode=False)
    return code


def _said(job):
    return [finding for finding in prepare(job).findings if finding.rule == "approval"]


def test_a_code_is_short_readable_and_one_for_one_job(job):
    code = digests_of(prepare(job)).code
    assert len(code) == 14
    assert code == digests_of(prepare(job)).code
    assert same_code(code.lower().replace("-", " "), code)


def test_nothing_changed_nothing_said(job):
    _approve(job)
    assert _said(job) == []
    page = job / "black" / "2.png"
    os.utime(page, (1_000_000_000, 1_000_000_000))
    shutil.copyfile(page, job / "aside.png")
    (job / "aside.png").replace(page)
    assert _said(job) == []


def test_the_same_picture_in_another_packing_is_the_same(job):
    _approve(job)
    from PIL import Image

    with Image.open(job / "black" / "2.png") as image:
        image.load()
        image.save(job / "black" / "2.png", dpi=(100, 100), compress_level=0)
    assert _said(job) == []


def test_one_pixel_names_its_page_and_its_ink(job):
    _approve(job)
    tones = page_tones(3, ppi=100)
    tones[40, 40] ^= 1
    write_png(job / "black" / "3.png", tones, 100)
    (found,) = _said(job)
    assert (found.page, found.ink, found.level) == (3, "lamp black", "warning")
    assert "has changed since Ana Prado approved the proof on 20" in found.message


def test_a_page_of_a_pdf_that_changed_is_named(job):
    _approve(job)
    write_vector_pdf(job / "marigold.pdf", [1, 7, None, 4])
    (found,) = _said(job)
    assert (found.page, found.ink) == (2, "marigold")


def test_a_page_that_came_and_one_that_went_are_named(job):
    _approve(job)
    write_vector_pdf(job / "marigold.pdf", [1, None, 3, 4])
    assert [(f.page, f.message.split(" since")[0]) for f in _said(job)] == [
        (2, "its art is gone"), (3, "its art is new"),
    ]  # fmt: skip


def test_a_setting_that_prints_is_named_with_what_it_was(job):
    _approve(job)
    text = (job / "job.toml").read_text(encoding="utf-8")
    (job / "job.toml").write_text(text.replace("copies = 25", "copies = 30"), encoding="utf-8")
    (found,) = _said(job)
    assert found.message.startswith("copies have changed: 30, approved with 25 by Ana Prado on 20")


def test_a_shop_may_cut_no_master_without_approval(job):
    shop = (templates_folder() / "shop.toml").read_text(encoding="utf-8")
    (job / "shop.toml").write_text(shop.replace("required = false", "required = true"), encoding="utf-8")
    text = (job / "job.toml").read_text(encoding="utf-8")
    (job / "job.toml").write_text(text.replace("copies = 25", 'copies = 25\nshop = "shop.toml"'), encoding="utf-8")
    assert build(job).folder is None
    assert "nobody has approved the proof" in _said(job)[0].message
    _approve(job)
    assert build(job).folder == job / "out"
    write_png(job / "black" / "1.png", page_tones(1, ppi=100, salt=5), 100)
    built = build(job, job / "other")
    assert built.folder is None
    assert [finding.page for finding in built.prepared.errors] == [1]


def test_another_code_is_refused_and_nothing_kept(job):
    with pytest.raises(ImposerError, match="is not the code of the job as it is now"):
        _approve(job, "0000-0000-0000")
    assert not approval_file(job).exists()


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"format": "imposer-approval"}', "nonsense", "[" * 100_000, '{"format": 1, "version": 1}']
)
def test_a_record_that_cannot_be_read_is_refused_in_a_line(text, job):
    approval_file(job).write_text(text, encoding="utf-8")
    with pytest.raises(ImposerError, match="is no approval that can be read"):
        prepare(job)


def test_the_record_says_who_when_and_what(job):
    code = _approve(job, by="Ana <b>Prado</b>")
    data = json.loads(approval_file(job).read_text(encoding="utf-8"))
    assert (data["code"], data["by"], data["format"]) == (code, "Ana <b>Prado</b>", "imposer-approval")
    assert read_approval(job).digests == digests_of(prepare(job))
