"""Deliveries drawn and named as artists do: read right, or asked about with a ready answer that is right."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Size
from imposer.intake.understand import understand
from tests.intake.deliveries import BLACK, BLUE, GREEN, RED, ROSE, SHOP, YELLOW, many, read

PAGES = range(1, 9)
TWO = {"black": BLACK, "blue": BLUE}


def grid(pattern, inks=TWO, pages=PAGES):
    """The names of a pattern, each with the page and ink that it is."""
    return {pattern.format(n=n, w=word): (n, ink) for n in pages for word, ink in inks.items()}


def each_ink(patterns, pages=PAGES):
    """The same where every ink has a pattern of its own."""
    return {pattern.format(n=n): (n, ink) for n in pages for ink, pattern in patterns.items()}


# Common practice, no source: names as they come from exports, scanners and people.
READ = {
    "a day, a size and a resolution": grid("zine_{n:02d}_{w}_A5_300dpi_2024-05-01.png"),
    "a short date": grid("zine_{w}_{n}_12-03-24.png"),
    "a resolution an ink": each_ink({BLACK: "black {n} 600dpi.tif", BLUE: "blue {n} 300dpi.tif"}),
    "a size in mm": grid("{w} {n} 105x148mm.png"),
    "a day an ink": each_ink({BLACK: "zine {n} black 8.3.png", BLUE: "zine {n} blue 9.3.png"}),
    "one page and its size": {"poster A6 black.png": (1, BLACK), "poster A6 blue.png": (1, BLUE)},
    "one page and its resolution": {"black 300dpi.png": (1, BLACK), "blue 300dpi.png": (1, BLUE)},
    "one page, two versions of it": {"black v2.png": (1, BLACK), "blue v2.png": (1, BLUE)},
    "a colour in the title that is an ink, too": grid("black cat {n} {w}.png"),
    "no space between words": grid("zine{w}P{n}.png", {"Black": BLACK, "Blue": BLUE}),
    "a colour grown onto the word for page": grid("{w}page{n}.png"),
    "capitals grown onto a colour": grid("{n}FINAL{w}.png", {"rouge": RED, "bleu": BLUE}),
    "Czech": grid("strana {n} {w}.png", {"černá": BLACK, "červená": RED}),
    "Polish": grid("strona {n} {w}.png", {"żółty": YELLOW, "zielony": GREEN}),
    "Cyrillic": grid("{n} {w}.png", {"чёрный": BLACK, "красный": RED}),
    "Japanese": grid("{n}{w}.png", {"黒": BLACK, "青": BLUE}),
    "page folders and numbered inks": each_ink({BLUE: "page {n}/1_blue.png", BLACK: "page {n}/2_black.png"}),
    "page folders and versions": grid("issue 4/page {n}/{w} v2.png"),
    "page folders of ink folders": grid("zine/p{n}/{w}/art.png"),
    "page folders and plate letters": grid("p{n}/{w}.tif", {"K": BLACK, "Y": YELLOW}),
    "plate folders": grid("{w}/{n}.tif", {"K": BLACK, "M": ROSE}),
    "order of printing, then page": each_ink({YELLOW: "1_yellow_{n}.png", ROSE: "2_pink_{n}.png"}),
    "signs of a web address": grid("my%20zine%20{n}%20{w}.png"),
    "the ink between a version and the page": grid("zine final {w} {n}.png"),
    "a cover of a later version": (
        grid("{w} {n}.png", pages=range(2, 8))
        | {"cover black v2.png": (1, BLACK), "back cover black v2.png": (8, BLACK)}
    ),
    "A and B for sizes of paper": grid("B5 {w} {n}.png"),
}  # fmt: skip


@pytest.mark.parametrize("pattern", READ)
def test_names_are_read_right(pattern):
    truth = READ[pattern]
    cells, found = read(*sorted(truth))
    assert not found.questions, found.questions
    assert cells == {cell: name for name, cell in truth.items()}


def answers(found):
    """The table of page × ink that each proposal makes with what is sure."""
    sure = {(cell.page, cell.ink): cell.place for cell in found.cells}
    for question in found.questions:
        for proposal in question.proposals:
            job = tomllib.loads(proposal)
            if "ink" in job:
                yield sure | {
                    (int(page), ink["name"]): place.removeprefix("art/")
                    for ink in job["ink"]
                    if isinstance(ink["pages"], dict)
                    for page, place in ink["pages"].items()
                }
            else:
                ink = proposal.partition("[ink.pages] of ")[2].partition(";")[0]
                ((page, place),) = job.items()
                yield sure | {(int(page), ink): place.removeprefix("art/")}


def without(truth, *names):
    return {name: cell for name, cell in truth.items() if name not in names}


ZERO = {f"black/{n - 1}.png": (n, BLACK) for n in PAGES} | {f"rose/{n}.png": (n, ROSE) for n in PAGES}
LATE = {f"black/scan_{n}.jpg": (n, BLACK) for n in PAGES} | {f"blue/scan_{4 + n}.jpg": (n, BLUE) for n in PAGES}
SHEETS = {
    f"card {n} {side} black.png": (2 * n - (side == "front"), BLACK) for n in (1, 2, 3, 4) for side in ("front", "back")
}
CHAPTERS = {f"ch{c}/black/{n}.png": (4 * c - 4 + n, BLACK) for c in (1, 2) for n in (1, 2, 3, 4)}
INSIDE = {f"black {n}.png": (n + 1, BLACK) for n in range(1, 7)}
COVER = {"black front.png": (1, BLACK), "black back.png": (8, BLACK)}

#: What is sent and what it is, None for a file that is left aside; the question.
ASKED = {
    "two versions of a page": (
        {"poster black v1.png": None, "poster black v2.png": (1, BLACK)}, "pages, or versions of one page?",
    ),
    "two copies of a page": ({"black copy 1.png": (1, BLACK), "black copy 2.png": None}, "versions of one page?"),
    "two days": (
        {"black 2024-03-01.png": None, "black 2024-03-09.png": (1, BLACK)}, "versions or dates: are they pages",
    ),
    "two days of a month": ({"black 1. mai.png": None, "black 9. mai.png": (1, BLACK)}, "versions or dates"),
    "two sizes": ({"black A5.png": (1, BLACK), "black A6.png": None}, "versions of one page?"),
    "a later version of one page": (
        grid("p{n}_{w}.png") | {"p3_black.png": None, "p3_black_final_FINAL2.png": (3, BLACK)}, "both page 3",
    ),
    "versions in folders": (
        {f"v{v}/black/{n}.png": (n, BLACK) if v == 2 else None for v in (1, 2) for n in PAGES}, "or two versions",
    ),
    "one ink from 0, one from 1": (ZERO, "lamp black is numbered 0–7 and rose 1–8"),
    "a scanner's count that overlaps": (LATE, "equally many files from different numbers on"),
    "a scanner's count that goes on": (
        {f"scan{n:03d}_black.png": (n, BLACK) for n in PAGES} | {f"scan{n + 8:03d}_blue.png": (n, BLUE) for n in PAGES},
        "do the numbers count pages",
    ),
    "a camera's count": ({f"DSC000{11 + n}.jpg": (n, BLACK) for n in PAGES}, "is 12 the first page?"),
    "order of printing": ({"1_yellow.png": (1, YELLOW), "2_pink.png": (1, ROSE)}, "the inks share no page"),
    "two sides of a sheet": (
        {"a_front black.png": (1, BLACK), "b_back black.png": (2, BLACK)}, "two sides of a flat sheet",
    ),
    "the outside of a cover": ({"front black.png": (1, BLACK), "back black.png": (4, BLACK)}, "whose inside is blank?"),
    "fronts and backs": (SHEETS, "fronts and backs of one number"),
    "recto and verso": (
        {f"{(n + 1) // 2} {'recto' if n % 2 else 'verso'} black.png": (n, BLACK) for n in PAGES}, "fronts and backs",
    ),
    "a and b": ({f"{(n + 1) // 2}{'ab'[(n + 1) % 2]} black.png": (n, BLACK) for n in PAGES}, "fronts and backs"),
    "chapters that count from 1": (CHAPTERS, "or do they follow one another?"),
    "a cover in a folder, counted from 1": (
        {f"inside/black_{n - 2}.png": (n, BLACK) for n in range(3, 7)}
        | {f"cover/black_{k}.png": (n, BLACK) for k, n in ((1, 1), (2, 2), (3, 7), (4, 8))},
        "does the cover lie around the other pages",
    ),
    "a cover in a folder, and an inside that counts with it": (
        {f"inside/black_{n}.png": (n, BLACK) for n in range(3, 7)}
        | {f"cover/black_{k}.png": (n, BLACK) for k, n in ((1, 1), (2, 2), (3, 7), (4, 8))},
        "does the cover lie around the other pages",
    ),
    "a page without a number": (
        without(grid("{w} {n}.png"), "black 1.png", "blue 1.png") | {"title black.png": (1, BLACK)}
        | {"title blue.png": (1, BLUE)}, "have no number: which pages are they?",
    ),
    "an inside that counts from 1": (INSIDE | COVER, "does the inside count from 1"),
    "a cover that is a page, too": (
        grid("{w} {n}.png", {"black": BLACK}) | {"black back.png": None}, "does the inside count from 1",
    ),
    "names against folders": (
        {f"page {n}/p{9 - n} black.png": (9 - n, BLACK) for n in PAGES}, "by its name and",
    ),
    "numbers far beyond all files": (
        {f"{p}_black.png": (n, BLACK) for n, p in enumerate((1, 2, 3, 416), 1)}, "far more than there are files",
    ),
}  # fmt: skip


@pytest.mark.parametrize("pattern", ASKED)
def test_what_is_asked_about_has_the_right_answer_ready_and_nothing_is_wrong_before(pattern):
    truth, asks = ASKED[pattern]
    cells, found = read(*truth)
    assert any(asks in question.asks for question in found.questions), found.questions
    assert all(truth[name] == cell for cell, name in cells.items())
    meant = {cell: name for name, cell in truth.items() if cell}
    assert meant in list(answers(found))


def test_two_inks_of_unknown_names_may_be_answered_as_two():
    cells, found = read(*(f"{n}{letter}.png" for n in PAGES for letter in "br"))
    assert not cells
    apart = next(answers(found))
    assert (apart[3, BLACK], apart[3, YELLOW]) == ("3b.png", "3r.png")


def test_files_that_name_no_ink_are_one_question_and_the_ink_spelt_like_it_comes_first():
    _, found = read(*grid("{n}_{w}.png", {"marigld": YELLOW, "harbour": BLUE}))
    (question,) = found.questions
    assert question.asks.startswith("1_marigld.png and 7 more name no ink")
    assert tomllib.loads(question.proposals[0])["ink"][0]["name"] == YELLOW


def test_colours_in_the_titles_of_pages_are_one_question():
    titles = ["green man", "red fox", "blue owl", "pink hare"]
    names = [f"{n} {title} {ink}.png" for n, title in enumerate(titles, 1) for ink in ("black", "yellow")]
    cells, found = read(*names)
    assert not cells
    (question,) = found.questions
    assert "is the last word for a colour the ink?" in question.asks
    last = {ink["name"]: ink["pages"] for ink in tomllib.loads(question.proposals[0])["ink"]}
    assert last.keys() == {BLACK, YELLOW}
    assert last[BLACK] == {str(n): f"art/{n} {title} black.png" for n, title in enumerate(titles, 1)}


def test_a_word_for_an_ink_that_begins_a_title_is_asked_about():
    _, found = read(*(f"blue kite {n}.png" for n in PAGES))
    (question,) = found.questions
    assert "every name says “blue” beside “kite”: is it the ink, harbour, or part of the title?" in question.asks
    for names in (grid("zine {w} {n}.png", {"blue": BLUE}), grid("{w} page {n}.png", {"blue": BLUE})):
        assert not read(*names)[1].questions


def test_a_program_that_renames_many_files_counts_pages_in_brackets():
    cells, found = read(*(f"black ({n}).png" for n in PAGES))
    assert not found.questions
    assert cells[3, BLACK] == "black (3).png"
    assert any("numbers in brackets" in guess for guess in found.guesses)


def asked_of(*files):
    found = understand(many(*files), SHOP.inks)
    return found, list(answers(found))


def test_a_cover_beside_its_inside_is_proposed_around_it():
    _, ways = asked_of(("cover black.pdf", 4), ("inside black.pdf", 4))
    assert [ways[0][page, BLACK] for page in (1, 2, 3, 6, 7, 8)] == [
        "cover black.pdf, page 1", "cover black.pdf, page 2", "inside black.pdf, page 1", "inside black.pdf, page 4",
        "cover black.pdf, page 3", "cover black.pdf, page 4",
    ]  # fmt: skip


def test_a_page_that_was_sent_again_is_proposed_in_its_place():
    _, ways = asked_of(("black.pdf", 8), ("black page 3 corrected.pdf", 1))
    assert (ways[0][3, BLACK], ways[0][4, BLACK]) == ("black page 3 corrected.pdf", "black.pdf, page 4")


def test_odd_and_even_pages_are_proposed_by_turns():
    _, ways = asked_of(("black even.pdf", 4), ("black odd.pdf", 4))
    assert [ways[0][page, BLACK] for page in (1, 2, 7, 8)] == [
        "black odd.pdf, page 1", "black even.pdf, page 1", "black odd.pdf, page 4", "black even.pdf, page 4",
    ]  # fmt: skip


def test_versions_of_one_file_are_not_joined():
    found, _ = asked_of(("zine black v1.pdf", 8), ("zine black v2.pdf", 8))
    (question,) = found.questions
    assert "which one is right?" in question.asks
    assert [tomllib.loads(way)["ink"][0]["pages"] for way in question.proposals] == [
        "art/zine black v1.pdf", "art/zine black v2.pdf",
    ]  # fmt: skip


def test_a_range_in_a_name_that_leaves_out_page_1_may_be_a_day():
    found, ways = asked_of(("zine 12-15 black.pdf", 4))
    assert not found.cells
    assert ways[1] == {(n, BLACK): f"zine 12-15 black.pdf, page {n}" for n in (1, 2, 3, 4)}


def test_an_ink_between_a_version_and_a_range_hides_none_of_it():
    found, _ = asked_of(("FINAL black.pdf", 8), ("FINAL yellow 4-5.pdf", 2))
    assert not found.questions
    assert {cell.page for cell in found.cells if cell.ink == YELLOW} == {4, 5}


def test_a_day_in_the_name_of_a_file_is_no_range():
    found, _ = asked_of(("2024-03-12_zine_A6_black.pdf", 8), ("2024-03-12_zine_A6_blue.pdf", 8))
    assert not found.questions
    assert len(found.cells) == 16


@pytest.mark.parametrize("name", ["yellow p4+p5.pdf", "gelb S. 4 u. 5.pdf"])
def test_a_list_of_two_pages_is_read(name):
    found, _ = asked_of(("black.pdf", 8), (name, 2))
    assert not found.questions
    assert {cell.page for cell in found.cells if cell.ink == YELLOW} == {4, 5}


def test_either_ink_may_come_first_in_a_file_of_two():
    found, _ = asked_of(("zine black pink.pdf", 16))
    taken = [[(ink["name"], ink["take"]) for ink in tomllib.loads(way)["ink"]] for way in found.questions[0].proposals]
    assert [(BLACK, "1-8"), (ROSE, "9-16")] in taken
    assert [(ROSE, "every 2 from 1"), (BLACK, "every 2 from 2")] in taken


SINGLE, DOUBLE = Size(111, 154), Size(216, 154)


def test_spreads_with_one_bleed_around_both_pages_are_known_beside_single_ones():
    found = understand(many(("1 black.pdf", 1, SINGLE), ("2-3 black.pdf", 1, DOUBLE)), SHOP.inks)
    (question,) = found.questions
    assert "a reader's spreads" in question.asks
    assert (found.trim, found.bleed, found.cells) == (Size(105, 148), 3, ())


@pytest.mark.parametrize("names", [("8-1", "2-7", "6-3", "4-5"), ("1-8", "2-7", "3-6", "4-5")])
def test_pairs_of_one_sum_are_proposed_as_printers_pairs_in_their_order(names):
    found = understand(many(*((f"{name} black.png", 1, Size(210, 148)) for name in sorted(names))), SHOP.inks)
    (question,) = found.questions
    job = tomllib.loads(question.proposals[0])["ink"][0]
    assert job["art"] == "printer's pairs"
    assert job["pages"] == [f"art/{name} black.png" for name in sorted(names, key=lambda name: min(name.split("-")))]


def test_a_cover_of_spreads_comes_before_and_after_them():
    found = understand(
        many(
            ("back cover black.png", 1),
            ("front cover black.png", 1),
            *((f"spread{n} black.png", 1, Size(210, 148)) for n in (1, 2, 3)),
        ),
        SHOP.inks,
    )
    (question,) = found.questions
    pages = tomllib.loads(question.proposals[0])["ink"][0]["pages"]
    assert [page.removeprefix("art/").split()[0] for page in pages] == [
        "front",
        "spread1",
        "spread2",
        "spread3",
        "back",
    ]


def test_a_double_page_without_a_number_lies_where_two_pages_are_missing():
    singles = [(f"black {n}.png", 1) for n in (1, 2, 3, 6, 7, 8)]
    found = understand(many(*singles, ("centrefold black.png", 1, Size(210, 148))), SHOP.inks)
    (question,) = found.questions
    pages = tomllib.loads(question.proposals[0])["ink"][0]["pages"]
    assert pages[2:5] == ["art/black 3.png", "art/centrefold black.png", "art/black 6.png"]


def test_an_ink_without_bleed_beside_one_with_it_is_told_and_not_asked():
    found = understand(many(("black.pdf", 8, SINGLE), ("blue.pdf", 8)), SHOP.inks)
    assert not found.questions
    assert (found.trim, found.bleed) == (Size(105, 148), 3)
    assert "the finished page is A6 with 3 mm of bleed; 8 pages have none" in found.guesses


def test_a_page_of_another_size_may_be_scaled_or_centred():
    found = understand(many(("black 1-7.pdf", 7), ("black 8.pdf", 1, Size(148, 210))), SHOP.inks)
    ways = [tomllib.loads(way) for question in found.questions if "which size" in question.asks
            for way in question.proposals]  # fmt: skip
    assert [way["page"]["fit"] for way in ways] == ["scale", "centre"]


WORDS = {BLACK: ["black", "noir", "K", "schwarz", "чёрный"], YELLOW: ["gelb", "amarillo", "Y"], BLUE: ["azul", "bleu"],
         ROSE: ["pink", "rosa", "M"], GREEN: ["grün", "verde"]}  # fmt: skip
TRASH = ["", "2024-03-12", "12.3.24", "A5", "300dpi", "v3", "FINAL", "final2", "(1)", "copy 2", "105x148mm", "100%",
         "zine 4", "issue 12", "Été", "3 mai", "take 2", "no. 5", "24h", "v1.2"]  # fmt: skip
PATTERNS = [
    "{trash} {ink} {page}", "{page}_{ink}_{trash}", "{ink}/{trash}_{page}", "{trash}/{ink}/{page}",
    "p{page}/{ink} {trash}", "{trash}-p{page}-{ink}", "{trash}/{page}/{ink}", "{order}_{ink}/{page} {trash}",
    "{order} {ink} page {page} {trash}", "page {page} of 16 {ink} {trash}", "{page}.{ink}.{trash}",
    "{ink}/{trash}/{page}", "{ink} {other} {page} {trash}",
]  # fmt: skip


@settings(max_examples=600, deadline=None, derandomize=True)
@given(
    data=st.data(),
    inks=st.lists(st.sampled_from(list(WORDS)), min_size=1, max_size=3, unique=True),
    pattern=st.sampled_from(PATTERNS),
    trash=st.sampled_from(TRASH),
    other=st.sampled_from(TRASH),
    polluted=st.sampled_from(["all", "one ink", "some", "one page"]),
    pad=st.sampled_from(["", "02", "03"]),
    first=st.sampled_from([0, 1]),
    pages=st.sampled_from([4, 8, 12]),
)
def test_renamed_shuffled_and_polluted_deliveries_put_no_page_into_a_wrong_cell(
    data, inks, pattern, trash, other, polluted, pad, first, pages
):
    truth = {}
    for order, ink in enumerate(inks, 1):
        word = data.draw(st.sampled_from(WORDS[ink]))
        # The first ink is on every page, so that a count from 0 shows.
        held = data.draw(st.sets(st.integers(1, pages), min_size=1)) if order > 1 else range(1, pages + 1)
        for page in sorted(held):
            there = {
                "all": True,
                "one ink": order == 1,
                "some": data.draw(st.booleans()) if polluted == "some" else False,
                "one page": page == 3,
            }[polluted]
            name = pattern.format(
                ink=word, page=format(page - 1 + first, pad), trash=trash if there else "", other=other, order=order
            )
            truth.setdefault(f"{name.strip()}.png", (page, ink))
    cells, found = read(*data.draw(st.permutations(sorted(truth))))
    assert {cell: name for cell, name in cells.items() if truth[name] != cell} == {}, found.questions
    assert len(cells) == len(truth) or found.questions
