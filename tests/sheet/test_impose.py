"""Pieces on press sheets: the trade's layouts, and sheets cut, turned, folded and read back from their panels alone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.geometry import Box
from imposer.sheet.impose import impose
from imposer.sheet.safe_area import mirrors_x
from tests.jobs import SIZES, a_job


def pieces_a_side(job, pages=16):
    return len(impose(job, pages).layout.slots)


@pytest.mark.parametrize(
    ("trim", "sheet", "lead", "expected"),
    [
        ((140, 200), "A3", "short edge", 2),  # A5-class
        ((100, 140), "A4", "short edge", 2),  # A6-class
        ((100, 140), "A3", "short edge", 4),
        ((105, 148), "A3", "short edge", 2),
        ((133.35, 203.2), "tabloid", "short edge", 2),  # half-letter class
        ((195, 275), "A3", "short edge", 1),  # A4-class
    ],
)
def test_zine_sizes_go_as_many_a_side_as_studios_print(trim, sheet, lead, expected):
    """Common practice, no source: margins 5, 2 and 3 mm, and room for marks."""
    assert pieces_a_side(a_job(trim=trim, sheet=sheet, lead=lead)) == expected


def test_a5_class_spreads_on_a3_keep_the_feed_roller_on_their_spines():
    """Common practice, no source: A3 fed short edge first, two A5 spreads: the middle of the feed is both spines."""
    imposition = impose(a_job(), 16)
    middle = imposition.layout.size.height / 2
    assert all(fold.y0 == fold.y1 == pytest.approx(middle) for fold in imposition.sheets[0].front.folds)


def test_bleed_needs_a_gutter_and_so_a_smaller_trim():
    """140 × 200 with 3 mm bleed goes two up only without room for marks; without bleed the cut is shared."""
    assert pieces_a_side(a_job(bleed=3)) == 1
    forced = impose(a_job(bleed=3, pieces=2), 16)
    assert len(forced.layout.cuts_x) == 4
    assert forced.layout.cuts_x[2] - forced.layout.cuts_x[1] == pytest.approx(6)
    assert [finding.rule for finding in forced.findings] == ["marks-crowded"]
    assert len(impose(a_job(), 16).layout.cuts_x) == 3


def test_turned_backs_stand_upside_down_behind_an_a4_class_spread_fed_short_edge_first():
    """Common practice, no source: A4 pages on A3 fed short edge first turn top to bottom; A5 pairs do not."""
    large = impose(a_job(trim=(195, 275)), 4).sheets[0]
    assert {p.page: p.rotation for p in large.front.panels} == {4: 0, 1: 0}
    assert {p.page: p.rotation for p in large.back.panels} == {2: 180, 3: 180}
    small = impose(a_job(), 8).sheets[0]
    assert {p.rotation for p in small.front.panels} == {90}
    assert {p.rotation for p in small.back.panels} == {90}


def test_the_outer_spread_reads_as_the_handbook_has_it():
    """Cowie's Printer's Pocket-Book, p. 31: 8 | 1 on the outer form."""
    front = impose(a_job(trim=(195, 275), turn="tumble"), 8).sheets[0].front
    assert [p.page for p in sorted(front.panels, key=lambda p: p.trim.x0)] == [8, 1]


# --- cut, turn, fold, nest, read: from the panels alone ------------------------------------------------------------


def cut_stacks(imposition):
    """Cut the sheets along the plan's cuts and drop the stacks on each other; return the cut pieces in that order.

    A cut piece is its leaves, a leaf the panel on its front and the one that lies behind it on the back.
    """
    layout = imposition.layout
    mirror = mirrors_x(layout.lead, layout.flip)

    def behind(box):
        return box.mirrored_x(layout.size.width) if mirror else box.mirrored_y(layout.size.height)

    for slot in layout.slots:
        for sheet in imposition.sheets:
            fronts = [p for p in sheet.front.panels if slot.meets(p.clip)]
            yield [(f, next(b for b in sheet.back.panels if behind(b.clip).meets(f.clip))) for f in fronts]


def left_to_right(panel):
    """Where the panel stands from left to right when its head is up."""
    x, y = panel.clip.centre
    return {0: x, 90: y, 180: -x, 270: -y}[panel.rotation]


def read_by_hand(pieces, sizes, right_to_left):
    """Fold each piece with its front outside, nest `sizes` pieces at a time, gather, open, read page by page."""
    pieces = iter(pieces)
    read = []
    for size in sizes:
        first_halves, last_halves = [], []
        for _ in range(size):
            leaves = sorted(next(pieces), key=lambda leaf: left_to_right(leaf[0]), reverse=not right_to_left)
            cover, back_cover = leaves
            first_halves += [cover[0].page, cover[1].page]
            last_halves = [back_cover[1].page, back_cover[0].page, *last_halves]
        read += first_halves + last_halves
    return read


@settings(deadline=None, derandomize=True, max_examples=80)
@given(
    pages=st.integers(1, 64),
    sheet=st.sampled_from(["A3", "A4", "tabloid"]),
    lead=st.sampled_from(["short edge", "long edge"]),
    turn=st.sampled_from(["turn", "tumble"]),
    trim=st.sampled_from([(100, 140), (90, 120), (70, 70), (120, 90), (60, 95)]),
    bleed=st.sampled_from([0, 2, 3]),
    per_signature=st.none() | st.integers(1, 4),
    reading=st.sampled_from(["left-to-right", "right-to-left"]),
)
def test_sheets_cut_folded_and_opened_read_one_to_n(pages, sheet, lead, turn, trim, bleed, per_signature, reading):
    style = "gathered" if per_signature else "saddle"
    job = a_job(
        trim=trim, sheet=sheet, lead=lead, turn=turn, bleed=bleed, style=style, per_signature=per_signature,
        reading=reading,
    )  # fmt: skip
    imposition = impose(job, pages)
    pieces = [piece for piece in cut_stacks(imposition) if piece[0][0].piece]
    in_all = -(-pages // 4)
    sizes = [min(per_signature or in_all, in_all - done) for done in range(0, in_all, per_signature or in_all)]
    assert len(pieces) == in_all * imposition.copies_per_set
    for copy in range(1, imposition.copies_per_set + 1):
        own = [piece for piece in pieces if piece[0][0].copy == copy]
        assert read_by_hand(own, sizes, reading == "right-to-left") == list(range(1, 4 * in_all + 1))
    for piece in pieces:
        assert len({front.rotation for front, _ in piece}) == len({back.rotation for _, back in piece}) == 1


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    pages=st.integers(1, 48),
    lead=st.sampled_from(["short edge", "long edge"]),
    turn=st.sampled_from(["turn", "tumble"]),
    width=st.integers(40, 200),
    height=st.integers(40, 280),
    bleed=st.sampled_from([0, 3]),
)
def test_front_and_back_boxes_mirror_and_nothing_leaves_the_safe_area(pages, lead, turn, width, height, bleed):
    """Work styles of XJDF 2.2, Table A.51: (x, y) on the front is behind (W-x, y) or (x, H-y) on the back."""
    job = a_job(trim=(width, height), lead=lead, turn=turn, bleed=bleed)
    try:
        imposition = impose(job, pages)
    except ImposerError:
        assert not any(fits_by_hand(width, height, bleed, lead, turn))
        return
    size, safe = imposition.layout.size, imposition.layout.safe
    along_feed_is_x = imposition.layout.lead == "left"
    for sheet in imposition.sheets:
        fronts = {p.page: p for p in sheet.front.panels if p.page}
        backs = {p.page: p for p in sheet.back.panels if p.page}
        for page, front in fronts.items():
            back = backs[page + 1 if page % 2 else page - 1]
            flips_y = along_feed_is_x == (turn == "turn")
            seen = back.clip.mirrored_y(size.height) if flips_y else back.clip.mirrored_x(size.width)
            assert _same(seen, front.clip)
            shifted = back.trim.mirrored_y(size.height) if flips_y else back.trim.mirrored_x(size.width)
            assert _same(shifted, front.trim)
        for panels in (sheet.front.panels, sheet.back.panels):
            assert all(safe.contains(p.clip) for p in panels)
            assert not any(a.clip.meets(b.clip) for i, a in enumerate(panels) for b in panels[:i])
    if turn == "tumble":
        whole = Box(0, 0, size.width, size.height)
        gaps = (safe.x0, whole.x1 - safe.x1) if along_feed_is_x else (safe.y0, whole.y1 - safe.y1)
        assert gaps == (5.0, pytest.approx(5.0))


def fits_by_hand(width, height, bleed, lead, turn):
    """Whether one spread with bleed and 2 mm for marks fits A3 less its margins, either way round."""
    ends = (5 + 5) if turn == "tumble" else (5 + 2)
    room = (420 - ends, 297 - 6) if lead == "short edge" else (420 - 6, 297 - ends)
    spread = (2 * width + 2 * bleed + 4, height + 2 * bleed + 4)
    for one, other in (spread, spread[::-1]):
        yield one <= room[0] and other <= room[1]


def _same(a, b):
    return all(abs(x - y) < 1e-6 for x, y in zip((a.x0, a.y0, a.x1, a.y1), (b.x0, b.y0, b.x1, b.y1), strict=True))


def test_what_does_not_fit_says_by_how_much_and_what_would():
    with pytest.raises(ImposerError) as caught:
        impose(a_job(trim=(210, 297)), 16)
    assert str(caught.value) == (
        "job.toml: page.trim: one piece of 420 × 297 mm with marks need 424 × 301 mm, but A3 can be printed on "
        "413 × 291 mm: 11 mm too wide and 10 mm too high; these fit: "
        "sheet.untrimmed = true, with white margins, since nothing is cut off; or trim = [203, 287]"
    )


def test_every_mend_offered_does_fit():
    """Each offer is a line for the job file; put in, it goes through."""
    job = a_job(trim=(148, 210), bleed=3, pieces=2, also_stocked=("tabloid",))
    with pytest.raises(ImposerError) as caught:
        impose(job, 16)
    assert "pieces = 1" in str(caught.value)
    assert "trim = [140, 198.5]" in str(caught.value)
    assert "tabloid" not in str(caught.value)
    assert pieces_a_side(a_job(trim=(140, 198.5), bleed=3, pieces=2)) == 2
    assert pieces_a_side(a_job(trim=(148, 210), bleed=3, pieces=1)) == 1
    with pytest.raises(ImposerError):
        impose(a_job(trim=(140.5, 199.2), bleed=3, pieces=3), 16)
    small = a_job(trim=(140, 200), sheet="A4", pieces=2, also_stocked=("A3",))
    with pytest.raises(ImposerError, match='size = "A3"'):
        impose(small, 16)
    assert SIZES["A3"].height == 420


def test_no_pages_at_all():
    with pytest.raises(ImposerError, match="no page was found in any ink"):
        impose(a_job(), 0)
