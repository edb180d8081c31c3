"""How much ink lies where: solids, heavy places, masters, sides, lead edge, roller track, set-off; drawn to measure."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from imposer.check import (
    careful_margin,
    heavy_place,
    large_solid,
    lead_edge,
    master_coverage,
    outside_printable,
    page_coverage,
    roller_track,
    set_off,
    side_coverage,
    summed_tone,
)
from imposer.findings import Finding
from imposer.geometry import Box
from tests.check.pages import PPI, TRIM, a_small_job, draw, facts_of, inside, limited, number, paper


def found(rule, facts) -> tuple[Finding, ...]:
    return rule.RULE.find(facts)


# --- solids and heavy places ----------------------------------------------------------------------------------------


def test_a_large_solid_is_told_with_its_area_and_place():
    (one,) = found(large_solid, facts_of({1: draw(paper(), (10, 20, 45, 60))}))
    assert (one.page, one.ink, one.level, one.file) == (1, "lamp black", "warning", "lamp black/1.png")
    assert number(one.measured) == pytest.approx(35 * 40, rel=0.03)
    assert inside(one.box, (10, 20, 45, 60))


@pytest.mark.parametrize(
    ("box", "tone"),
    [((10, 20, 40, 50), 1.0), ((10, 20, 45, 60), 0.8), ((10, 10, 15, 75), 1.0)],
    ids=["900 mm²", "80 % tone", "a bar of 5 mm"],
)
def test_what_is_nearly_a_large_solid_is_none(box, tone):
    assert found(large_solid, facts_of({1: draw(paper(), box, tone)})) == ()


def test_a_shop_that_takes_less_ink_says_so():
    job = limited(a_small_job(), solid_ink=800)
    (one,) = found(large_solid, facts_of({1: draw(paper(), (10, 20, 40, 50))}, job=job))
    assert one.limit == "800 mm²"


def test_the_heaviest_place_counts_what_is_no_solid():
    tones = paper()
    tones[200:500, 100:400][:, ::8] = 255  # stripes of 0.7 mm with gaps of 0.1 mm
    for gap in range(1, 8):
        tones[200:500, 100:400][:, gap::8] = 255
    tones[200:500, 100:400][:, ::8] = 0
    (one,) = found(heavy_place, facts_of({1: tones}, job=limited(a_small_job(), solid_tone=95)))
    assert number(one.measured) == pytest.approx(100 * 7 / 8, abs=1)
    assert one.level == "note"


def test_a_lighter_place_is_not_told():
    tones = paper()
    tones[200:500, 100:400] = 255
    tones[200:500, 100:400][:, ::5] = 0
    assert found(heavy_place, facts_of({1: tones})) == ()


def test_a_page_covered_all_over_is_told_by_its_mean_tone():
    (one,) = found(page_coverage, facts_of({1: draw(paper(), (0, 0, 60, 64))}))
    assert number(one.measured) == pytest.approx(100 * 64 / 80, abs=0.5)
    assert inside(one.box, (0, 0, 60, 80))
    assert found(page_coverage, facts_of({1: draw(paper(), (0, 0, 60, 54))})) == ()


# --- sums over a sheet ----------------------------------------------------------------------------------------------


def covered(share):
    """Pages each covered by so much of a lighter tone, four on every side of a sheet."""
    return {page: paper() + np.uint8(round(255 * share)) for page in range(1, 9)}


def test_a_master_is_told_by_its_printable_area():
    facts = facts_of(covered(0.7), job=limited(a_small_job(), master_note=20, master_coverage=25))
    (first, *_) = found(master_coverage, facts)
    safe, panels = facts.imposition.layout.safe, facts.imposition.sheets[0].front.panels
    expected = 0.7 * len(panels) * TRIM[0] * TRIM[1] / (safe.width * safe.height)
    assert number(first.measured) == pytest.approx(100 * expected, abs=1)
    assert (first.sheet, first.side, first.ink, first.level) == (1, "front", "lamp black", "warning")


def test_a_light_master_is_not_told():
    assert found(master_coverage, facts_of(covered(0.2))) == ()


def test_all_inks_of_a_side_are_added_up():
    pages = {page: {"lamp black": one, "marigold": one} for page, one in covered(0.7).items()}
    facts = facts_of(pages, job=limited(a_small_job(), side_note=50))
    told = found(side_coverage, facts)
    assert {(one.sheet, one.side) for one in told} == {(1, "front"), (1, "back")}
    single = sum(number(one.measured) for one in found(master_coverage, facts_of(covered(0.7), job=facts.job)))
    assert sum(number(one.measured) for one in told) == pytest.approx(2 * single, abs=4)
    assert found(side_coverage, facts_of(pages)) == ()


def test_tones_of_all_inks_add_up_at_a_spot():
    inks = {
        name: draw(paper(), box, tone)
        for name, box, tone in (
            ("lamp black", (10, 10, 30, 30), 1.0),
            ("marigold", (20, 10, 40, 30), 0.9),
            ("brick", (20, 10, 30, 30), 0.5),
        )
    }
    job = a_small_job(inks=tuple(inks))
    (one,) = found(summed_tone, facts_of({1: inks}, job=job))
    assert number(one.measured) == pytest.approx(240, abs=1)
    assert 20 - 0.4 <= one.box.x0 <= one.box.x1 <= 30.4
    assert "(lamp black 100 %, marigold 90 %, brick 50 %)" in one.message
    elsewhere = inks | {"brick": draw(paper(), (45, 60, 50, 65))}
    (one,) = found(summed_tone, facts_of({1: elsewhere}, job=limited(job, spot_sum=150)))
    assert "(lamp black 100 %, marigold 90 %)" in one.message
    del inks["brick"]
    assert found(summed_tone, facts_of({1: inks}, job=a_small_job(inks=tuple(inks)))) == ()


# --- edges of the sheet ---------------------------------------------------------------------------------------------


def test_ink_beyond_the_printable_area_is_lost():
    """The layout keeps pages inside it; a machine with wider margins than it was laid out for does not."""
    facts = facts_of({1: paper() + np.uint8(255)})
    (place,) = facts.places_of(1)[:1]
    cut = replace(place, safe=type(place.safe)(2.0, 0, 60, 80))
    zones_changed = facts_of_with_safe(facts, cut)
    (one,) = found(outside_printable, zones_changed)
    assert one.level == "error"
    assert one.stops
    assert one.message.startswith("ink reaches 2 mm beyond the printable area")
    assert one.measured.endswith(f"{100 * 2 / 60:.1f} % of the page's ink")
    assert place.to_sheet.inverse().apply_box(one.box).x1 == pytest.approx(2, abs=0.01)


def test_what_is_lost_at_two_edges_is_told_as_the_sum_of_both():
    tones = draw(draw(paper(), (0, 20, 20, 60)), (40, 20, 60, 60))
    facts = facts_of({1: tones})
    place = facts.places_of(1)[0]
    told = found(
        outside_printable, facts_of_with_safe(facts, replace(place, safe=type(place.safe)(2.0, 0, 58, 80)), tones)
    )
    assert [one.measured for one in told] == ["2 mm, 10 % of the page's ink in all"] * 2


def test_a_hairline_beyond_it_is_a_warning_and_a_page_inside_is_nothing():
    line = draw(draw(paper(), (0, 40, 3, 40.3)), (10, 10, 50, 70))
    facts = facts_of({1: line})
    place = facts.places_of(1)[0]
    assert found(outside_printable, facts) == ()
    (one,) = found(
        outside_printable, facts_of_with_safe(facts, replace(place, safe=type(place.safe)(1.0, 0, 60, 80)), line)
    )
    assert one.level == "warning"


def facts_of_with_safe(facts, place, tones=None):
    """The same facts, its first page measured against another printable area."""
    from imposer.pages.tone_facts import Zones
    from imposer.pages.tone_survey import page_tones
    from imposer.tones.plane import Plane

    tones = paper() + np.uint8(255) if tones is None else tones
    page = page_tones(
        facts.job, {"lamp black": Plane(tones, PPI)}, {"lamp black": ("image", None)}, Zones(safe=(place.safe,))
    )
    return replace(facts, tones={1: page}, places=(place,))


def test_heavy_ink_near_the_sheets_edge():
    """One page fills the sheet nearly: its outer 2 mm lie within the careful margin."""
    job = a_small_job(trim=(120, 192), marks=(), pieces=1)
    facts = facts_of({1: draw(paper((120, 192)), (0, 0, 120, 192))}, job=job, pages=4)
    told = found(careful_margin, facts)
    place = facts.places_of(1)[0]
    # Where the page lies on the sheet is the layout's; how much of it lies within 10 mm of an edge is plain sums.
    sheet, trim = facts.imposition.layout.size, place.on_sheet
    inner = (
        min(trim.x1, sheet.width - 10) - max(trim.x0, 10),
        min(trim.y1, sheet.height - 10) - max(trim.y0, 10),
    )
    expected = 120 * 192 - inner[0] * inner[1]
    assert all(number(one.measured) == pytest.approx(expected, abs=192 / 3) for one in told)
    # Every edge for itself, and no square millimetre twice.
    assert sum(number(one.message) for one in told) == pytest.approx(expected, abs=192 / 3)
    boxes = [one.box for one in told]
    assert not any(one.meets(other) for one, other in combinations(boxes, 2))
    assert not any(box.meets(Box(10, 10, sheet.width - 10, sheet.height - 10).grown(-0.4)) for box in boxes)
    light = facts_of({1: draw(paper((120, 192)), (0, 0, 120, 192), 0.45)}, job=job, pages=4)
    assert found(careful_margin, light) == ()


def test_heavy_ink_along_the_lead_edge():
    """A4 fed by its short edge; one piece as large as the sheet allows, so that pages reach the strip."""
    job = a_small_job(trim=(140, 195), marks=(), pieces=1)
    facts = facts_of({page: paper((140, 195), 100) + np.uint8(128) for page in range(1, 5)}, job=job, ppi=100)
    told = found(lead_edge, facts)
    assert {(one.sheet, one.side) for one in told} == {(1, "front"), (1, "back")}
    assert all(number(one.measured) == pytest.approx(50, abs=0.5) for one in told)
    light = facts_of({page: paper((140, 195), 100) + np.uint8(90) for page in range(1, 5)}, job=job, ppi=100)
    assert found(lead_edge, light) == ()


# --- what is wet ----------------------------------------------------------------------------------------------------


def under_the_roller(first, second, *, drums=1, inks=("lamp black", "marigold")):
    """Two A4 pages side by side on A3, fed by its short edge: the roller crosses both (the trade's known bad case)."""
    job = a_small_job(trim=(190, 270), sheet="A3", marks=(), drums=drums, inks=inks)
    tall = {"lamp black": first, "marigold": second}
    pages = {
        page: {ink: draw(paper((190, 270), 75), (0, 100, 190, 170), tone, 75) for ink, tone in tall.items() if tone}
        for page in (1, 4)
    }
    return facts_of({**pages, 2: paper((190, 270), 75)}, job=job, ppi=75, pages=4)


def test_an_earlier_pass_of_the_same_side_is_wet_under_the_roller():
    facts = under_the_roller(0.5, 0.2)
    (one,) = found(roller_track, facts)
    assert (one.ink, one.side, one.level) == ("lamp black", "front", "warning")
    assert number(one.measured) == pytest.approx(50, abs=1)
    assert one.message.startswith("pass 1 leaves 50 % tone under the feed roller, wet when pass 2 runs over it")


def test_two_drums_print_both_inks_in_one_pass_and_leave_nothing_wet():
    assert found(roller_track, under_the_roller(0.5, 0.2, drums=2)) == ()


def test_a_light_ink_under_the_roller_is_fine():
    assert found(roller_track, under_the_roller(0.29, 0.2)) == ()


def test_the_front_has_dried_when_the_back_is_printed():
    job = a_small_job(trim=(190, 270), sheet="A3", marks=(), drums=1, inks=("lamp black",))

    def facts(tone):
        band = draw(paper((190, 270), 75), (0, 100, 190, 170), tone, 75)
        return facts_of(dict.fromkeys(range(1, 5), band), job=job, ppi=75)

    assert [(one.side, one.level) for one in found(roller_track, facts(0.5))] == [("front", "note")]
    assert [(one.side, one.level) for one in found(roller_track, facts(0.7))] == [("front", "warning")]
    assert found(roller_track, facts(0.25)) == ()


def test_a_spine_along_the_feed_is_free():
    """A5 on A3 fed by its short edge: the band lies in the gutters, and art there is what counts, not elsewhere."""
    job = a_small_job(trim=(140, 200), sheet="A3", drums=1)
    tones = draw(paper((140, 200), 75), (40, 0, 140, 200), 0.9, 75)
    other = draw(paper((140, 200), 75), (0, 0, 100, 200), 0.9, 75)
    art = {page: dict.fromkeys(job.ink_names, tones if page % 2 else other) for page in range(1, 9)}
    assert found(roller_track, facts_of(art, job=job, ppi=75)) == ()


def test_heavy_places_mark_a_bare_page_that_faces_them():
    job = a_small_job()
    heavy = {ink: draw(paper(), (10, 20, 40, 50), 0.9) for ink in job.ink_names}
    (one,) = found(set_off, facts_of({2: heavy, 3: draw(paper(), (2, 2, 5, 5))}, job=job, pages=4))
    assert (one.page, one.level) == (2, "warning")
    assert number(one.measured) == pytest.approx(180, abs=1)
    assert "bare page 3" in one.message


def test_a_printed_facing_page_hides_the_mark_but_the_stack_shows_it():
    job = a_small_job()
    heavy = {ink: draw(paper(), (10, 20, 40, 50), 0.9) for ink in job.ink_names}
    told = found(set_off, facts_of({2: heavy, 3: draw(paper(), (5, 5, 55, 75), 0.6)}, job=job, pages=4))
    assert [(one.page, one.level) for one in told] == [(2, "note")]
    light = {ink: draw(paper(), (10, 20, 40, 50), 0.75) for ink in job.ink_names}
    assert found(set_off, facts_of({2: light}, job=job, pages=4)) == ()


def test_cards_face_no_other_card():
    job = a_small_job(style="flat")
    heavy = {ink: draw(paper(), (10, 20, 40, 50), 0.9) for ink in job.ink_names}
    (one,) = found(set_off, facts_of({2: heavy, 3: draw(paper(), (2, 2, 5, 5))}, job=job, pages=4))
    assert (one.page, one.level) == (2, "note")
    assert "the sheet above it" in one.message


def test_the_back_of_a_mini_zine_does_not_face_its_poster():
    job = a_small_job(style="mini", sheet="A3")
    job = replace(job, binding=replace(job.binding, form=replace(job.binding.form, poster=True)))
    heavy = {ink: draw(paper(), (10, 20, 40, 50), 0.9) for ink in job.ink_names}
    (one,) = found(set_off, facts_of({8: heavy}, job=job, pages=9))
    assert (one.level, one.other_page) == ("note", None)


def test_the_mark_is_told_where_the_pages_meet():
    job = a_small_job()
    heavy = {ink: draw(paper(), (44, 60, 58, 74), 0.9) for ink in job.ink_names}
    (one,) = found(set_off, facts_of({2: heavy, 3: draw(paper(), (30, 2, 50, 78))}, job=job, pages=4))
    assert (one.page, one.other_page) == (2, 3)
    assert inside(one.box, (44, 60, 58, 74), by=4)
    # A leaf of 60 mm closes like a book: 44 to 58 from the left is 2 to 16.
    assert inside(one.other_box, (2, 60, 16, 74), by=4)
    assert not {"other_page", "other_box"} & set(one.as_dict())


def test_no_mark_is_told_where_the_facing_page_ends():
    """The flap of a letter fold is narrower than the cover that lies on it."""
    job = limited(a_small_job(style="letter", sheet="A3"), set_off=60)
    job = replace(job, binding=replace(job.binding, form=replace(job.binding.form, tuck=20)))
    dark = {job.ink_names[0]: draw(paper(), (1, 20, 13, 40))}
    assert [one.level for one in found(set_off, facts_of({2: dark}, job=job, pages=6))] == ["note"]
    dark = {job.ink_names[0]: draw(paper(), (45, 20, 57, 40))}
    assert [one.level for one in found(set_off, facts_of({2: dark}, job=job, pages=6))] == ["warning"]


def test_both_wings_of_a_gate_are_marked_by_the_middle_but_not_by_each_other():
    job = a_small_job(style="gate", sheet="A3")
    wing = paper((26.8, 80))
    heavy = {ink: draw(wing.copy(), (5, 20, 20, 50), 0.9) for ink in job.ink_names}
    both = {ink: draw(draw(paper(), (5, 20, 20, 50), 0.9), (40, 20, 55, 50), 0.9) for ink in job.ink_names}
    told = found(set_off, facts_of({2: heavy, 5: both}, job=job, pages=6))
    # On the near side both are printed, and hide it.
    assert [(one.page, one.other_page) for one in told] == [(2, None), (5, 4)]
    told = found(set_off, facts_of({2: heavy}, job=job, pages=6))
    assert [(one.page, one.other_page) for one in told] == [(2, 5)]


def test_what_is_just_over_its_limit_does_not_read_like_it():
    tones = draw(paper(), (10, 20, 40, 50), 0.853)
    (one,) = found(heavy_place, facts_of({1: tones}, job=limited(a_small_job(), solid_ink=10_000)))
    assert number(one.measured) > 85
    assert one.measured.rstrip(" %") in one.message
    assert one.limit == "85 %"
