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

LENGTH = 'give mm, or a number with its unit such as "3 mm", "0.125 in" or "9 pt"'
PATTERN = 'give a name or pattern in the job\'s folder, such as "black/*.png"'
SIZE = 'give a name such as "A5" or "letter", a pair in mm such as [140, 200], or "5.5 x 8.5 in"'


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


# ---------------------------------------------------------------- faults of the job

LARGEST = "the machine's largest sheet, 297 × 420 mm"
NESTED = 'a saddle-stitched booklet nests all its pieces in one; leave it out, or set style = "gathered"'

FAULTS = {
    "no title": (('title  = "Moth Hours"\n', ""), "title: missing; give the title in quotes"),
    "a title of spaces": (('"Moth Hours"', '"   "'), 'title: "   " is empty; write at least one letter'),
    "a title of two lines": (
        ('"Moth Hours"', '"Moth\\nHours"'),
        'title: "Moth\\nHours" holds a control character or a line break; write one plain line',
    ),
    "a title that rings": (
        ('"Moth Hours"', '"Moth\\u0007"'),
        'title: "Moth\\x07" holds a control character or a line break; write one plain line',
    ),
    "a title that is a number": (('"Moth Hours"', "1984"), "title: 1984 is not text; put text in quotes"),
    "a misspelt title": (("title ", "titel "), 'titel: unknown key; did you mean "title"?'),
    "no copies": (("copies = 120\n", ""), "copies: missing; say how many copies are wanted"),
    "nought copies": (("copies = 120", "copies = 0"), "copies: 0 is too small: the least is 1"),
    "fewer than no copies": (("copies = 120", "copies = -5"), "copies: -5 is too small: the least is 1"),
    "copies by the million": (
        ("copies = 120", "copies = 1000001"),
        "copies: 1000001 is too large: the most is 1000000",
    ),
    "copies without end": (
        ("copies = 120", f"copies = {'9' * 100}"),
        "copies: a number of more than 60 digits is too large: the most is 1000000",
    ),
    "copies of many hex digits": (
        ("copies = 120", f"copies = 0x{'f' * 9000}"),
        "copies: a number of more than 60 digits is too large: the most is 1000000",
    ),
    "copies in quotes": (
        ("copies = 120", 'copies = "120"'),
        'copies: "120" is not a whole number; give one from 1 to 1000000, without quotes',
    ),
    "copies of true": (
        ("copies = 120", "copies = true"),
        "copies: true is not a whole number; give one from 1 to 1000000, without quotes",
    ),
    "copies on a day": (
        ("copies = 120", "copies = 2024-05-01"),
        "copies: 2024-05-01 is not a whole number; give one from 1 to 1000000, without quotes",
    ),
    "no trim": (('trim  = "A6"\n', ""), 'page.trim: missing; give the finished page, such as "A6"'),
    "a trim of nought": (
        ('"A6"', "[0, 0]"),
        "page.trim: 0 mm of [0, 0] is too small: the least is 25 mm; a size without a unit is in mm",
    ),
    "a trim in inches without their unit": (
        ('"A6"', '"8.5 x 11"'),
        'page.trim: 8.5 mm of "8.5 x 11" is too small: the least is 25 mm; a size without a unit is in mm',
    ),
    "an unknown trim": (('"A6"', '"A66"'), 'page.trim: "A66" is not a size known here; did you mean "A6"?'),
    "a trim of one length": (('"A6"', "140"), f"page.trim: 140 is not a size; {SIZE}"),
    "a trim of lists": (('"A6"', "[[140], [200]]"), f"page.trim: [140] is not a number; {LENGTH}"),
    "a trim of nan": (('"A6"', "[nan, 200]"), f"page.trim: nan is not a number that can be measured; {LENGTH}"),
    "a negative bleed": (("bleed = 0", "bleed = -3"), "page.bleed: -3 mm is too small: the least is 0 mm"),
    "a wide bleed": (("bleed = 0", 'bleed = "1 in"'), 'page.bleed: "1 in" is too large: the most is 20 mm'),
    "a bleed of ells": (
        ("bleed = 0", 'bleed = "3 ells"'),
        f'page.bleed: "3 ells" has no unit of length known here (mm, cm, in, pt); {LENGTH}',
    ),
    "an endless bleed": (
        ("bleed = 0", "bleed = inf"),
        f"page.bleed: inf is not a number that can be measured; {LENGTH}",
    ),
    "an unknown fit": (
        ("bleed = 0", 'fit = "center"'),
        'page.fit: "center" is none of "exact", "scale", "centre"; did you mean "centre"?',
    ),
    "a misspelt key of the page": (("bleed = 0", "blead = 0"), 'page.blead: unknown key; did you mean "bleed"?'),
    "an unknown binding": (
        ('"saddle"', '"sadle"'),
        'binding.style: "sadle" is none of "saddle", "gathered"; did you mean "saddle"?',
    ),
    "nested pieces of a saddle stitch": (
        ('style = "saddle"', 'style = "Saddle"\npieces_per_signature = 4'),
        f"binding.pieces_per_signature: {NESTED}",
    ),
    "no pieces nested": (
        ('style = "saddle"', 'style = "gathered"\npieces_per_signature = 0'),
        "binding.pieces_per_signature: 0 is too small: the least is 1",
    ),
    "an unknown reading": (
        ('"left-to-right"', '"left to right"'),
        'binding.reading: "left to right" is none of "left-to-right", "right-to-left"; did you mean "left-to-right"?',
    ),
    "an unknown creep": (
        ('creep = "flat"', 'creep = "flt"'),
        'binding.creep: "flt" is none of "flat", "round", "none"; did you mean "flat"?',
    ),
    "a negative creep": (('creep = "flat"', "creep = -1"), "binding.creep: -1 mm is too small: the least is 0 mm"),
    "an unknown paper": (
        ('"cream 90"', '"craem 90"'),
        'sheet.paper: "craem 90" is not a paper of shop.toml; did you mean "cream 90"?',
    ),
    "a paper like none": (
        ('"cream 90"', '"slate"'),
        'sheet.paper: "slate" is not a paper of shop.toml; its papers are "cream 90"',
    ),
    "a paper that is a number": (('"cream 90"', "90"), "sheet.paper: 90 is not text; put text in quotes"),
    "a size the paper is not kept in": (
        ('size  = "A3"', 'size  = "A5"'),
        'sheet.size: "A5" is no size "cream 90" is kept in; it is kept in "A3", "A4"',
    ),
    "a size the machine does not take": (
        ('size  = "A3"', 'size  = "SRA3"'),
        f'sheet.size: "SRA3" (320 × 450 mm) is larger than {LARGEST}; name a smaller sheet',
    ),
    "an unknown size": (
        ('size  = "A3"', 'size  = "A33"'),
        'sheet.size: "A33" is not a size known here; did you mean "A3"?',
    ),
    "an unknown edge": (
        ('"short edge"', '"short-edge"'),
        'sheet.lead: "short-edge" is none of "short edge", "long edge"; did you mean "short edge"?',
    ),
    "an unknown flip": (
        ('"turn"', '"tumbel"'),
        'sheet.turn: "tumbel" is none of "turn", "tumble"; did you mean "tumble"?',
    ),
    "no pieces": (("pieces = 2", "pieces = 0"), "sheet.pieces: 0 is too small: the least is 1"),
    "half a piece": (
        ("pieces = 2", "pieces = 2.5"),
        "sheet.pieces: 2.5 is not a whole number; give one from 1 to 64, without quotes",
    ),
    "a mark that is a number": (
        ("tone = false", "tone = 0"),
        "marks.tone: 0 is neither true nor false; write true or false without quotes",
    ),
    "an unknown mark": (("tone = false", "tones = false"), 'marks.tones: unknown key; did you mean "tone"?'),
    "no ink": (
        (
            JOB[JOB.index("[[ink]]") :],
            "",
        ),
        "ink: missing; give at least one [[ink]] with its name and pages",
    ),
    "an ink without name": (('name  = "marigold"\n', ""), "ink[2].name: missing; name an ink of the shop"),
    "an ink without pages": (
        ('pages = "marigold.pdf"\n', ""),
        "ink[2].pages: missing; name the art of this ink: a file, a pattern or a list of them",
    ),
    "an unknown ink": (
        ('"marigold"', '"marygold"'),
        'ink[2].name: "marygold" is not an ink of shop.toml; did you mean "marigold"?',
    ),
    "an ink near another name": (
        ('"lamp black"', '"blac"'),
        'ink[1].name: "blac" is not an ink of shop.toml; did you mean "black"?',
    ),
    "an ink like none": (
        ('"marigold"', '"turquoise"'),
        'ink[2].name: "turquoise" is not an ink of shop.toml; its inks are "lamp black", "marigold"',
    ),
    "an ink twice by two names": (
        ('"marigold"', '"K"'),
        'ink[2].name: "K" is the shop\'s "lamp black", which ink[1] prints already; put the pages of both in one list',
    ),
    "pages of nothing": (
        ('"marigold.pdf"', '""'),
        f'ink[2].pages: "" is empty; {PATTERN}',
    ),
    "a list of no pages": (('"marigold.pdf"', "[]"), f"ink[2].pages: the list is empty; {PATTERN}"),
    "pages that are numbers": (('"marigold.pdf"', "[1, 2]"), f"ink[2].pages: 1 is not text; {PATTERN}"),
    "pages in lists of lists": (
        ('"marigold.pdf"', '[["a.png"]]'),
        f'ink[2].pages: ["a.png"] is not text; {PATTERN}',
    ),
    "pages from the root": (
        ('"marigold.pdf"', '"/art/*.png"'),
        f'ink[2].pages: "/art/*.png" does not start in the job\'s folder; {PATTERN}',
    ),
    "pages from another drive": (
        ('"marigold.pdf"', '"C:/art/*.png"'),
        f'ink[2].pages: "C:/art/*.png" does not start in the job\'s folder; {PATTERN}',
    ),
    "pages from above": (
        ('"marigold.pdf"', '["a.png", "black/../../*.png"]'),
        'ink[2].pages: "black/../../*.png" leads out of the job\'s folder; put the art inside it',
    ),
    "pages behind a backslash": (
        ('"marigold.pdf"', "'black\\*.png'"),
        'ink[2].pages: "black\\*.png" holds a backslash; write / between a folder and a file',
    ),
    "pages that are the folder": (('"marigold.pdf"', '"./"'), f'ink[2].pages: "./" names no file; {PATTERN}'),
    "pages of an endless name": (
        ('"marigold.pdf"', f'"{"m" * 256}"'),
        f'ink[2].pages: "{"m" * 60}…" holds a name longer than any file\'s; {PATTERN}',
    ),
    "pages of two stars in a word": (
        ('"marigold.pdf"', '"black**.png"'),
        f'ink[2].pages: "black**.png": ** must stand alone between two /; {PATTERN}',
    ),
    "a shop that is a number": (('"shop.toml"', "5"), "shop: 5 is not text; put text in quotes"),
    "a missing shop": (
        ('"shop.toml"', '"shpo.toml"'),
        'shop: "shpo.toml": there is no such file; did you mean "shop.toml"?',
    ),
    "an unknown table": (("[marks]", "[mark]"), 'mark: unknown key; did you mean "marks"?'),
}


@pytest.mark.parametrize(("change", "line"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_one_plain_line(tmp_path, change, line):
    assert faults(tmp_path, change) == [f"job.toml: {line}"]


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
