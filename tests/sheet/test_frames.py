"""Marks and frames: nothing overlaps, everything stays in the safe area, crosses fall on each other."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Box
from imposer.job.model import MARK_KINDS, StitchSpec
from imposer.sheet.extents import extent
from imposer.sheet.frames import draw_frames, frame_text
from imposer.sheet.impose import impose
from imposer.sheet.line_marks import crop_marks
from imposer.sheet.model import Arrow, Label, Patch, Ring, Stroke, Words
from tests.jobs import a_job

GOLDEN = Path(__file__).parent / "golden"


def frames_of(job, pages=16):
    return draw_frames(job, impose(job, pages))


def kinds(frame):
    return {"label" if isinstance(m, Label) else m.kind for m in frame.marks}


def groups(frame):
    """Marks that belong together: a cross, a bar, the steps; lines one by one."""
    found = {}
    for i, mark in enumerate(frame.marks):
        match mark:
            case Label():
                key = ("label", mark.ink)
            case Stroke(kind="registration") | Ring():
                box = extent(mark)
                key = ("cross", round(box.centre[0], 3), round(box.centre[1], 3))
            case Stroke(kind="scale") | Words():
                box = extent(mark)
                key = ("scale", frame_bar(frame, box))
            case Patch(kind="tone"):
                key = ("tone", mark.ink)
            case _:
                key = i
        found.setdefault(key, []).append(extent(mark))
    return {
        key: Box(min(b.x0 for b in bs), min(b.y0 for b in bs), max(b.x1 for b in bs), max(b.y1 for b in bs))
        for key, bs in found.items()
    }


def frame_bar(frame, box):
    """Which of the two scale bars a part belongs to: the nearer long line."""
    lines = [extent(m) for m in frame.marks if isinstance(m, Stroke) and m.kind == "scale"]
    long = [b.centre for b in lines if max(b.width, b.height) > 40]
    x, y = box.centre
    return min(range(len(long)), key=lambda i: abs(long[i][0] - x) + abs(long[i][1] - y))


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    pages=st.integers(1, 40),
    sheet=st.sampled_from(["A3", "A4", "tabloid"]),
    lead=st.sampled_from(["short edge", "long edge"]),
    turn=st.sampled_from(["turn", "tumble"]),
    trim=st.sampled_from([(100, 140), (90, 133), (70, 70), (120, 90), (60, 95), (99, 140)]),
    bleed=st.sampled_from([0, 2]),
    per_signature=st.none() | st.integers(1, 3),
    title=st.sampled_from(["Moth Hours", "Å" * 80, "夜 🦋"]),
)
def test_no_two_marks_or_panels_meet_and_all_lie_in_the_safe_area(
    pages, sheet, lead, turn, trim, bleed, per_signature, title
):
    style = "gathered" if per_signature else "saddle"
    job = a_job(
        trim=trim, sheet=sheet, lead=lead, turn=turn, bleed=bleed, style=style, per_signature=per_signature, title=title
    )
    for frame in frames_of(job, pages).sides.values():
        boxes = groups(frame)
        steps = [extent(m) for m in frame.marks if isinstance(m, Patch) and m.kind == "steps"]
        art = [item.clip for item in frame.art]
        plain = [box for box in boxes.values() if box not in steps]
        assert all(frame.safe.contains(box) for box in boxes.values())
        assert not any(box.meets(page) for box in plain for page in art)
        assert not any(a.meets(b) for i, a in enumerate(plain) for b in plain[:i])
        # Collation marks straddle the spine, by half their width and no more.
        for step in steps:
            touched = [page for page in art if page.meets(step)]
            assert len(touched) == 2
            assert all(min(c.width, c.height) <= 0.5 + 1e-6 for c in (step.common(page) for page in touched))


@pytest.mark.parametrize("lead", ["short edge", "long edge"])
@pytest.mark.parametrize("turn", ["turn", "tumble"])
@pytest.mark.parametrize(("trim", "sheet"), [((140, 200), "A3"), ((100, 138), "A4"), ((100, 140), "A3")])
def test_registration_crosses_stand_at_the_same_places_on_every_side_and_fall_on_each_other(lead, turn, trim, sheet):
    frames = frames_of(a_job(trim=trim, sheet=sheet, lead=lead, turn=turn))
    rings = {
        side: sorted((m.x, m.y) for m in frame.marks if isinstance(m, Ring)) for side, frame in frames.sides.items()
    }
    first = rings[1, "front"]
    assert len(first) == 4
    assert all(places == first for places in rings.values())
    frame = frames.sides[1, "front"]
    along_feed_is_x = frame.lead == "left"
    flips_y = along_feed_is_x == (turn == "turn")
    behind = sorted((x, frame.size.height - y) if flips_y else (frame.size.width - x, y) for x, y in first)
    assert behind == [pytest.approx(place) for place in first]
    xs, ys = {round(x, 3) for x, _ in first}, {round(y, 3) for _, y in first}
    assert len(xs) == len(ys) == 2


def test_crop_marks_have_the_geometry_of_the_handbook():
    """Eight segments around the trim, offset o and length L; worked for trim (20,20)-(125,168), o = 3, L = 5 mm."""
    expected = {
        (12, 20, 17, 20), (20, 12, 20, 17), (128, 20, 133, 20), (125, 12, 125, 17),
        (12, 168, 17, 168), (20, 171, 20, 176), (128, 168, 133, 168), (125, 171, 125, 176),
    }  # fmt: skip
    assert {(m.x0, m.y0, m.x1, m.y1) for m in crop_marks(Box(20, 20, 125, 168), 3, 5)} == expected


def test_scale_bars_are_a_hundred_millimetres_along_and_across_the_feed():
    frame = frames_of(a_job()).sides[1, "front"]
    bars = [m for m in frame.marks if isinstance(m, Stroke) and m.kind == "scale"]
    level = [m for m in bars if m.y0 == m.y1 and m.x1 - m.x0 > 50]
    upright = [m for m in bars if m.x0 == m.x1 and m.y1 - m.y0 > 50]
    assert [m.x1 - m.x0 for m in level] == [pytest.approx(100)]
    assert [m.y1 - m.y0 for m in upright] == [pytest.approx(100)]


def test_tone_steps_go_from_ten_to_a_hundred_per_cent():
    frame = frames_of(a_job()).sides[1, "front"]
    for ink in ("lamp black", "marigold", "brick"):
        tones = [m.tone for m in frame.marks_of(ink) if isinstance(m, Patch) and m.kind == "tone"]
        assert tones == [pytest.approx(step / 10) for step in range(1, 11)]


def test_every_ink_has_its_label_and_steps_at_a_place_of_its_own():
    """All inks lie on one printed sheet: what names them or shows their tones must not be printed over itself."""
    for frame in frames_of(a_job()).sides.values():
        labels = {m.ink: extent(m) for m in frame.marks if isinstance(m, Label)}
        assert list(labels) == ["lamp black", "marigold", "brick"]
        boxes = list(labels.values())
        assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[:i])
        assert [m.ink for m in frame.marks_of("brick") if isinstance(m, Label)] == ["brick"]


def test_the_arrow_stands_near_the_lead_edge_and_points_to_it():
    for frame in frames_of(a_job(turn="tumble")).sides.values():
        (arrow,) = (m for m in frame.marks if isinstance(m, Arrow))
        assert arrow.points_to == frame.lead == "left"


def test_every_mark_can_be_switched_off():
    held = {"stitching": StitchSpec(kind="stab")}
    full = kinds(frames_of(a_job(style="gathered", per_signature=2, binding=held)).sides[1, "front"])
    booklets = set(MARK_KINDS) - {"slit", "glue"}
    assert full == booklets
    for kind in MARK_KINDS:
        without = frames_of(a_job(style="gathered", per_signature=2, binding=held, marks=set(MARK_KINDS) - {kind}))
        assert kinds(without.sides[1, "front"]) == booklets - {kind}


def test_collation_marks_go_down_a_step_a_signature():
    """Etherington and Roberts, 'black step': length and step 24 pt; sections 1 and 5 stand 96 pt (33.867 mm) apart."""
    frames = frames_of(a_job(style="gathered", per_signature=1, trim=(140, 200)), 20)
    tops = {}
    for (sheet, side), frame in frames.sides.items():
        for mark in frame.marks:
            if isinstance(mark, Patch) and mark.kind == "steps":
                art = next(a for a in frame.art if a.clip.meets(mark.box))
                # Heads point left here, so a step down goes to the right.
                tops.setdefault(mark.box.x0 - art.trim.x0, []).append((sheet, side))
                assert mark.box.width == pytest.approx(24 * 25.4 / 72)
    downs = sorted(tops)
    assert len(downs) == 5
    assert downs[4] - downs[0] == pytest.approx(96 * 25.4 / 72)


def test_marks_that_find_no_room_are_left_out_and_said():
    frames = frames_of(a_job(bleed=3, pieces=2))
    assert {finding.rule for finding in frames.findings} == {"mark-left-out"}
    assert any("registration crosses" in finding.message for finding in frames.findings)


@pytest.mark.parametrize("name", ["a5-class-on-a3", "a6-class-gathered-tumble"])
def test_golden_frames(name, request):
    """The whole of both sides of the first sheet, to the thousandth of a millimetre."""
    job = {
        "a5-class-on-a3": a_job(),
        "a6-class-gathered-tumble": a_job(trim=(100, 140), turn="tumble", style="gathered", per_signature=2),
    }[name]
    frames = frames_of(job)
    text = frame_text(frames.sides[1, "front"]) + frame_text(frames.sides[1, "back"])
    file = GOLDEN / f"{name}.txt"
    if request.config.getoption("--update-golden"):
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
