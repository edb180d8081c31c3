"""Every slip in a job.toml is one plain line: the file, the key, the value, what is wrong and the mend."""

from __future__ import annotations

import pytest

from imposer.job import load_job
from tests.job.files import JOB, changed, faults_of, written

LENGTH = 'give mm, or a number with its unit such as "3 mm", "0.125 in" or "9 pt"'
PATTERN = 'give a name or pattern in the job\'s folder, such as "black/*.png"'
SIZE = 'give a name such as "A5" or "letter", a pair in mm such as [140, 200], or "5.5 x 8.5 in"'
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
        (
            'binding.style: "sadle" is none of "saddle", "gathered", "mini", "accordion", "roll", "letter", "gate", '
            '"double-gate", "double-parallel", "french", "flat"; did you mean "saddle"?'
        ),
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


def said(folder, change):
    written(folder, changed(JOB, change))
    return faults_of(folder, lambda: load_job(folder))


@pytest.mark.parametrize(("change", "line"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_one_plain_line(tmp_path, change, line):
    assert said(tmp_path, change) == [f"job.toml: {line}"]
