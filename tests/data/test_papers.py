"""Paper sizes against three libraries that do not share our table, and the laws of the series."""

from __future__ import annotations

import math
from itertools import pairwise

import papersize
import papersizes_guide
import pytest
from reportlab.lib import pagesizes

from imposer.data.papers import name_of, nearest_size_name, paper_size, paper_size_names, paper_sizes
from imposer.geometry import Size

#: Half of our one tolerance, mm: the libraries compared keep points or rounded millimetres.
AGREE = 0.0005

ISO_AND_JIS = ("A", "B", "C", "JIS B", "RA", "SRA")


def members(series):
    last = 4 if series in ("RA", "SRA") else 10
    return [paper_size(f"{series}{number}") for number in range(last + 1)]


# ---------------------------------------------------------------- libraries


def test_sizes_agree_with_papersize():
    # papersize 1.6.1. It prints B4 as 250 × 352 mm; ISO 216 (and the other two libraries) has 353.
    known_differences = {"b4": (250, 352)}
    shared = [name for name in papersize.SIZES if paper_size(name)]
    assert len(shared) == 48
    for name in shared:
        theirs = tuple(map(float, papersize.parse_papersize(name, "mm")))
        ours = paper_size(name)
        if name in known_differences:
            assert theirs == pytest.approx(known_differences[name], abs=AGREE)
            assert (ours.width, ours.height) == (250, 353)
        else:
            assert theirs == pytest.approx((ours.width, ours.height), abs=AGREE), name


#: papersizes-guide 1.0.3 calls JIS B5 "JIS JB5", has no ANSI F, and no halved letter and legal.
NOT_IN_GUIDE = {"ANSI F", "quarter letter", "eighth letter", "half legal", "quarter legal"}


IN_GUIDE = {row.name: row for row in paper_sizes() if row.name not in NOT_IN_GUIDE}


@pytest.mark.parametrize("row", IN_GUIDE.values(), ids=IN_GUIDE)
def test_size_agrees_with_papersizes_guide(row):
    theirs = papersizes_guide.get(row.name.replace("JIS B", "JIS JB"))
    assert theirs is not None
    assert (theirs.width_mm, theirs.height_mm) == pytest.approx((row.size.width, row.size.height), abs=AGREE)


def test_sizes_agree_with_reportlab():
    # reportlab 5.1.0 keeps points. Its half letter is 5.5 × 8 in; XJDF 2.2, App. C and the other two have 5.5 × 8.5.
    names = [f"{series}{number}" for series in "ABC" for number in range(11)]
    names += ["LETTER", "LEGAL", "TABLOID", "LEDGER", "JUNIOR_LEGAL"]
    for name in names:
        width, height = getattr(pagesizes, name)
        ours = paper_size(name)
        assert (width * 25.4 / 72, height * 25.4 / 72) == pytest.approx((ours.width, ours.height), abs=AGREE), name
    assert tuple(side / 72 for side in pagesizes.HALF_LETTER) == pytest.approx((5.5, 8))
    assert paper_size("half letter") == Size(139.7, 215.9)


# ---------------------------------------------------------------- laws


@pytest.mark.parametrize("series", ISO_AND_JIS)
def test_each_size_is_the_one_before_halved(series):
    sizes = members(series)
    for larger, smaller in pairwise(sizes):
        assert smaller == Size(larger.height // 2, larger.width)


@pytest.mark.parametrize("series", ["A", "B", "SRA", "RA"])
def test_sides_are_as_one_to_root_two(series):
    for size in members(series)[:10]:
        assert abs(size.height / size.width - math.sqrt(2)) < 0.02


def test_a0_is_a_square_metre_and_b0_a_metre_wide():
    # ISO 216 (from memory): A0 has an area of one square metre, B0 a short side of one metre.
    a0 = paper_size("A0")
    assert a0.width * a0.height == pytest.approx(1_000_000, rel=1e-4)
    assert paper_size("B0").width == 1000


def test_each_ansi_size_is_half_the_next():
    for smaller, larger in zip("ABCD", "BCDE", strict=True):
        small, large = paper_size(f"ANSI {smaller}"), paper_size(f"ANSI {larger}")
        assert small.close_to(Size(large.height / 2, large.width))


@pytest.mark.parametrize(
    ("part", "whole", "halvings"),
    [
        ("half letter", "letter", 1),
        ("quarter letter", "letter", 2),
        ("eighth letter", "letter", 3),
        ("half legal", "legal", 1),
        ("quarter legal", "legal", 2),
        ("letter", "tabloid", 1),
    ],
)
def test_parts_of_us_sizes_are_the_whole_halved(part, whole, halvings):
    size = paper_size(whole)
    for _ in range(halvings):
        size = Size(size.height / 2, size.width)
    # Halved along the longer side as often, the part may lie; a page is named standing.
    assert paper_size(part).close_to(size.landscape.turned)


def test_inches_come_out_as_the_nearest_float():
    assert paper_size("letter") == Size(215.9, 279.4)
    assert paper_size("tabloid") == Size(279.4, 431.8)
    assert paper_size("quarter letter") == Size(107.95, 139.7)


# ---------------------------------------------------------------- the door


def test_every_row_has_a_source_and_stands_upright():
    for row in paper_sizes():
        assert row.source
        assert row.series
        assert row.size.width <= row.size.height or row.name == "ledger"


def test_no_two_names_are_the_same_once_case_and_spaces_are_dropped():
    bare = [name.replace(" ", "").casefold() for name in paper_size_names()]
    assert len(bare) == len(set(bare)) >= 80


@pytest.mark.parametrize(
    "written", ["half letter", "Half Letter", "HALFLETTER", " half-letter ", "half_letter", "statement"]
)
def test_names_are_read_in_any_dress(written):
    assert paper_size(written) == Size(139.7, 215.9)


def test_a_name_that_is_not_there_has_no_size_but_a_neighbour():
    assert paper_size("A11") is None
    assert paper_size("") is None
    assert nearest_size_name("tabliod") == "tabloid"
    assert nearest_size_name("SRAA3") == "SRA3"
    assert nearest_size_name("elephant") is None


def test_every_size_is_called_by_a_name_of_its_own_size():
    for row in paper_sizes():
        named = paper_size(name_of(row.size))
        assert row.size in (named, named.turned)
        assert name_of(row.size.turned) == name_of(row.size)


def test_common_names_come_before_rare_ones():
    assert name_of(Size(215.9, 279.4)) == "letter"
    assert name_of(Size(431.8, 279.4)) == "tabloid"


def test_half_a_millimetre_off_still_bears_the_name():
    assert name_of(Size(148.5, 209.5)) == "A5"
    assert name_of(Size(148.6, 210)) is None
