"""Page numbers from names: what artists and their programs write."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.pages.names import from_zero, natural_key, number_names, stated_range

#: Patterns seen and expected in what is handed in; common practice, no source. Names of one ink's files, in natural
#: order; the page of each; and whether the names told it.
TOLD = [
    # page then ink
    (["01_blue.png", "02_blue.png", "03_blue.png"], [1, 2, 3]),
    (["p01-blue.tif", "p02-blue.tif"], [1, 2]),
    (["page 1 BLUE.pdf", "page 2 BLUE.pdf"], [1, 2]),
    (["1b.png", "4b.png"], [1, 4]),
    # ink then page
    (["blue_01.png", "blue_07.png"], [1, 7]),
    (["Blue-p1.pdf", "Blue-p2.pdf"], [1, 2]),
    (["BLACK 001.tif", "BLACK 012.tif"], [1, 12]),
    # a folder of the ink
    (["blue/01.png", "blue/02.png"], [1, 2]),
    (["01 blue/page1.png", "01 blue/page2.png"], [1, 2]),
    (["layer1_blue/3.png", "layer1_blue/4.png"], [3, 4]),
    # a folder of the page
    (["page01/blue.png", "page02/blue.png"], [1, 2]),
    (["p1/layer 2.png", "p2/layer 2.png", "p10/layer 2.png"], [1, 2, 10]),
    # title first
    (["myzine_v3_p04_pink_FINAL.png", "myzine_v3_p05_pink_FINAL.png"], [4, 5]),
    (["myzine2_01.png", "myzine2_02.png"], [1, 2]),
    (["zine 2 page 1.png", "zine 2 page 12.png"], [1, 12]),
    # no zeros in front
    (["1.png", "2.png", "10.png"], [1, 2, 10]),
    # covers that are counted
    (["CVR_1.tif", "CVR_2.tif"], [1, 2]),
    (["u1.png", "u2.png", "u3.png", "u4.png"], [1, 2, -2, -1]),
    # covers in words, counted from the back where they mean the back
    (["front.png", "ifc.png", "ibc.png", "back.png"], [1, 2, -2, -1]),
    (["a_front.png", "b_back.png"], [1, -1]),
    (["zine inside front.png", "zine inside back.png"], [2, -2]),
    (["02.png", "03.png", "cover.png"], [2, 3, 1]),
    (["back cover.png", "p02.png", "p03.png"], [-1, 2, 3]),
    (["U4 blau.tif", "Umschlag blau.tif"], [-1, 1]),
    (["couverture.png", "quatrie\u0300me de couverture.png"], [1, -1]),
    (["cubierta.png", "contracubierta.png"], [1, -1]),
    (["cover_final2.png", "p02_final.png"], [1, 2]),
    # pages with gaps, and one alone
    (["black/03.png", "black/14.png"], [3, 14]),
    (["black/p07.png"], [7]),
    # an ink that is called by a number, or a colour by its code
    (["color1_p3.png", "color1_p4.png"], [3, 4]),
    (["spot2-01.png", "spot2-02.png"], [1, 2]),
    (["#d04a6a_01.png", "#d04a6a_02.png"], [1, 2]),
    (["03 #123456.png"], [3]),
    # other languages
    (["schwarz Seite 1.pdf", "schwarz Seite 2.pdf"], [1, 2]),
    (["azul página 3.png", "azul página 4.png"], [3, 4]),
    (["azul pa\u0301g. 3.png", "azul pa\u0301g. 4.png"], [3, 4]),  # an accent of its own
    (["blz 5 zwart.png", "blz 6 zwart.png"], [5, 6]),
    # export trash
    (["Artboard 1.png", "Artboard 2.png"], [1, 2]),
    (["page 1 copy 2.png", "page 2.png"], [1, 2]),
    (["Untitled-3.png", "Untitled-4.png"], [3, 4]),
    (["scan0007.png", "scan0008.png"], [7, 8]),
    # version trash
    (["04_final.png", "05_final2.png"], [4, 5]),
    (["04_v2.png", "05_v3.png"], [4, 5]),
    (["p4 (1).png", "p5 (2).png"], [4, 5]),
    (["zine (1).png", "zine (2).png"], [1, 2]),
    (["2024-05-12 p1.png", "2024-05-13 p2.png"], [1, 2]),
    (["20240512_04.png", "20240512_05.png"], [4, 5]),
    # accents, spaces, odd signs
    (["Été_nº1 .PDF", "Été_nº2 .PDF"], [1, 2]),
    (["🌙 01.png", "🌙 02.png"], [1, 2]),
    (["0" * 40 + "3.png", "0" * 40 + "4.png"], [3, 4]),
]

#: The names do not tell: natural order, and what the finding says of it.
IN_ORDER = [
    (["A.png", "B.png", "C.png"], "note", "no name holds a page number"),
    (["IMG_2041.jpg", "IMG_2042.jpg"], "note", "no name holds a page number"),
    (["01.png", "02.png", "last.png"], "warning", "last.png holds none"),
    (["01.png", "end.png", "start.png"], "warning", "end.png, start.png hold none"),
    (["00.png", "01.png", "cover.png"], "warning", "cover.png holds none"),
    (["cover.png", "moth.png", "night.png"], "note", "no name holds a page number"),
    (["02-03_blue.png", "04-05_blue.png"], "warning", "the names hold several numbers, or all the same one"),
    (["zine2_a.png", "zine2_b.png"], "warning", "the names hold several numbers, or all the same one"),
    (
        ["Artboard 1.png", "Artboard 1 copy.png", "Artboard 1 copy 2.png"],
        "warning",
        "the names hold several numbers, or all the same one",
    ),
]


@pytest.mark.parametrize(("names", "pages"), TOLD)
def test_names_tell_the_pages(names, pages):
    found = number_names(names)
    assert (list(found.numbers), found.by, found.findings) == (pages, "name", ())


@pytest.mark.parametrize(("names", "level", "why"), IN_ORDER)
def test_names_do_not_tell_the_pages(names, level, why):
    found = number_names(names)
    assert list(found.numbers) == list(range(1, len(names) + 1))
    assert found.by == "order"
    (finding,) = found.findings
    shown = ", ".join(names[:3])
    assert finding.message == (
        f"page numbers are not clear from the names ({why}); files are taken in this order: {shown}"
    )
    assert (finding.rule, finding.level) == ("page-order", level)
    assert finding.mend == ("give every file its page number, such as p01, or list the files in order in the job file")


def test_one_file_needs_no_order():
    assert number_names(["poster.pdf"]).findings == ()
    assert number_names(["poster.pdf"]).numbers == (1,)


@pytest.mark.parametrize(
    "names",
    [
        ["p1.png", "p1.jpg"],
        ["p01.png", "p1.png"],
        ["blue 1.png", "BLUE_1.png"],
        ["red/1.png", "red/more/1.png"],
        ["01_a.png", "01_b.png", "02_a.png", "02_b.png"],
    ],
)
def test_two_names_claim_one_page(names):
    found = number_names(names)
    assert found.by == "name"
    assert len(set(found.numbers)) < len(names)


def test_counting_from_zero():
    found = number_names([f"{n}.png" for n in range(16)])
    assert found.numbers == tuple(range(16))
    assert from_zero(found.numbers)
    assert not from_zero(number_names(["1.png", "2.png"]).numbers)


@pytest.mark.parametrize(
    ("name", "pages"),
    [
        ("inside_08-24.pdf", (8, 24)),
        ("01–08.pdf", (1, 8)),
        ("8.pdf", None),
        ("24-08.pdf", None),
        ("v2 01-08.pdf", None),
    ],
)
def test_ranges(name, pages):
    assert stated_range(name) == pages


class TestNaturalOrder:
    def test_people_count(self):
        names = ["p10.png", "P2.png", "p1.png", "p02.png", "p2b.png", "p.png", "10.png", "9.png"]
        assert sorted(names, key=natural_key) == [
            "9.png", "10.png", "p.png", "p1.png", "P2.png", "p02.png", "p2b.png", "p10.png",
        ]  # fmt: skip

    def test_folders_come_in_order_too(self):
        names = ["10/1.png", "2/1.png", "2/10.png", "2/9.png"]
        assert sorted(names, key=natural_key) == ["2/1.png", "2/9.png", "2/10.png", "10/1.png"]

    @settings(max_examples=100, deadline=None, derandomize=True)
    @given(st.lists(st.text(st.sampled_from("aAbé09 ._-²٣\n"), max_size=8), unique=True))
    def test_the_order_is_one_and_the_same(self, names):
        turned = names[1:] + names[:1]
        assert sorted(names, key=natural_key) == sorted(turned, key=natural_key)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(
    pages=st.lists(st.integers(1, 99), min_size=1, max_size=12, unique=True),
    width=st.integers(1, 4),
    before=st.sampled_from(["", "p", "page ", "blue_", "zine-p", "Seite "]),
    after=st.sampled_from(["", "_blue", " FINAL", "b", ".v"]),
)
def test_one_number_in_every_name_is_the_page(pages, width, before, after):
    names = [f"{before}{page:0{width}}{after}.png" for page in pages]
    assert number_names(names).numbers == tuple(pages)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(
    pages=st.lists(st.integers(1, 99), min_size=2, max_size=12, unique=True),
    others=st.lists(st.integers(0, 999), min_size=1, max_size=3),
    place=st.integers(0, 3),
)
def test_numbers_that_are_the_same_in_all_names_do_not_fool(pages, others, place):
    place = min(place, len(others))
    names = ["_".join(map(str, [*others[:place], page, *others[place:]])) + ".png" for page in pages]
    assert number_names(names).numbers == tuple(pages)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(st.text(max_size=20), min_size=1, max_size=6))
def test_any_names_get_numbers(names):
    found = number_names(names)
    assert len(found.numbers) == len(names)
    assert all(-2 <= number <= 999 for number in found.numbers)
    assert all("\n" not in finding.message for finding in found.findings)
