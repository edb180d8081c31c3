"""The collating guide, read back and rendered by libraries that did not write it."""

from __future__ import annotations

import re
from functools import cache
from io import BytesIO
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.findings import Finding
from imposer.fold.booklet import fold_booklet
from imposer.geometry import Box
from imposer.job.binding import fold_by_id
from imposer.job.model import StitchSpec
from imposer.plan.model import PassPlan
from imposer.sheet.impose import impose
from imposer.write.guide import GuideFacts, guide_pdf, write_guide
from imposer.write.guide.blocks import Block
from imposer.write.guide.collating import step_places
from imposer.write.guide.cut_order import cut_order
from imposer.write.guide.facts import inner_pages, outer_pages
from imposer.write.guide.flow import Section, paginate
from imposer.write.guide.folding import cover_at_left_below
from imposer.write.guide.spacing import spread
from imposer.write.guide.stacks import stacks_of
from imposer.write.guide.turning import leading_corners
from imposer.write.guide.words import wrap
from tests.jobs import a_job
from tests.write.sample import guide_facts

#: Jobs that strain the layout one way each: (pages, what differs from the demo's job).
JOBS: dict[str, tuple[int, dict[str, Any]]] = {
    "the demo": (16, {}),
    "four pages in one ink": (4, {"inks": ("lamp black",), "copies": 25}),
    "64 pages gathered": (64, {"style": "gathered"}),
    "nested signatures read from the right": (
        60, {"style": "gathered", "per_signature": 4, "trim": (105, 148), "sheet": "A4", "lead": "long edge",
             "reading": "right-to-left"},
    ),
    "tabloid with bleed, tumbled": (
        20, {"trim": (130, 200), "sheet": "tabloid", "bleed": 3, "turn": "tumble", "inks": ("soot", "brass")},
    ),
    "four pieces a side, gutters both ways": (
        16, {"trim": (90, 130), "bleed": 3, "lead": "long edge", "turn": "tumble"},
    ),
    "six inks on one drum": (8, {"drums": 1, "inks": tuple("abcdef"), "trim": (200, 280)}),
    "six drums, long names": (
        12, {"drums": 6, "inks": tuple(f"the {n}th ink of a shop that loves long names" for n in range(6)),
             "title": "A title that goes on and on, " * 30},
    ),
    "16 pages from a piece, nested": (32, {"trim": (74, 105), "binding": {"scheme": fold_by_id("F16-6")}}),
    "12 pages from a piece, gathered": (
        36, {"trim": (80, 105), "style": "gathered", "per_signature": 1, "binding": {"scheme": fold_by_id("F12-7")}},
    ),
    "24 pages from a piece, from the right": (
        24, {"trim": (60, 80), "reading": "right-to-left", "binding": {"scheme": fold_by_id("F24-1")}},
    ),
    "32 pages from a piece": (30, {"trim": (50, 70), "binding": {"scheme": fold_by_id("F32-4")}}),
    "sewn, one signature short": (
        36, {"style": "gathered", "per_signature": 2, "binding": {"stitching": StitchSpec(kind="sewn")}},
    ),
    "stab-bound with five holes": (
        24, {"style": "gathered", "trim": (105, 148), "reading": "right-to-left",
             "binding": {"stitching": StitchSpec(kind="stab", holes=5)}},
    ),
    "a title of one endless word": (8, {"title": "<b>Été</b>&amp;" + "Ночь" * 90 + "\N{BUTTERFLY}"}),
}  # fmt: skip


@cache
def facts_of(name: str) -> GuideFacts:
    pages, asked = JOBS[name]
    return guide_facts(pages, **asked)


@cache
def guide_of(name: str) -> bytes:
    return guide_pdf(facts_of(name))


@cache
def text_of(pdf: bytes) -> tuple[str, ...]:
    return tuple(re.sub(r"\s+", " ", page.extract_text()) for page in pypdf.PdfReader(BytesIO(pdf)).pages)


def whole(name: str) -> str:
    return " ".join(text_of(guide_of(name)))


class TestWhatItSays:
    def test_first_page_says_what_to_pull(self) -> None:
        first = text_of(guide_of("the demo"))[0]
        counts = facts_of("the demo").plan.counts
        for words in (
            "Moth Hours",
            "120 copies · 16 pages · 140 × 200 mm · saddle-stitched",
            "cream 90, 90 g/m², A3, 297 × 420 mm",
            f"{counts.good_sheets + counts.overs} = {counts.good_sheets} good + {counts.overs} overs, out of 1 ream",
            "parallel to the 420 mm edge",
            f"Masters {counts.masters}",
            "lamp black",
        ):
            assert words in first

    @pytest.mark.parametrize("name", JOBS)
    def test_formula_is_printed_with_its_numbers(self, name: str) -> None:
        found = whole(name)
        for line in facts_of(name).plan.counts.formula:
            assert re.sub(r"\s+", " ", line) in found

    @pytest.mark.parametrize("name", JOBS)
    def test_every_master_file_is_listed_and_stands_on_its_card(self, name: str) -> None:
        found = whole(name).replace(" ", "")
        for run in facts_of(name).plan.passes:
            assert f"Pass{run.number}of{len(facts_of(name).plan.passes)}:{run.side}s" in found
            for master in run.masters:
                assert found.count(master.file.removeprefix("masters/")) >= 2

    def test_numbers_of_the_pages(self) -> None:
        pages = text_of(guide_of("the demo"))
        assert [f"page {i} of {len(pages)}" in page for i, page in enumerate(pages, 1)] == [True] * len(pages)

    def test_list_of_steps_names_the_pages_they_begin_on(self) -> None:
        pages = text_of(guide_of("the demo"))
        steps = re.findall(r"(\d+) ([A-Z][a-z][^§]*?) p\. (\d+)", pages[0].split("The steps")[1])
        assert len(steps) > 12
        for number, title, page in steps:
            assert re.search(rf"\b{number} {re.escape(title)}|{re.escape(title)}", pages[int(page) - 1])

    def test_staples_stand_at_quarter_and_three_quarters(self) -> None:
        assert "50 mm and 150 mm from the head" in whole("the demo")
        assert "6 mm from the spine, 50 mm and 150 mm from the head" in whole("64 pages gathered")

    def test_cuts_are_told_in_mm(self) -> None:
        layout = facts_of("the demo").layout
        found = whole("the demo")
        assert f"{layout.cuts_x[-1]:g} mm from the lead edge" in found
        assert f"{layout.cuts_y[0]:g} mm from the bottom edge" in found

    def test_creep_and_final_size(self) -> None:
        # Three pieces inside the outermost, each pushed out by one caliper of 0.11 mm.
        assert "stand out by about 0.33 mm" in whole("the demo")
        assert "Final size: 140 × 200 mm" in whole("the demo")

    def test_thickness_of_the_closed_booklet(self) -> None:
        assert "8 leaves × 0.11 mm = 0.88 mm thick" in whole("the demo")

    @pytest.mark.parametrize("step", ["Cut", "Staple", "Trim"])
    def test_caution_stands_before_the_dangerous_step_and_on_its_page(self, step: str) -> None:
        danger = {"Cut": "411.5 mm from the lead edge", "Staple": "Two staples", "Trim": "Fore edge first"}[step]
        page = next(page for page in text_of(guide_of("the demo")) if danger in page)
        heading = re.search(rf"\d+ {step} done", page)
        assert heading
        assert heading.start() < page.index("Take care", heading.start()) < page.index(danger)

    def test_manual_and_local_rules_come_first(self) -> None:
        assert all("The machine's manual and local rules come first" in page for page in text_of(guide_of("the demo")))

    def test_title_shows_as_typed(self) -> None:
        pdf = guide_pdf(guide_facts(4, title="<b>Été</b> & <i>Ночь</i> \N{BUTTERFLY}"))
        # The typeface has no butterfly: an open box stands for it.
        assert "<b>Été</b> & <i>Ночь</i> □" in text_of(pdf)[0]

    def test_warnings_are_shown_once_with_all_their_places(self) -> None:
        coloured = [
            Finding(rule="coloured-layer", level="warning", message="the page is coloured", mend="export gray", page=p)
            for p in (3, 5)
        ]
        note = Finding(rule="n", level="note", message="a mere note")
        accepted = Finding(rule="a", level="warning", message="well known", accepted="we like it")
        first = text_of(guide_pdf(guide_facts(16, findings=(*coloured, note, accepted))))
        assert "pages 3, 5: the page is coloured export gray" in " ".join(first[:2])
        assert "a mere note" not in " ".join(first)
        assert "well known" not in " ".join(first)

    def test_sheets_that_do_not_run_are_set_aside(self) -> None:
        # The third ink is on no page of sheet 2's front (pages 3, 14, 7, 10).
        blank = frozenset((page, 2) for page in (3, 14, 7, 10))
        assert "Not in this pass: sheet 2." in " ".join(text_of(guide_pdf(guide_facts(16, blank=blank))))

    def test_drum_that_rests_on_a_sheet_is_named(self) -> None:
        blank = frozenset((page, 1) for page in (3, 14, 7, 10))
        assert "drum 2: off, no marigold on this sheet" in " ".join(text_of(guide_pdf(guide_facts(16, blank=blank))))

    def test_no_turn_without_backs(self) -> None:
        backs = frozenset((page, ink) for page in (2, 4, 6, 8, 9, 11, 13, 15) for ink in range(3))
        found = " ".join(text_of(guide_pdf(guide_facts(16, blank=backs))))
        assert "Turn the stack over" not in found
        assert "Dry before cutting" in found

    def test_job_that_prints_nothing_still_has_a_guide(self) -> None:
        facts = guide_facts(8, blank=frozenset((page, ink) for page in range(1, 9) for ink in range(3)))
        assert facts.plan.passes == ()
        assert "Masters, in running order" in " ".join(text_of(guide_pdf(facts)))


class TestPaper:
    @pytest.mark.parametrize(
        ("name", "size"),
        [
            # ISO 216 and ANSI/ASME Y14.1 (letter), mm.
            ("the demo", (210, 297)),
            ("tabloid with bleed, tumbled", (215.9, 279.4)),
        ],
    )
    def test_letter_for_us_sheets_else_a4(self, name: str, size: tuple[float, float]) -> None:
        for page in pypdf.PdfReader(BytesIO(guide_of(name))).pages:
            found = float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72
            assert found == pytest.approx(size, abs=0.01)

    @pytest.mark.parametrize("name", JOBS)
    def test_margins_stay_white(self, name: str) -> None:
        for page in pypdfium2.PdfDocument(guide_of(name)):
            image = page.render(scale=72 / 72, grayscale=True).to_numpy().squeeze()
            margin = round(12 * 72 / 25.4)
            inside = image[margin:-margin, margin:-margin]
            assert (inside < 250).any()
            ink = np.argwhere(image < 250)
            (top, left), (bottom, right) = ink.min(axis=0), ink.max(axis=0)
            assert top >= margin * 0.9
            assert left >= margin
            assert bottom < image.shape[0] - margin * 0.75
            assert right < image.shape[1] - margin

    @pytest.mark.parametrize("name", JOBS)
    def test_lines_of_text_never_touch(self, name: str) -> None:
        for number, page in enumerate(pypdfium2.PdfDocument(guide_of(name)), 1):
            lines = lines_of(page)
            for one, other in combinations(lines, 2):
                assert overlap(one, other) < 0.6, f"page {number}: {one} {other}"


def lines_of(page: pypdfium2.PdfPage) -> list[tuple[Box, str]]:
    """Return the boxes of a page's runs of text (points), as the renderer sees them."""
    text = page.get_textpage()
    rects = [text.get_rect(i) for i in range(text.count_rects())]
    return [(Box(*rect), text.get_text_bounded(*rect)) for rect in rects]


def overlap(one: tuple[Box, str], other: tuple[Box, str]) -> float:
    """Return the shorter side of what two boxes share, points."""
    common = one[0].common(other[0])
    return min(common.width, common.height) if common else 0.0


class TestBytes:
    def test_same_facts_same_bytes(self) -> None:
        assert guide_pdf(guide_facts(16)) == guide_pdf(guide_facts(16))

    def test_file_holds_the_guide(self, tmp_path: Path) -> None:
        write_guide(tmp_path / "guide.pdf", facts_of("the demo"))
        assert (tmp_path / "guide.pdf").read_bytes() == guide_of("the demo")

    def test_no_clock_and_no_other_program(self) -> None:
        info = pypdf.PdfReader(BytesIO(guide_of("the demo"))).metadata
        assert info is not None
        assert info.title == "Moth Hours: collating guide"
        assert (info.creator, info.producer) == ("imposer", "imposer")


class TestTurning:
    @pytest.mark.parametrize(
        ("lead", "turn", "first", "then"),
        [
            # Corners lettered clockwise from the upper left. A turn keeps the paper edge that leads, a tumble brings
            # the opposite one (XJDF 2.2, Table A.51: WorkAndBack and Perfecting).
            ("short edge", "turn", "AD", "AD"),
            ("short edge", "tumble", "AD", "BC"),
            ("long edge", "turn", "CD", "CD"),
            ("long edge", "tumble", "CD", "AB"),
        ],
    )
    def test_which_edge_leads(self, lead: str, turn: str, first: str, then: str) -> None:
        found = leading_corners(guide_facts(8, trim=(105, 148), lead=lead, turn=turn))
        assert tuple("".join(sorted(corners)) for corners in found) == (first, then)

    def test_backs_named_on_the_sheets_are_the_leaves(self) -> None:
        backs = facts_of("the demo").leaf_backs()
        # A leaf's two pages are neighbours, the odd one first.
        assert backs == {page: page + 1 if page % 2 else page - 1 for page in range(1, 17)}


class TestCuts:
    @pytest.mark.parametrize("name", JOBS)
    def test_cuts_leave_pieces_of_the_flat_size(self, name: str) -> None:
        """Follow the list with a sheet: every cut takes its part away; what is left over are the pieces."""
        facts = facts_of(name)
        layout = facts.layout
        done = {axis: sorted(cut.at for cut in cut_order(layout) if cut.axis == axis) for axis in ("x", "y")}
        for slot in layout.slots:
            for low, high, at in ((slot.x0, slot.x1, done["x"]), (slot.y0, slot.y1, done["y"])):
                assert low in at
                assert high in at
                assert not [cut for cut in at if low < cut < high]

    @pytest.mark.parametrize("name", JOBS)
    def test_gauge_is_the_distance_to_the_edge_against_it(self, name: str) -> None:
        cuts = cut_order(facts_of(name).layout)
        made = {f"cut {cut.number}": cut for cut in cuts}
        for cut in cuts:
            edge = made[cut.against].at if cut.against in made else 0.0
            assert cut.gauge == pytest.approx(abs(edge - cut.at))
            if cut.against in made:
                assert made[cut.against].number < cut.number
                assert made[cut.against].axis == cut.axis

    def test_outside_first(self) -> None:
        layout = facts_of("four pieces a side, gutters both ways").layout
        outside = {layout.cuts_x[0], layout.cuts_x[-1], layout.cuts_y[0], layout.cuts_y[-1]}
        assert {cut.at for cut in cut_order(layout)[:4]} == outside

    def test_what_comes_off_is_every_stack_once(self) -> None:
        cuts = cut_order(facts_of("four pieces a side, gutters both ways").layout)
        assert [cut.gives for cut in cuts[4:]] == [
            "strip with A, B",
            "waste strip of 6 mm; strip with C, D stays",
            "stacks B, D",
            "waste strip of 6 mm; stacks A, C stays",
        ]

    @settings(max_examples=40, deadline=None, derandomize=True)
    @given(pieces=st.integers(1, 30), sheet=st.sampled_from(["A3", "A4"]), width=st.integers(50, 140))
    def test_stacks_dropped_in_order_are_the_booklet(self, pieces: int, sheet: str, width: int) -> None:
        job = a_job(trim=(width, round(width * 1.4)), sheet=sheet)
        try:
            imposition = impose(job, 4 * pieces)
        except ImposerError:
            return  # too large for this sheet
        facts = GuideFacts(
            job=job,
            measured={},
            imposition=imposition,
            frames={},
            plan=PassPlan(passes=(), counts=None),  # type: ignore[arg-type]
        )
        dropped = [piece for stack in stacks_of(facts) for piece in stack.pieces]
        assert dropped == list(range(1, pieces + 1)) * imposition.copies_per_set


class TestFolding:
    @settings(max_examples=30, deadline=None, derandomize=True)
    @given(pieces=st.integers(1, 20), right_to_left=st.booleans(), nest=st.sampled_from([None, 1, 3]))
    def test_inside_and_outside_of_every_piece(self, pieces: int, right_to_left: bool, nest: int | None) -> None:
        """A leaf's pages stand back to back: what lies left inside has its other page right outside."""
        booklet = fold_booklet(4 * pieces, right_to_left=right_to_left, pieces_per_signature=nest)
        for piece in booklet.pieces:
            (inner_left, inner_right), (outer_left, outer_right) = inner_pages(piece), outer_pages(piece)
            assert None not in (inner_left, inner_right, outer_left, outer_right)
            assert {abs(inner_left - outer_right), abs(inner_right - outer_left)} == {1}  # type: ignore[operator]
            # Read from the left the lower page is left inside; read from the right it is right inside.
            assert (inner_left < inner_right) != right_to_left  # type: ignore[operator]
            assert cover_at_left_below([piece]) != right_to_left

    def test_innermost_piece_is_the_middle_spread(self) -> None:
        assert inner_pages(fold_booklet(16).pieces[-1]) == (8, 9)


class TestStaircase:
    def test_steps_go_down_one_by_one(self) -> None:
        steps = step_places(facts_of("64 pages gathered"))
        assert len(steps) == 16
        for (_, end), (start, _) in pairwise(steps):
            assert start == pytest.approx(end)

    def test_places_are_those_of_the_frames(self) -> None:
        """A 24 pt step (Etherington and Roberts, "black step") from 10 mm under the head, whichever way pages lie."""
        for name in ("64 pages gathered", "nested signatures read from the right"):
            assert step_places(facts_of(name))[0] == pytest.approx((10, 10 + 24 * 25.4 / 72))

    def test_a_signature_whose_outer_pages_lie_on_the_back_has_its_step_too(self) -> None:
        """F12-7 carries pages 1 and 12 on the back of the flat piece; a step is 24 pt (Etherington and Roberts)."""
        steps = step_places(facts_of("12 pages from a piece, gathered"))
        assert [start for start, _ in steps] == pytest.approx([10 + i * 24 * 25.4 / 72 for i in range(3)])

    def test_none_in_a_single_signature(self) -> None:
        assert step_places(facts_of("the demo")) == ()


def block(height: float, *, keep: bool = False, head: Block | None = None) -> Block:
    return Block(height, lambda pen, x, top: None, keep, head)


class TestFlow:
    def test_kept_blocks_go_over_together(self) -> None:
        heading, text = block(10, keep=True), block(30)
        pages = paginate([Section("s", (block(70), heading, text))], 100).pages
        assert [[placed.block for placed in page][-2:] for page in pages][1] == [heading, text]

    def test_head_of_a_table_comes_again(self) -> None:
        head = block(5)
        pages = paginate([Section("s", (head, *(block(30, head=head) for _ in range(4))))], 100).pages
        assert [placed.block is head for placed in pages[1]] == [True, False]

    def test_fresh_section_begins_a_page(self) -> None:
        pages = paginate([Section("a", (block(10),)), Section("b", (block(10),), fresh=True)], 300)
        assert pages.starts == (1, 2)

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(heights=st.lists(st.lists(st.tuples(st.floats(1, 90), st.booleans()), min_size=1, max_size=12), max_size=8))
    def test_nothing_is_lost_or_leaves_the_page(self, heights: list[list[tuple[float, bool]]]) -> None:
        sections = [Section("s", tuple(block(high, keep=keep) for high, keep in each)) for each in heights]
        pages = paginate(sections, 100).pages
        placed = [p.block for page in pages for p in page]
        assert placed == [b for section in sections for b in section.blocks]
        for page in pages:
            for before, after in pairwise(page):
                assert after.down >= before.down + before.block.height - 1e-9
            assert all(p.down + p.block.height <= 100.001 for p in page)


class TestWords:
    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(text=st.text(max_size=120), width=st.floats(5, 80))
    def test_wrapping_loses_nothing(self, text: str, width: float) -> None:
        from imposer.write.drawing import printable

        lines = wrap(text, width, 9.5)
        assert "".join(lines).replace(" ", "") == printable(text).replace(" ", "")

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(text=st.text(alphabet="abc wmi-/", max_size=120), width=st.floats(8, 80))
    def test_no_line_is_wider_than_its_room(self, text: str, width: float) -> None:
        from imposer.write.guide.pen import text_width

        assert all(text_width(line, 9.5) <= width + 1e-6 for line in wrap(text, width, 9.5))

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(places=st.lists(st.floats(0, 100), max_size=12), least=st.floats(0.5, 10))
    def test_spread_keeps_order_and_distance(self, places: list[float], least: float) -> None:
        found = spread(sorted(places), least)
        assert len(found) == len(places)
        assert all(b - a >= least - 1e-6 for a, b in pairwise(found))
