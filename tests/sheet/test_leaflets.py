"""Leaflets and cards on press sheets: panels, slit, flap, poster, both flips; and sheets that are never trimmed."""

from dataclasses import astuple, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.fold.leaflets import FORMS
from imposer.geometry import Box
from imposer.job.model import BindingSpec, FormSpec
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.sheet.model import Stroke, Words
from tests.jobs import a_job


def leaflet(
    style, trim=(60, 90), *, reading="left-to-right", untrimmed=False, layout="cut-and-stack", form=None, **job
):
    made = a_job(trim=trim, **job)
    binding = BindingSpec(style=style, reading=reading, form=form or FormSpec())
    return replace(made, binding=binding, sheet=replace(made.sheet, untrimmed=untrimmed, layout=layout))


def pages_of(style, form):
    """A page count that fills the form."""
    if style == "flat":
        return 6
    one_sided = form.poster or FORMS[style].one_sided or form.sides == 1
    return (FORMS[style].panels or 5) * (1 if one_sided else 2) + form.poster


FORMED = st.sampled_from(
    [
        (style, form)
        for style in FORMS
        for form in (FormSpec(), FormSpec(sides=1), FormSpec(poster=True))
        if not (style == "flat" and form.poster)
    ]
)


@settings(deadline=None, derandomize=True, max_examples=40)
@given(
    formed=FORMED,
    reading=st.sampled_from(["left-to-right", "right-to-left"]),
    turn=st.sampled_from(["turn", "tumble"]),
    lead=st.sampled_from(["short edge", "long edge"]),
    trim=st.sampled_from([(50, 70), (70, 50), (60, 60)]),
    bleed=st.sampled_from([0, 3]),
)
def test_every_form_lies_inside_and_its_backs_behind_its_fronts(formed, reading, turn, lead, trim, bleed):
    """Portrait, landscape and square pages; turn and tumble; both reading directions."""
    style, form = formed
    job = leaflet(style, trim, reading=reading, turn=turn, lead=lead, bleed=bleed, form=form)
    imposition = impose(job, pages_of(style, form))
    layout = imposition.layout
    flips_y = (layout.lead == "left") == (turn == "turn")
    seen = set()
    for sheet in imposition.sheets:
        for face in (sheet.front, sheet.back):
            assert all(layout.safe.contains(p.clip) for p in face.panels)
            assert not any(a.clip.meets(b.clip) for i, a in enumerate(face.panels) for b in face.panels[:i])
            seen |= {p.page for p in face.panels if p.page}
        for back in sheet.back.panels:
            if back.page is None or back.page == imposition.booklet.pieces[0].poster:
                continue
            box = back.trim.mirrored_y(layout.size.height) if flips_y else back.trim.mirrored_x(layout.size.width)
            (front,) = (p for p in sheet.front.panels if _same(p.trim, box))
            assert (front.piece, front.copy) == (back.piece, back.copy)
            assert {front.page, back.page} in [{p, p + 1} for p in range(1, imposition.booklet.pages, 2)]
    assert seen == set(range(1, imposition.booklet.pages + 1))


def _same(one, other):
    return max(abs(a - b) for a, b in zip(astuple(one), astuple(other), strict=True)) < 1e-6


@pytest.mark.parametrize(
    ("sheet", "trim", "slit"),
    [
        ("A4", (74.25, 105), (74.25, 105, 222.75, 105)),
        ("letter", (2.75 * 25.4, 4.25 * 25.4), (2.75 * 25.4, 4.25 * 25.4, 8.25 * 25.4, 4.25 * 25.4)),
    ],
)
def test_the_slit_of_a_whole_sheet(sheet, trim, slit):
    """Derived: A4 is slit from 74.25 to 222.75 mm at 105 mm, letter from 2.75 to 8.25 in at 4.25 in."""
    job = leaflet("mini", trim, sheet=sheet, untrimmed=True)
    (found,) = impose(job, 8).sheets[0].front.slits
    assert (found.x0, found.y0, found.x1, found.y1) == pytest.approx(slit)


def test_the_slit_is_marked_on_the_front_alone_and_no_fold_runs_along_it():
    job = leaflet("mini", (65, 90), sheet="A4", pieces=1, marks=frozenset({"slit", "fold"}))
    imposition = impose(job, 8)
    sides = draw_frames(job, imposition).sides
    slits = [m for m in sides[1, "front"].marks if isinstance(m, Stroke) and m.kind == "slit"]
    (slit,) = imposition.sheets[0].front.slits
    assert len(slits) == 4, "a bar and a lead-in at both ends"
    assert {m.dash is not None for m in slits} == {True, False}
    assert min(min(m.x0, m.x1) for m in slits) == slit.x0
    assert max(max(m.x0, m.x1) for m in slits) == slit.x1
    assert not any(isinstance(m, Stroke) and m.kind == "slit" for m in sides[1, "back"].marks)
    level = [f for f in imposition.sheets[0].front.folds if f.y0 == f.y1]
    assert [(f.x0, f.x1) for f in level] == [(slit.x0 - 65, slit.x0), (slit.x1, slit.x1 + 65)]


def test_an_untrimmed_sheet_prints_inside_the_machines_margins_and_says_so():
    job = leaflet("mini", (74, 105), sheet="A4", untrimmed=True)
    imposition = impose(job, 8)
    layout = imposition.layout
    assert all(layout.safe.contains(p.clip) for p in imposition.sheets[0].front.panels)
    trims = [p.trim for p in imposition.sheets[0].front.panels]
    around = Box(min(t.x0 for t in trims), min(t.y0 for t in trims), max(t.x1 for t in trims), max(t.y1 for t in trims))
    assert (around.width, around.height) == (296, 210)
    assert [f.rule for f in imposition.findings] == ["untrimmed"]
    assert [f.rule for f in draw_frames(job, imposition).findings] == ["mark-left-out"], "registration, for three inks"


def test_a_piece_that_is_not_the_whole_sheet_says_which_page_would_be():
    with pytest.raises(ImposerError, match=r"260 × 180 mm and A4 is 297 × 210 mm; set trim = \[74.25, 105\]"):
        impose(leaflet("mini", (65, 90), sheet="A4", untrimmed=True), 8)
    assert impose(leaflet("mini", (74.25, 105), sheet="A4", untrimmed=True), 8).layout.untrimmed


def test_a_strip_too_long_is_joined_from_even_pieces_with_flaps():
    """Eight panels of 60 mm and a flap of 10 mm: five fit the 420 mm of A3, so two pieces of four."""
    job = leaflet("accordion", (60, 90), form=FormSpec(glue_flap=12))
    imposition = impose(job, 16)
    assert imposition.booklet.joined == 4
    assert [piece.first_column for piece in imposition.booklet.pieces] == [0, 4]
    layout = imposition.layout
    slot = layout.slots[0]
    assert sorted((slot.width, slot.height)) == [90, 4 * 60 + 12]
    flaps = imposition.sheets[0].front.flaps
    assert len(flaps) == len(layout.slots)
    assert all(sorted((flap.width, flap.height)) == pytest.approx([12, 90]) for flap in flaps)
    assert sum(slot.contains(flap) for flap in flaps) == 1
    assert not any(flap.meets(panel.clip) for flap in flaps for panel in imposition.sheets[0].front.panels)
    rules = [finding.rule for finding in imposition.findings]
    assert rules == ["joined", "glue-covers"]
    covered = imposition.findings[1].page
    first = next(leaf for leaf in imposition.booklet.pieces[1].leaves if leaf.column == 0)
    assert covered == first.back
    words = [
        m for m in draw_frames(job, imposition).sides[1, "front"].marks if isinstance(m, Words) and m.kind == "glue"
    ]
    assert [w.text for w in words] == ["glue"] * len(layout.slots)


def test_a_strip_that_fits_has_no_flap():
    imposition = impose(leaflet("accordion", (60, 90)), 12)
    assert (imposition.booklet.joined, imposition.sheets[0].front.flaps) == (0, ())


def test_panels_wider_than_the_sheet_are_told_as_ever():
    with pytest.raises(ImposerError, match="mm too wide"):
        impose(leaflet("accordion", (500, 90)), 4)


def test_a_strip_with_a_poster_on_its_back_is_never_joined_and_says_why():
    with pytest.raises(ImposerError, match=r"too wide; .*the back is one poster, so the strip cannot be joined"):
        impose(leaflet("accordion", (60, 90), form=FormSpec(poster=True)), 10)


def test_cards_repeated_or_cut_and_stacked():
    """Six sides on three cards: repeated, every sheet carries one card; stacked, all three share the sheets."""
    repeated = impose(leaflet("flat", (90, 60), layout="repeat"), 6)
    places = len(repeated.layout.slots)
    assert len(repeated.sheets) == 3
    assert repeated.copies_per_set == places
    for number, sheet in enumerate(repeated.sheets, 1):
        assert {panel.page for panel in sheet.front.panels} == {2 * number - 1}
        assert {panel.page for panel in sheet.back.panels} == {2 * number}
    stacked = impose(leaflet("flat", (90, 60), pieces=2), 20)
    assert [[panel.page for panel in sheet.front.panels] for sheet in stacked.sheets[:2]] == [[1, 11], [3, 13]]
    single = impose(leaflet("flat", (90, 60), form=FormSpec(sides=1), layout="repeat"), 5)
    assert len(single.sheets) == 5
    assert all(panel.page is None for sheet in single.sheets for panel in sheet.back.panels)


def test_a_posters_head_is_the_heads_of_the_lower_row():
    """A mini zine's bottom row and its poster stand the same way up on the paper, whatever the flip."""
    for turn in ("turn", "tumble"):
        imposition = impose(leaflet("mini", (65, 90), turn=turn, form=FormSpec(poster=True)), 9)
        (poster, *_) = imposition.sheets[0].back.panels
        cover = next(p for p in imposition.sheets[0].front.panels if p.page == 1)
        layout = imposition.layout
        # Where the head of each lies on the front as drawn.
        front = {0: (0, 1), 90: (-1, 0), 180: (0, -1), 270: (1, 0)}[cover.rotation]
        back = {0: (0, 1), 90: (-1, 0), 180: (0, -1), 270: (1, 0)}[poster.rotation]
        flips_y = (layout.lead == "left") == (turn == "turn")
        through = (back[0], -back[1]) if flips_y else (-back[0], back[1])
        assert front == through
        assert poster.trim.contains(imposition.layout.slots[0]) or poster.trim.size.close_to(layout.slots[0].size)
