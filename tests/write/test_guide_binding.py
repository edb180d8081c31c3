"""Folding, sewing and binding in the guide: right-angle signatures, holes in mm, covers and bodies, read back."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from typing import Any

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.booklet import fold_booklet
from imposer.fold.creases import creased_edges
from imposer.fold.model import Scheme
from imposer.geometry import Size
from imposer.job.model import StitchSpec
from imposer.sheet.numbering import numbered_in_job
from imposer.sheet.stitches import stitching_of
from imposer.units import show
from imposer.write.drawing import open_canvas
from imposer.write.guide import GuideFacts, guide_pdf
from imposer.write.guide.flow import Section
from imposer.write.guide.fold_view import FoldedPiece
from imposer.write.guide.fold_words import finished, spine_side, top_page, under_page
from imposer.write.guide.folding_in_steps import folded_piece
from imposer.write.guide.pen import Pen
from imposer.write.guide.together import finishing
from tests.fold.test_creases import random_schemes
from tests.write.sample import guide_facts
from tests.write.test_guide import JOBS, facts_of, guide_of, text_of, whole


class TestFoldingInSteps:
    @pytest.mark.parametrize(
        "name", [name for name, (_, asked) in JOBS.items() if "scheme" in asked.get("binding", {})]
    )
    def test_every_crease_is_numbered_and_every_fold_told(self, name: str) -> None:
        found = whole(name)
        scheme = facts_of(name).imposition.booklet.scheme
        for edge in creased_edges(scheme):
            folded = folded_piece(facts_of(name), facts_of(name).imposition.booklet.pieces[0])
            assert f"{edge.fold} {'V' if edge.valley == (folded.up == 'front') else 'M'}" in found
        assert found.count("over onto the rest: valley") + found.count("out of sight: mountain") == len(scheme.creases)
        assert "V: valley" in found
        assert "M: mountain" in found

    def test_words_of_a_16_page_signature(self) -> None:
        """F16-6 is V1/2U H1/2U V1/4D: right-angle folds, closed at the foot and partly at the fore edge."""
        found = whole("16 pages from a piece, nested")
        steps = found.index("left half over onto"), found.index("near half over onto"), found.index("left half under")
        assert steps == tuple(sorted(steps))
        assert "Folded: page 1 on top, head away from you." in found
        assert "Closed by folds until it is trimmed open: fore edge (2 folds), foot (4 folds)." in found
        # 1/8 in (a bindery's signature guide) stands beyond each page that a fold closes.
        assert f"It opens 4 folds a piece: {show(25.4 / 8)} mm beyond the page are cut off." in found

    def test_nest_opens_each_piece_at_its_middle(self) -> None:
        """Two collected signatures (XJDF 2.2, 5.4.22.1): the outer of 32 pages holds 1-8 and 25-32."""
        found = whole("16 pages from a piece, nested")
        assert "Open piece 1 at its middle, between pages 8 and 25" in found
        assert "pages 16 | 17 are the middle of the booklet" in found

    def test_pages_of_the_piece_list_are_those_of_the_frames(self) -> None:
        """What the list calls far row is the top row of the piece's front as it lies on the sheet."""
        facts = facts_of("16 pages from a piece, nested")
        panels = [p for p in facts.sheet(1).front.panels if p.piece == 1]
        turned = facts.layout.piece_turn
        key = {0: lambda p: (-p.trim.y1, p.trim.x0), 90: lambda p: (p.trim.x0, p.trim.y0)}[turned]
        top = [p.page for p in sorted(panels, key=key)][:4]
        assert "|".join(map(str, top)) in whole("16 pages from a piece, nested")

    def test_read_from_the_right_ends_with_page_one_up(self) -> None:
        found = whole("24 pages from a piece, from the right")
        assert "page 24 on top" in found
        assert "turn it over like a leaf: page 1 is up" in found

    def test_last_fold_level_ends_with_a_quarter_turn(self) -> None:
        assert "head to the left. Turn it a quarter clockwise" in whole("32 pages from a piece")

    def test_caution_comes_before_the_folds(self) -> None:
        page = next(p for p in text_of(guide_of("32 pages from a piece")) if "Fold by fold" in p)
        assert page.index("strains wrists") < page.index("Fold by fold")

    @settings(max_examples=25, deadline=None, derandomize=True)
    @given(random_schemes(), st.sampled_from(["left-to-right", "right-to-left"]))
    def test_captions_lead_to_the_first_page_head_away(self, scheme: Scheme, reading: str) -> None:
        """Do what the last caption says with the stack, and the booklet's first page is up, its head away."""
        pieces = fold_booklet(scheme.pages, scheme=scheme, right_to_left=reading == "right-to-left").pieces
        if not scheme.creases:
            return
        lines = [float(i) for i in range(20)]
        for up in ("front", "back"):
            folded = FoldedPiece(scheme, lines[: scheme.columns + 1], lines[: scheme.rows + 1], up, pieces[0])
            page, head = top_page(folded)
            said = finished(folded)
            assert f"page {page} on top" in said
            assert ("Turn it" in said) == (head != "N")
            assert {page, under_page(folded)} == {1, scheme.pages}
            assert ("turn it over" in said) == (page != 1)
            # Seen with its head away and page 1 up, a spine at the left reads from the left.
            spine = spine_side(folded)
            assert (spine == "W") == ((page == 1) == (reading == "left-to-right"))


class TestSewing:
    def test_holes_of_a_sewn_signature_are_told_in_mm(self) -> None:
        found = whole("sewn, one signature short")
        assert "gathered and sewn" in found
        assert "6 holes in the fold of every signature: 12, 47.2, 82.4, 117.6, 152.8 and 188 mm from the head" in found
        assert "Fine strokes in the fold mark them." in found
        assert "Signature 4 has 1 piece only, the others 2: it lies second from the end" in found
        # Pages 4 | 5 are the middle of a signature of eight.
        assert "Signature 1, open at its middle" in found

    def test_holes_of_a_stab_binding(self) -> None:
        found = whole("stab-bound with five holes")
        assert "gathered and stab-bound" in found
        assert "5 holes, 10 mm from the spine: 10, 42, 74, 106 and 138 mm from the head." in found
        assert "20 mm at the spine were kept clear" in found
        # 12 leaves of 0.11 mm make the spine of a cover.
        assert "12 leaves × 0.11 mm = 1.32 mm wide" in found

    @pytest.mark.parametrize("name", ["sewn, one signature short", "stab-bound with five holes"])
    def test_caution_for_points_comes_before_the_piercing(self, name: str) -> None:
        page = next(p for p in text_of(guide_of(name)) if "Pierce and sew done" in p)
        assert page.index("A cork on every awl") < page.index("mm from the head")

    @pytest.mark.parametrize("name", ["sewn, one signature short", "stab-bound with five holes"])
    def test_piercing_strip_is_at_full_size(self, name: str) -> None:
        """Read from the page's own drawing: dots as far apart as the holes, to a tenth of a millimetre."""
        facts = facts_of(name)
        places = stitching_of(facts.job.binding, facts.trim).places  # type: ignore[union-attr]
        reader = pypdf.PdfReader(BytesIO(guide_of(name)))
        page = next(p for p in reader.pages if "Piercing strip, full size" in p.extract_text())
        heights: list[float] = []

        def keep(text: str, cm: Any, tm: Any, font: Any, size: Any) -> None:
            if text.strip() in {show(place) for place in places}:
                heights.append(float(cm[5]) * 25.4 / 72 + float(tm[5]) * 25.4 / 72)

        page.extract_text(visitor_text=keep)
        strip = sorted(heights, reverse=True)[-len(places) :]
        assert [strip[0] - y for y in strip] == pytest.approx([p - places[0] for p in places], abs=0.1)

    def test_spoilt_copies_are_those_of_the_stitch(self) -> None:
        assert "a stitch that is loose or missed" in whole("sewn, one signature short")
        assert "a staple out of place" not in whole("sewn, one signature short")


class TestParts:
    """Cover and body printed apart, bound once: told in the chapter of the part that is printed last."""

    @staticmethod
    def parts(inside: str = "saddle") -> tuple[GuideFacts, GuideFacts]:
        """A cover of pages 1, 2, 19 and 20 on thick paper, and a body of pages 3 to 18."""
        cover = replace(guide_facts(4, trim=(105, 148), caliper=0.2, inks=("k",)), name="cover")
        body = replace(guide_facts(16, trim=(105, 148), style=inside, inks=("k",)), name="body")
        numbered = [
            replace(part, imposition=numbered_in_job(part.imposition, pages, before))
            for part, pages, before in ((cover, (1, 2, 19, 20), 0), (body, range(3, 19), 0))
        ]
        return numbered[0], numbered[1]

    @staticmethod
    def said(parts: tuple[GuideFacts, ...]) -> list[str]:
        """What the last steps say, part by part: titles and their words, drawn and read back."""
        return [" ".join(section_words(section) for section in finishing(part, parts, 170)) for part in parts]

    def test_saddle_stitched_parts_are_nested_and_stapled_once(self) -> None:
        cover, body = self.said(self.parts())
        assert "Keep the cover (pages 1, 2, 19, 20) flat" in cover
        assert "Staple" not in cover
        assert "Open the cover (pages 1, 2, 19, 20) at its middle and lay the body (pages 3–18) in" in body
        # 2 leaves of 0.2 mm and 8 of 0.11 mm.
        assert "Closed: 10 leaves, 1.28 mm thick" in body
        assert body.count("Two staples in the fold") == 1

    def test_cover_is_wrapped_round_a_side_stitched_block(self) -> None:
        _, body = self.said(self.parts("gathered"))
        assert body.index("6 mm from the spine") < body.index("Wrap the cover (pages 1, 2, 19, 20) round the block")
        assert "round the block of 0.88 mm" in body
        assert "8 leaves × 0.11 mm = 0.88 mm wide" in body

    def test_a_stab_binding_goes_through_the_cover(self) -> None:
        stab = StitchSpec(kind="stab")
        cover, body = self.parts("gathered")
        bound = replace(body.job.binding, stitching=stab)
        _, said = self.said((cover, replace(body, job=replace(body.job, binding=bound))))
        assert said.index("round the block") < said.index("Pierce straight down")

    def test_whole_guide_of_parts_is_drawn(self) -> None:
        found = " ".join(text_of(guide_pdf(*self.parts())))
        assert "Put aside done" in found
        assert "Put the parts together done" in found


def section_words(section: Section) -> str:
    """Return what a section says, with its title."""
    buffer = BytesIO()
    with open_canvas(buffer, Size(210, 2000)) as canvas:
        top = 1990.0
        for each in section.blocks:
            each.draw(Pen(canvas), 20, top)
            top -= each.height
    return (
        section.title + " " + re.sub(r"\s+", " ", pypdf.PdfReader(BytesIO(buffer.getvalue())).pages[0].extract_text())
    )
