"""What was asked: a job.toml, resolved against its shop."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.job import load_job, load_shop
from imposer.job.model import MARK_KINDS, BindingSpec, JobInk, PageSpec, SheetSpec
from tests.job.files import JOB, SHOP, SMALL_JOB, changed, faults_of, written

LARGEST = "the machine's largest sheet, 297 × 420 mm"


def job_of(folder, *changes, job=JOB, shop=SHOP):
    return load_job(written(folder, changed(job, *changes), shop))


def faults(folder, *changes, job=JOB, shop=SHOP):
    return faults_of(folder, lambda: job_of(folder, *changes, job=job, shop=shop))


# ---------------------------------------------------------------- what is read


def test_the_job_of_the_contract_is_read_whole(tmp_path):
    job = job_of(tmp_path)
    shop = load_shop(tmp_path / "shop.toml")
    paper = shop.papers[0]
    assert job.file == tmp_path / "job.toml"
    assert job.folder == tmp_path
    assert (job.title, job.copies) == ("Moth Hours", 120)
    assert job.page == PageSpec(trim=Size(105, 148), bleed=0, fit="exact")
    assert job.binding == BindingSpec(style="saddle", pieces_per_signature=None, reading="left-to-right", creep="flat")
    assert job.sheet == SheetSpec(paper=paper, stocks=(paper.stocks[0],), turn="turn", pieces=2)
    assert job.marks == set(MARK_KINDS) - {"tone"}
    assert job.inks == (
        JobInk(ink=shop.inks[0], pages=("black/*.png",)),
        JobInk(ink=shop.inks[1], pages=("marigold.pdf",)),
    )
    assert job.shop == shop


def test_a_job_is_its_file_or_the_folder_that_holds_it(tmp_path, monkeypatch):
    written(tmp_path)
    assert load_job(tmp_path) == load_job(tmp_path / "job.toml") == load_job(str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert load_job("job.toml").file == load_job("").file == Path("job.toml")


def test_a_job_may_have_any_file_name(tmp_path):
    written(tmp_path)
    (tmp_path / "job.toml").rename(tmp_path / "moths.toml")
    assert load_job(tmp_path / "moths.toml").title == "Moth Hours"


def test_what_is_left_out_has_its_default(tmp_path):
    job = job_of(tmp_path, job=SMALL_JOB, shop=None)
    assert job.shop == load_shop()
    assert job.page == PageSpec(trim=Size(105, 148))
    assert job.binding == BindingSpec()
    assert job.marks == set(MARK_KINDS)
    assert job.sheet == SheetSpec(paper=job.shop.papers[0], stocks=job.shop.papers[0].stocks)
    assert job.ink_names == ("lamp black",)


def test_the_contracts_job_is_valid_with_the_example_shop(tmp_path):
    job = job_of(tmp_path, ('shop   = "shop.toml"\n', ""), shop=None)
    assert job.ink_names == ("lamp black", "marigold")
    assert job.sheet.paper.name == "cream 90"
    for other in ("black", "k", "K", "Lamp Black"):
        changes = [('shop   = "shop.toml"\n', ""), ('"lamp black"', f'"{other}"')]
        assert job_of(tmp_path, *changes, shop=None).ink_names == ("lamp black", "marigold")


def test_trim_keeps_the_direction_it_was_given(tmp_path):
    for trim, size in [
        ('"A5 landscape"', Size(210, 148)),
        ("[200, 140]", Size(200, 140)),
        ('"5.5 x 8.5 in"', Size(139.7, 215.9)),
        ('"half letter"', Size(139.7, 215.9)),
    ]:
        assert job_of(tmp_path, ('"A6"', trim)).page.trim == size


def test_lengths_state_their_unit(tmp_path):
    assert job_of(tmp_path, ("bleed = 0", 'bleed = "0.125 in"')).page.bleed == 3.175


def test_gathered_pieces_nest_singly_unless_the_job_says_how_many(tmp_path):
    gathered = ('style = "saddle"', 'style = "gathered"')
    assert job_of(tmp_path, gathered).binding.pieces_per_signature == 1
    nested = ('style = "saddle"', 'style = "gathered"\npieces_per_signature = 4')
    assert job_of(tmp_path, nested).binding.pieces_per_signature == 4


def test_creep_is_a_model_or_the_total_for_the_booklet(tmp_path):
    assert job_of(tmp_path, ('creep = "flat"', 'creep = "none"')).binding.creep == "none"
    assert job_of(tmp_path, ('creep = "flat"', "creep = 1.5")).binding.creep == 1.5


def test_the_sheet_may_be_named_by_any_name_of_its_size(tmp_path):
    for size in ('"a3"', '"A3 landscape"', "[420, 297]", '"297 x 420 mm"'):
        (stock,) = job_of(tmp_path, ('size  = "A3"', f"size  = {size}")).sheet.stocks
        assert (stock.name, stock.size) == ("A3", Size(297, 420))


def test_without_a_size_all_sizes_of_the_paper_are_tried_in_the_shops_order(tmp_path):
    assert [stock.name for stock in job_of(tmp_path, ('size  = "A3"\n', "")).sheet.stocks] == ["A3", "A4"]


def test_sizes_the_machine_does_not_take_are_not_tried(tmp_path):
    shop = changed(SHOP, ("A4 = 0.03", "A4 = 0.03, SRA3 = 0.08"))
    assert [stock.name for stock in job_of(tmp_path, ('size  = "A3"\n', ""), shop=shop).sheet.stocks] == ["A3", "A4"]


def test_the_jobs_leading_edge_goes_before_the_machines(tmp_path):
    job = job_of(tmp_path, ('lead  = "short edge"', 'lead  = "long edge"'), ('size  = "A3"\n', ""))
    assert [stock.lead for stock in job.sheet.stocks] == ["long edge", "long edge"]
    assert {stock.lead for stock in job.sheet.paper.stocks} == {"short edge"}


def test_an_inks_art_may_be_a_list(tmp_path):
    job = job_of(tmp_path, ('"black/*.png"', '["cover.png", "black/**/*.png", "./a..b.png"]'))
    assert job.inks[0].pages == ("cover.png", "black/**/*.png", "./a..b.png")


def test_the_shop_may_lie_anywhere(tmp_path):
    (tmp_path / "moths").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP, encoding="utf-8")
    for shop in ("../shop.toml", str(tmp_path / "shop.toml").replace("\\", "/")):
        job = job_of(tmp_path / "moths", ('"shop.toml"', f'"{shop}"'), shop=None)
        assert job.shop.file == tmp_path / "moths" / shop


def test_marks_are_switched_off_one_by_one(tmp_path):
    off = "\n".join(f"{kind} = false" for kind in MARK_KINDS)
    assert job_of(tmp_path, ("tone = false", off)).marks == frozenset()


# ---------------------------------------------------------------- faults of both files


def test_an_ink_in_single_brackets_is_told(tmp_path):
    job = SMALL_JOB.replace("[[ink]]", "[ink]")
    assert faults(tmp_path, job=job, shop=None) == [
        "job.toml: ink: this is one table, not a list of tables; write [[ink]] with two brackets"
    ]


def test_a_table_that_is_a_word_is_told(tmp_path):
    job = 'title = "Moth Hours"\ncopies = 50\npage = "A6"\nink = [{ name = "k", pages = "k.pdf" }]\n'
    assert faults(tmp_path, job=job, shop=None) == ['job.toml: page: "A6" is not a table; write it under [page]']


def test_an_empty_file_says_all_that_a_job_needs(tmp_path):
    assert faults(tmp_path, job="", shop=None) == [
        "job.toml: ink: missing; give at least one [[ink]] with its name and pages",
        "job.toml: title: missing; give the title in quotes",
        "job.toml: copies: missing; say how many copies are wanted",
        'job.toml: page.trim: missing; give the finished page, such as "A6"',
    ]


def test_all_faults_of_both_files_are_told_together(tmp_path):
    shop = changed(SHOP, ("drums = 2", "drums = 0"), ('"#eba52c"', '"gold"'))
    assert faults(tmp_path, ("copies = 120", "copies = 0"), ('"marigold"', '"marygold"'), shop=shop) == [
        "job.toml: copies: 0 is too small: the least is 1",
        'job.toml: ink[2].name: "marygold" is not an ink of shop.toml; did you mean "marigold"?',
        "shop.toml: machine.drums: 0 is too small: the least is 1",
        'shop.toml: ink[2].colour: "gold" is not a colour; write # and six digits of 0-9 a-f, such as "#2a2a2e"',
    ]


def test_a_name_the_shop_could_not_tell_is_not_called_unknown(tmp_path):
    shop = changed(SHOP, ('name = "cream 90"', "name = 90"), ('name = "marigold"', "name = true"))
    assert faults(tmp_path, shop=shop) == [
        "shop.toml: paper[1].name: 90 is not text; put text in quotes",
        "shop.toml: ink[2].name: true is not text; put text in quotes",
    ]


def test_a_shop_that_cannot_be_read_is_told_beside_the_jobs_own_faults(tmp_path):
    lines = faults(tmp_path, ("copies = 120", "copies = 0"), shop="[machine\n")
    assert lines[0] == "job.toml: copies: 0 is too small: the least is 1"
    assert lines[1].startswith("shop.toml: line 1, column 9: not TOML: ")
    assert len(lines) == 2


def test_a_shop_that_is_a_folder_is_told(tmp_path):
    lines = faults(tmp_path, ('"shop.toml"', '"."'))
    assert lines == [f"{tmp_path}: this is a folder or a device, not a file"]


def test_the_example_shop_is_called_so(tmp_path):
    lines = faults(tmp_path, ('"k"', '"turquoise"'), job=SMALL_JOB, shop=None)
    assert len(lines) == 1
    assert lines[0].startswith(
        'job.toml: ink[1].name: "turquoise" is not an ink of the example shop; its inks are "lamp'
    )


def test_a_paper_kept_only_in_sizes_too_large_is_told(tmp_path):
    shop = changed(SHOP, ("{ A3 = 0.06, A4 = 0.03 }", "{ SRA3 = 0.06 }"))
    assert faults(tmp_path, ('size  = "A3"\n', ""), shop=shop) == [
        f'job.toml: sheet.paper: all sizes of "cream 90" are larger than {LARGEST}; name a paper kept in a smaller size'
    ]


# ---------------------------------------------------------------- faults of the path


def test_a_path_that_leads_nowhere_is_told(tmp_path):
    assert faults_of(tmp_path, lambda: load_job(tmp_path / "moths")) == ["moths: there is no such file"]


def test_a_folder_without_a_job_is_told_with_its_neighbour(tmp_path):
    with pytest.raises(ImposerError) as caught:
        load_job(tmp_path)
    mend = "name a job file, or a folder that holds one"
    assert str(caught.value) == f"{tmp_path}: there is no job.toml in this folder; {mend}"
    (tmp_path / "jobs.toml").touch()
    with pytest.raises(ImposerError) as caught:
        load_job(tmp_path)
    assert str(caught.value) == f'{tmp_path}: there is no job.toml in this folder; did you mean "jobs.toml"?'


@pytest.mark.parametrize("path", ["a\0b", "m" * 5000, "\udcff"])
def test_a_path_no_system_takes_is_told(tmp_path, monkeypatch, path):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ImposerError) as caught:
        load_job(path)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="the system has no links")
def test_a_link_to_itself_is_told(tmp_path):
    (tmp_path / "job.toml").symlink_to("job.toml")
    (line,) = faults_of(tmp_path, lambda: load_job(tmp_path))
    assert line.startswith("job.toml: cannot be read: ")


# ---------------------------------------------------------------- plates


def test_an_ink_may_be_a_plate_of_its_files(tmp_path):
    job = job_of(tmp_path, ('pages = "marigold.pdf"', 'pages = "marigold.pdf"\nplate = " Coral Red "'))
    assert [ink.plate for ink in job.inks] == [None, "Coral Red"]


def test_a_plate_of_no_file_or_without_a_name_is_a_fault(tmp_path):
    poster = '[[part]]\nname = "all"\npages = "rest"\n[[part.ink]]\nname = "k"\nplate = "black"\n'
    (fault,) = faults(tmp_path, ('pages = "marigold.pdf"\n', 'pages = "marigold.pdf"\n' + poster))
    assert fault == (
        "job.toml: part[1].ink[1].plate: no file is named that it could be a plate of; "
        "name the art in pages, or leave it out"
    )
    (fault,) = faults(tmp_path, ('pages = "marigold.pdf"', 'pages = "marigold.pdf"\nplate = 4'))
    assert fault == "job.toml: ink[2].plate: 4 is not text; put text in quotes"
