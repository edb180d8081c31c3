"""Words of titles that look like inks, shades of a colour, and numbers that count something other than pages."""

from __future__ import annotations

import tomllib

import pytest

from imposer.intake.delivery import Delivery, LeftOut
from imposer.intake.understand import understand
from tests.intake.deliveries import BLACK, BLUE, RED, ROSE, SHOP, YELLOW, many, read, sent
from tests.intake.test_as_sent import PAGES, TWO, answers, each_ink, grid

TITLES = ("red riding hood", "wolf", "green wood", "end")

# Common practice, no source: names as they come from people, schools and programs.
READ = {
    "titles of pages in folders of inks": {
        f"{word}/{n:02d} {title}.png": (n, ink)
        for n, title in enumerate(TITLES, 1)
        for word, ink in {"black": BLACK, "red": RED}.items()
    },
    "folders called by their artists, whose names are colours": {
        f"{n:02d} {artist}/{word}.png": (n, ink)
        for n, artist in enumerate(("anna", "rosa", "max", "violet"), 1)
        for word, ink in TWO.items()
    },
    "both inks in the title": grid("Toits rouge et noir {n} {w}.png", {"noir": BLACK, "rouge": RED}),
    "a title in black alone": grid("black cat {n}.png", {"": BLACK}),
    "order of printing, and one page in an ink": (
        each_ink({BLACK: "2_black_{n:02d}.png"}) | {"1_yellow_05.png": (5, YELLOW)}
    ),
    "left and right pages in black alone": {
        f"{n}_{'right' if n % 2 else 'left'}.png": (n, BLACK) for n in PAGES
    },
    "a poster in red": {"poster red.png": (1, RED)},
    "a shade grown onto its colour": grid("{n} {w}.png", {"Schwarz": BLACK, "Neonpink": ROSE}),
    "a colour grown onto the word for a plate": grid("{w}_{n}.png", {"Schwarzauszug": BLACK, "Rotauszug": RED}),
    "a colour grown onto p": grid("{w}p{n}.png"),
    "other endings of colours": grid("{n} {w}.png", {"czarna": BLACK, "niebieska": BLUE}),
    "short forms of colours": grid("{n}_{w}.png", {"bk": BLACK, "yel": YELLOW}),
    "a layer whose number is the page": grid("{w} Ebene {n}.png", {"schwarze": BLACK, "rote": RED}),
    "couv 1 to couv 4": (
        grid("page {n} {w}.png", {"noir": BLACK}, range(3, 7))
        | {f"couv{c} noir.png": (n, BLACK) for c, n in ((1, 1), (2, 2), (3, 7), (4, 8))}
    ),
    "artists called like months": {
        f"{n} {artist} {word}.png": (n, ink)
        for n, artist in enumerate(("jan", "may", "june", "mia"), 1)
        for word, ink in TWO.items()
    },
    "pages called by a month": grid("{n} mar {w}.png"),
    "front and back in Spanish": (
        grid("{n} {w}.png", {"negro": BLACK}, range(2, 8))
        | {"tapa negro.png": (1, BLACK), "contratapa negro.png": (8, BLACK)}
    ),
    "front and back in Polish": (
        grid("{n} {w}.png", {"czarny": BLACK}, range(2, 8))
        | {"okładka przód czarny.png": (1, BLACK), "okładka tył czarny.png": (8, BLACK)}
    ),
}  # fmt: skip


@pytest.mark.parametrize("pattern", READ)
def test_names_are_read_right(pattern):
    truth = READ[pattern]
    cells, found = read(*sorted(truth))
    assert not found.questions, found.questions
    assert cells == {cell: name for name, cell in truth.items()}


#: What is sent and what it is; the question.
ASKED = {
    "a colour at the end of a title": (grid("Heron in Red {n}.png", {"": BLACK}), "beside “Heron”"),
    "a word of one language that is a colour of another": (grid("crop rot {n}.png", {"": BLACK}), "beside “crop”"),
    "a zine called by a colour": (grid("red zine {n}.png", {"": BLACK}), "beside “zine”"),
    "a program's first file is 2": (
        {f"{w}/Untitled-{n + 1}.png": (n, ink) for n in PAGES for w, ink in TWO.items()}, "no file is page 1:",
    ),
    "a scanner's count that begins late": ({f"Scan {n + 2}.png": (n, BLACK) for n in PAGES}, "no file is page 1, 2:"),
    "a program's count with gaps": (
        {f"black/Untitled-{x}.png": (n, BLACK) for n, x in enumerate((1, 3, 4, 7, 8, 11), 1)}, "do the numbers count",
    ),
    "more pages missing than sent": (
        {f"{w} {x}.png": (n, ink) for n, x in enumerate((1, 4, 9, 12), 1) for w, ink in TWO.items()}, "do the numbers",
    ),
    "tens": ({f"black {10 * n}.png": (n, BLACK) for n in PAGES}, "is 10 the first page?"),
    "two sides of a cover, counted": (
        grid("{n}_black.png", {"": BLACK}, range(3, 7))
        | {"cover 1 black.png": (1, BLACK), "cover 2 black.png": (8, BLACK)}, "does the cover lie around",
    ),
    "pages that may come before page 1": (
        {"i black.png": (1, BLACK), "ii black.png": (2, BLACK)}
        | {f"{n} black.png": (n + 2, BLACK) for n in range(1, 7)}, "have no number: which pages are they?",
    ),
    "the first half of a cover beside its inside": (
        {f"cover/{n}_black.png": (n, BLACK) for n in (1, 2)}
        | {f"inside/{n - 2}_black.png": (n, BLACK) for n in range(3, 7)}, "does the cover lie around",
    ),
    "chapters in the names": (
        {f"ch{(n + 3) // 4}_p{(n - 1) % 4 + 1}_black.png": (n, BLACK) for n in PAGES}, "or do they follow one another",
    ),
    "two numbers, one of an ink": (
        {f"page{n}-{at}.png": (n, ink) for n in PAGES for at, ink in ((1, BLACK), (2, YELLOW))}, "are they two inks",
    ),
    "folders of no ink that take turns": (
        {f"{'bild' if n % 2 else 'text'}/{n}.png": (n, (YELLOW, BLACK)[n % 2]) for n in PAGES}, "or an ink each?",
    ),
    "inks named in ways of their own": (
        each_ink({BLACK: "moth 7 black {n}.png"}) | {f"red p{n}.png": (n, RED) for n in (2, 3, 5)},
        "which page is which",
    ),
    "left and right": (
        {f"spread {(n + 1) // 2} {'left' if n % 2 else 'right'} black.png": (n, BLACK) for n in PAGES},
        "left and right",
    ),
    "left and right, the cover a right page": (
        {f"spread {n // 2 + 1} {'right' if n % 2 else 'left'} black.png": (n, BLACK) for n in PAGES}, "left and right",
    ),
}  # fmt: skip


@pytest.mark.parametrize("pattern", ASKED)
def test_what_is_asked_about_has_the_right_answer_ready_and_nothing_is_wrong_before(pattern):
    truth, asks = ASKED[pattern]
    cells, found = read(*truth)
    (question,) = found.questions
    assert asks in question.asks
    assert not cells
    assert {cell: name for name, cell in truth.items()} in list(answers(found))


def test_a_light_and_a_dark_blue_are_two_layers():
    names = grid("{n} black.png", {"": BLACK}) | {"1 light blue.png": (1, BLUE), "2 dunkelblau.png": (2, BLUE)}
    cells, found = read(*names)
    assert not any(ink == BLUE for _, ink in cells)
    assert "“light blue” and “dunkel blau” both come nearest to harbour" in found.questions[0].asks


def test_a_shade_that_the_shop_has_not_is_told():
    _, found = read(*grid("{n} {w}.png", {"black": BLACK, "light blue": BLUE}))
    assert "“light blue” is taken as harbour: no ink of the shop is called so, and this one has its colour" in (
        found.guesses
    )


def test_layers_told_by_their_numbers_are_proposed_in_two_inks():
    _, found = read(*each_ink({BLACK: "layer1/{n}.png", YELLOW: "layer2/{n}.png"}))
    firsts = [tomllib.loads(question.proposals[0])["ink"][0]["name"] for question in found.questions]
    assert firsts == [BLACK, YELLOW]


@pytest.mark.parametrize("back", ["4e de couv rouge.png", "Umschlag 4 rot.png", "couverture 4 rouge.png"])
def test_the_fourth_page_of_a_cover_is_the_last_of_the_booklet(back):
    found = understand(many(("black.pdf", 8), (back,)), SHOP.inks)
    assert not found.questions
    assert [cell.page for cell in found.cells if cell.ink == RED] == [8]


def test_a_single_page_without_a_number_is_asked_about_beside_a_whole_booklet():
    found = understand(many(("black.pdf", 8), ("red.png",)), SHOP.inks)
    assert not [cell for cell in found.cells if cell.ink == RED]
    (question,) = found.questions
    assert question.asks == "red.png: which of the 8 pages is it? Its name has no number"
    assert [next(iter(way["pages"])) for text in question.proposals for way in tomllib.loads(text)["ink"]] == ["1", "8"]


def test_folders_of_no_ink_that_follow_one_another_are_of_one():
    cells, found = read(*(f"{'anna' if n < 5 else 'ben'}/{n}.png" for n in PAGES))
    assert not found.questions
    assert set(cells) == {(n, BLACK) for n in PAGES}


def test_the_back_of_a_cover_in_a_second_ink_may_be_the_last_numbered_page():
    truth = grid("{n} black.png", {"": BLACK}) | {"back cover red.png": (8, RED)}
    _, found = read(*truth)
    assert {cell: name for name, cell in truth.items()} in list(answers(found))


def test_the_answer_for_a_page_whose_ink_is_misspelt_holds_its_number():
    truth = grid("{n} {w}.png")
    truth["5 blcak.png"] = truth.pop("5 black.png")
    cells, found = read(*truth)
    (question,) = found.questions
    assert tomllib.loads(question.proposals[0])["ink"] == [{"name": BLACK, "pages": {"5": "art/5 blcak.png"}}]
    assert len(cells) == len(truth) - 1


def test_files_of_one_kind_that_cannot_be_read_are_one_question():
    unread = tuple(LeftOut(f"{n}.psd", "is a layered picture", asks=True) for n in (1, 2, 3))
    delivery = sent(*grid("{n}_{w}.png"))
    found = understand(Delivery(delivery.folder, delivery.art, unread), SHOP.inks)
    assert [question.asks for question in found.questions] == ["1.psd and 2 more: each is a layered picture"]
