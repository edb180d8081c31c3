"""Deliveries as artists send them: every shape and every naming pattern read right, or stopped with a question."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Size
from imposer.intake.delivery import Delivery
from imposer.intake.understand import understand
from tests.intake.deliveries import BLACK, BLUE, ROSE, SHOP, YELLOW, many, read, sent

# Patterns of names as they were seen or expected (common practice, no source); what each must give.
READ = {
    "page then ink": (["01_blue.png", "02_blue.png", "01_black.png"], {(1, BLUE), (2, BLUE), (1, BLACK)}),
    "p and ink": (["p01-blue.tif", "p02-blue.tif", "p02-k.tif", "p01-BLACK.tif"], None),
    "page word": (["page 1 BLUE.pdf", "page 2 BLUE.pdf", "page 2 BLACK.pdf"], {(1, BLUE), (2, BLUE), (2, BLACK)}),
    "ink then page": (["blue_01.png", "blue_10.png", "black_01.png"], {(1, BLUE), (10, BLUE), (1, BLACK)}),
    "ink and p": (["Blue-p1.pdf", "Blue-p2.pdf", "BLACK 001.tif"], {(1, BLUE), (2, BLUE), (1, BLACK)}),
    "ink folder": (["blue/01.png", "blue/02.png", "black/01.png"], {(1, BLUE), (2, BLUE), (1, BLACK)}),
    "numbered ink folder": (
        ["01 blue/page1.png", "01 blue/page2.png", "02 black/page1.png"], {(1, BLUE), (2, BLUE), (1, BLACK)},
    ),
    "layer and ink": (
        ["layer1_blue/1.png", "layer1_blue/2.png", "layer2_black/1.png"], {(1, BLUE), (2, BLUE), (1, BLACK)},
    ),
    "page folder": (
        ["page01/blue.png", "page01/black.png", "page02/blue.png"], {(1, BLUE), (1, BLACK), (2, BLUE)},
    ),
    "title first": (
        ["myzine_v3_p04_pink_FINAL.png", "myzine_v3_p05_pink_FINAL.png", "myzine_v3_p04_black_FINAL.png"],
        {(4, ROSE), (5, ROSE), (4, BLACK)},
    ),
    "a colour in the title": (
        ["blue kite 1 black.png", "blue kite 2 black.png", "blue kite 1 yellow.png"],
        {(1, BLACK), (2, BLACK), (1, YELLOW)},
    ),
    "cover words": (
        ["front_blue.png", "02_blue.png", "03_blue.png", "04_blue.png", "05_blue.png", "06_blue.png", "07_blue.png",
         "back_blue.png", "02_black.png"],
        {*((page, BLUE) for page in range(1, 9)), (2, BLACK)},
    ),
    "printers' cover words": (
        ["CVR_1 black.png", "CVR_2 black.png", "3 black.png", "4 black.png", "CVR_3 black.png", "CVR_4 black.png",
         "CVR_1 blue.png"],
        {*((page, BLACK) for page in range(1, 7)), (1, BLUE)},
    ),
    "no zero padding": (
        ["1_blue.png", "2_blue.png", "10_blue.png", "1_black.png"], {(1, BLUE), (2, BLUE), (10, BLUE), (1, BLACK)},
    ),
    "zero-based": (["0 k black.png", "1 k black.png", "0 blue.png"], {(1, BLACK), (2, BLACK), (1, BLUE)}),
    "letters": (["a_blue.png", "b_blue.png", "a_black.png"], {(1, BLUE), (2, BLUE), (1, BLACK)}),
    "plate letters": (["zine_1_K.tif", "zine_2_K.tif", "zine_1_Y.tif"], {(1, BLACK), (2, BLACK), (1, YELLOW)}),
    "other languages": (
        ["seite 1 schwarz.png", "seite 2 schwarz.png", "seite 1 azul.png"], {(1, BLACK), (2, BLACK), (1, BLUE)},
    ),
    "hex": (["1 #101014.png", "2 #101014.png", "1 #2c5f9e.png"], {(1, BLACK), (2, BLACK), (1, BLUE)}),
    "the shop's own names": (
        ["lamp black 1.png", "lamp black 2.png", "Marigold 1.png"], {(1, BLACK), (2, BLACK), (1, YELLOW)},
    ),
    "one page in several inks": (["poster_blue.png", "poster_black.png"], {(1, BLUE), (1, BLACK)}),
    "versions": (
        ["p1 black final2.png", "p2 black final2.png", "p1 blue (1).png", "p2 blue (1).png"],
        {(1, BLACK), (2, BLACK), (1, BLUE), (2, BLUE)},
    ),
    "accents and emoji": (["Été 🌙 nº1 noir.png", "Été 🌙 nº2 noir.png", "Été 🌙 nº1 bleu.png"],
                          {(1, BLACK), (2, BLACK), (1, BLUE)}),
}  # fmt: skip


@pytest.mark.parametrize("pattern", READ)
def test_names_are_read_right(pattern):
    names, wanted = READ[pattern]
    cells, found = read(*names)
    assert not found.questions, found.questions
    if wanted is not None:
        assert set(cells) == wanted
    assert len(cells) == len(names)


ASKED = {
    "printing order or pages": (["1_yellow.png", "2_pink.png"], "the inks share no page"),
    "layers without a name": (["layer 1/1.png", "layer 1/2.png", "layer 2/1.png"], "which ink is “layer 1”?"),
    "short for an ink": (["1b.png", "2b.png", "1y.png"], "are both page 1"),
    "two files for a cell": (["1 blue.png", "1 BLUE.tif", "2 blue.png", "1 black.png"], "are both page 1 in harbour"),
    "a file that names no ink": (["1 blue.png", "2 blue.png", "cover.png", "1 black.png"], "cover.png names no ink"),
    "two inks in a name": (["1 blue black.png", "2 blue.png", "1 black.png"], "names two inks"),
    "cover and page 1": (["cover blue.png", "1 blue.png", "2 blue.png", "1 black.png"], "does the inside count from 1"),
    "export trash": (["Untitled-3 blue.png", "Artboard blue.png", "Untitled-3 black.png"], "not clear from the names"),
    "words only": (["moth blue.png", "moon blue.png", "moth black.png"], "not clear from the names"),
    "a scanner's count": (
        ["scan0001 blue.png", "scan0002 blue.png", "scan0003 black.png", "scan0004 black.png"], "share no page",
    ),
    "a lone number": (["zine2_black.png"], "would be page 2"),
}  # fmt: skip


@pytest.mark.parametrize("pattern", ASKED)
def test_what_could_be_read_in_two_ways_is_asked(pattern):
    names, asks = ASKED[pattern]
    _, found = read(*names)
    assert any(asks in question.asks for question in found.questions), found.questions


def test_one_pdf_an_ink_holds_its_pages_in_order():
    cells, found = read("black.pdf", "blue.pdf", pages=8)
    assert not found.questions
    assert cells[3, BLUE] == "blue.pdf, page 3"
    assert len(cells) == 16


def test_inks_that_take_turns_in_one_pdf_are_asked_about_with_both_answers():
    _, found = read("zine black blue.pdf", pages=16)
    (question,) = found.questions
    assert "take turns" in question.asks
    assert 'take = "every 2 from 2"' in question.proposals[0]
    assert 'take = "9-16"' in question.proposals[1]
    _, found = read("zine.pdf", pages=16)
    assert "names no ink" in found.questions[0].asks


def test_a_pdf_that_states_its_range_is_placed_by_it():
    found = understand(
        Delivery(
            Path("/sent"),
            (
                *sent("black 01-08.pdf", pages=8).art,
                *sent("black 09-16.pdf", pages=8).art,
                *sent("blue.pdf", pages=16).art,
            ),
            (),
        ),
        SHOP.inks,
    )
    cells = {(cell.page, cell.ink): cell.place for cell in found.cells}
    assert not found.questions
    assert cells[9, BLACK] == "black 09-16.pdf, page 1"


@pytest.mark.parametrize("size", [Size(210, 148), Size(216, 154)])
def test_double_pages_are_never_split_unasked(size):
    cells, found = read("black.pdf", "blue.pdf", pages=8, size=size)
    del cells
    assert any("side by side" in question.asks for question in found.questions) or found.bleed == 3


def test_spreads_with_a_single_cover_are_proposed():
    art = (*sent("cover black.pdf").art, *sent("spreads black.pdf", pages=3, size=Size(210, 148)).art)
    found = understand(Delivery(Path("/sent"), art, ()), SHOP.inks)
    assert not found.cells
    proposed = [proposal for question in found.questions for proposal in question.proposals]
    assert any(proposal.endswith('art = "spreads"') for proposal in proposed)


def test_the_size_of_the_page_is_told_from_the_files():
    assert read("black.pdf", "blue.pdf", pages=4, size=Size(111, 154))[1].bleed == 3
    assert read("black.pdf", "blue.pdf", pages=4, size=Size(105, 148))[1].trim == Size(105, 148)
    _, found = read("1 black.png", "2 black.png", size=None)
    assert found.trim is None
    assert any("how large is the finished page" in question.asks for question in found.questions)


WORDS = {BLACK: ["black", "noir", "K", "lamp black"], YELLOW: ["marigold", "yellow", "gelb"], BLUE: ["blue", "azul"],
         ROSE: ["rose", "pink", "rosa"]}  # fmt: skip
TEMPLATES = [
    "{ink}/{page}.png", "{ink}/p{page}.png", "{page}_{ink}.png", "{ink}_{page}.png", "p{page}-{ink}.tif",
    "page {page} {ink}.png", "{title}_v3_p{page}_{ink}_FINAL.png", "{title} {page} {ink}.png", "{page}/{ink}.png",
    "page{page}/{ink}.png", "{title}/{ink}/{page} final2.png", "{title}-{ink}-{page}.pdf", "{ink} {page} ({n}).png",
    "scan {n} {ink}.png", "{ink} {n}.png", "{n} {ink} {page}.png", "{page} of 16 {ink}.png", "{ink}{page}.png",
]  # fmt: skip


@settings(max_examples=400, deadline=None, derandomize=True)
@given(
    data=st.data(),
    inks=st.lists(st.sampled_from(list(WORDS)), min_size=1, max_size=3, unique=True),
    template=st.sampled_from(TEMPLATES),
    title=st.sampled_from(["moth", "blue kite", "zine 2", "7 days", "Été", "black & gold"]),
    pad=st.sampled_from(["", "02", "03"]),
    first=st.sampled_from([0, 1]),
)
def test_no_delivery_puts_a_page_into_a_wrong_cell(data, inks, template, title, pad, first):
    """Names from a scheme whose meaning is known, shuffled and sparse: each cell is right, or is asked about."""
    truth = {}
    count = 0
    for ink in inks:
        word = data.draw(st.sampled_from(WORDS[ink]))
        numbers = data.draw(st.lists(st.integers(1, 12), min_size=1, max_size=6, unique=True))
        for page in numbers:
            count += 1
            name = template.format(ink=word, page=format(page - 1 + first, pad), title=title, n=count)
            # A lone ink's files may be counted by a scanner in page order; of several inks only a person knows.
            counted = "{page}" not in template
            truth.setdefault(name, []).append((count if counted and len(inks) == 1 else page, ink))
    names = data.draw(st.permutations(sorted(truth)))
    cells, found = read(*names)
    starts_at_one = first == 1 or any(page == 1 for claims in truth.values() for page, _ in claims)
    for cell, name in cells.items():
        if starts_at_one:
            assert cell in truth[name], (names, cell, name)
    missing = {cell for claims in truth.values() for cell in claims} - set(cells)
    assert not missing or found.questions or not starts_at_one, (names, missing)


def cells_of(found, ink):
    return {cell.page: cell.index + 1 for cell in found.cells if cell.ink == ink}


HELD = {
    "marigold p3-5.pdf": (3, {3: 1, 4: 2, 5: 3}),
    "marigold 4-5.pdf": (2, {4: 1, 5: 2}),
    "marigold_03-06.pdf": (4, {3: 1, 4: 2, 5: 3, 6: 4}),
    "marigold pages 1 and 8.pdf": (2, {1: 1, 8: 2}),
    "marigold v2 pages 2, 7.pdf": (2, {2: 1, 7: 2}),
    "marigold.pdf": (8, {page: page for page in range(1, 9)}),
}


@pytest.mark.parametrize("name", HELD)
def test_a_file_of_some_pages_is_placed_by_what_its_name_states(name):
    pages, wanted = HELD[name]
    found = understand(many(("black.pdf", 8), (name, pages)), SHOP.inks)
    assert not found.questions, found.questions
    assert cells_of(found, YELLOW) == wanted
    assert cells_of(found, BLACK) == {page: page for page in range(1, 9)}
    assert pages == 8 or any(f"{name} is taken as page" in guess for guess in found.guesses)


SHORT = {
    "marigold.pdf": (2, "has 2 pages, but the booklet has 8"),
    "marigold cover.pdf": (2, "has 2 pages, but the booklet has 8"),
    "marigold v3.pdf": (7, "has 7 pages, but the booklet has 8"),
    "marigold 3-6.pdf": (3, "has 3 pages and its name states others"),
}


@pytest.mark.parametrize("name", SHORT)
def test_a_file_shorter_than_the_booklet_is_asked_about(name):
    pages, asks = SHORT[name]
    found = understand(many(("black.pdf", 8), (name, pages)), SHOP.inks)
    assert not cells_of(found, YELLOW)
    (question,) = found.questions
    assert asks in question.asks
    first = tomllib.loads(question.proposals[0])["ink"][0]
    assert first["pages"] == {str(n): f"art/{name}, page {n}" for n in range(1, pages + 1)}
    if pages == 2:
        cover = tomllib.loads(question.proposals[1])["ink"][0]
        assert cover["pages"] == {"1": f"art/{name}, page 1", "8": f"art/{name}, page 2"}


def test_the_back_in_another_ink_is_the_last_page_of_the_booklet():
    found = understand(many(("black.pdf", 8), ("marigold back.pdf", 1), ("rose front.pdf", 1)), SHOP.inks)
    assert not found.questions
    assert (cells_of(found, YELLOW), cells_of(found, ROSE)) == ({8: 1}, {1: 1})


def test_a_count_that_may_hold_an_issues_number_is_asked_about():
    names = [f"black_{100 + page}.png" for page in range(1, 9)]
    _, found = read(*names)
    (question,) = found.questions
    assert question.asks == "the names number 101–108, and no file is page 1: is 101 the first page?"
    assert tomllib.loads(question.proposals[0])["ink"][0]["pages"]["1"] == "art/black_101.png"


def test_a_page_that_an_ink_lacks_is_told_and_never_called_blank():
    names = [f"{ink}_{page}.png" for ink in ("black", "marigold") for page in range(1, 9)]
    _, found = read(*(name for name in names if name != "marigold_5.png"))
    assert "marigold has no file for page 5: nothing of it prints there" in found.guesses


def test_a_letter_beside_a_word_for_the_ink_is_no_plate():
    names = [f"{ink}_{letter}.png" for ink in ("black", "marigold") for letter in "ABCDEFGH"]
    cells, found = read(*names)
    assert not found.questions
    assert (cells[3, BLACK], cells[8, YELLOW]) == ("black_C.png", "marigold_H.png")


def test_many_pages_with_two_files_are_one_question():
    names = [f"{ink}_{page}.png" for ink in ("BLUE", "blue", "black") for page in range(1, 9)]
    _, found = read(*names)
    (question,) = found.questions
    assert question.asks == (
        "pages 1–8 of harbour have two files each, such as BLUE_1.png and blue_1.png, both page 1 in harbour: "
        "are they two inks, or two versions?"
    )
    *versions, apart = [tomllib.loads(way)["ink"] for way in question.proposals]
    assert [way[0]["pages"]["3"] for way in versions] == ["art/BLUE_3.png", "art/blue_3.png"]
    assert [(ink["name"], ink["pages"]["3"]) for ink in apart] == [
        (BLUE, "art/BLUE_3.png"), (BLACK, "art/blue_3.png"),
    ]  # fmt: skip


def test_a_number_after_a_dot_is_read():
    cells, found = read(*(f"{ink} p.{page}.png" for ink in ("black", "marigold") for page in (1, 2, 3, 4)))
    assert not found.questions
    assert cells[3, YELLOW] == "marigold p.3.png"


@pytest.mark.parametrize(
    ("size", "trim", "bleed"),
    [
        (Size(200, 140), [100, 140], 0), (Size(280, 200), [140, 200], 0), (Size(303, 216), "A5", 3),
        (Size(286, 206), [143, 206], 0), (Size(297, 210), "A5", 0),
    ],
)  # fmt: skip
def test_pages_on_their_side_may_be_two_side_by_side(size, trim, bleed):
    found = understand(many(("black.pdf", 4, size), ("marigold.pdf", 4, size)), SHOP.inks)
    (question,) = (one for one in found.questions if "side by side" in one.asks)
    for proposal, lay in zip(question.proposals, ("spreads", "printer's pairs"), strict=True):
        job = tomllib.loads(proposal)
        assert job["page"] == {"trim": trim, "bleed": bleed}
        assert [(ink["name"], ink["pages"], ink["art"]) for ink in job["ink"]] == [
            (BLACK, "art/black.pdf", lay), (YELLOW, "art/marigold.pdf", lay),
        ]  # fmt: skip
    assert not any("side by side" in one.asks for one in understand(many(("black.pdf", 4)), SHOP.inks).questions)
    stated = understand(many(("black.pdf", 4, size)), SHOP.inks, size)
    assert not stated.questions


def test_spreads_that_state_both_pages_are_proposed_and_not_asked_for_their_order():
    single, double = Size(100, 140), Size(200, 140)
    names = (("1_black.png", 1, single), ("2-3_black.png", 1, double), ("4_black.png", 1, single))
    found = understand(many(*names), SHOP.inks)
    (question,) = found.questions
    assert "a reader's spreads, or printer's pairs" in question.asks
    assert tomllib.loads(question.proposals[0])["ink"][0]["art"] == "spreads"


@pytest.mark.parametrize("pattern", ASKED)
def test_what_is_proposed_can_be_put_into_a_job_file(pattern):
    _, found = read(*ASKED[pattern][0])
    for question in found.questions:
        for proposal in question.proposals:
            page = {key for key in tomllib.loads(proposal) if not key.isdecimal()}
            assert page <= {"page", "ink"}
