"""Where findings about the sheet point: at the ink that is lost or hit and nothing else; and what is wet in all."""

from __future__ import annotations

from dataclasses import replace

import pytest

from imposer.check import careful_margin, no_bleed, outside_printable, roller_track
from tests.check.pages import a_small_job, draw, facts_of, inside, number, paper

#: An A5 page: two of them fill A4. Spots in its outer head corner (mm from the lower left) and at its foot.
A5, PPI = (148.0, 210.0), 127.0
CORNER, FOOT = (120, 180, 148, 210), (0, 0, 60, 10)
#: A sheet of A4 is 297 mm wide: page 1 lies on its right half, and half a millimetre from the middle and the rim.
LEFT = 148.5


def found(rule, facts):
    return rule.RULE.find(facts)


def untrimmed(*spots, tone=0.9):
    """Facts of an A5 booklet on A4 with nothing to trim, page 1 with spots and page 2 with a small one."""
    job = a_small_job(trim=A5, sheet="A4", marks=(), inks=("lamp black",))
    job = replace(job, sheet=replace(job.sheet, untrimmed=True))
    page = paper(A5, PPI)
    for spot in spots:
        draw(page, spot, tone, PPI)
    return facts_of({1: page, 2: draw(paper(A5, PPI), (70, 100, 72, 102), ppi=PPI)}, job=job, ppi=PPI, pages=4)


def on_page(facts, finding):
    """A finding's box on the page, from where the page lies on the sheet (upright)."""
    place = facts.places_of(finding.page)[0]
    return finding.box.moved(-place.on_sheet.x0, -place.on_sheet.y0)


def test_lost_ink_is_told_at_every_edge_where_it_is_lost():
    facts = untrimmed(CORNER, FOOT)
    margins = facts.job.shop.machine.margins
    assert facts.imposition.layout.lead in ("left", "right")
    told = {finding.message.split("page's ")[1].split(",")[0]: finding for finding in found(outside_printable, facts)}
    assert set(told) == {"head", "foot", "right"}
    # The head keeps its corner, for more ink is lost there than at the right.
    assert inside(on_page(facts, told["head"]), (120, 210 - margins.sides, 148, 210))
    assert inside(on_page(facts, told["foot"]), (0, 0, 60, margins.sides))
    beyond = LEFT + 148 - (297 - (margins.tail if facts.imposition.layout.lead == "left" else margins.lead))
    assert inside(on_page(facts, told["right"]), (148 - beyond, 180, 148, 210 - margins.sides))
    ink = 28 * 30 + 60 * 10
    lost = 28 * margins.sides + 60 * margins.sides + beyond * (30 - margins.sides)
    for finding in told.values():
        assert finding.level == "error"
        assert number(finding.measured.split(",")[1]) == pytest.approx(100 * lost / ink, abs=0.6)
    shares = [number(finding.message.split(" and ")[1]) for finding in told.values()]
    # Three figures, each rounded for itself.
    assert sum(shares) == pytest.approx(100 * lost / ink, abs=1)


def test_two_spots_far_apart_on_one_edge_are_two_places():
    facts = untrimmed((10, 0, 20, 10), (100, 0, 110, 10))
    boxes = [on_page(facts, finding) for finding in found(outside_printable, facts)]
    assert sorted((round(box.x0), round(box.x1)) for box in boxes) == [(10, 20), (100, 110)]
    near = untrimmed((10, 0, 20, 10), (35, 0, 45, 10))
    assert [inside(on_page(near, one), (10, 0, 45, 3)) for one in found(outside_printable, near)] == [True]


def test_ink_inside_the_printable_area_is_not_told():
    assert found(outside_printable, untrimmed((10, 4, 60, 60))) == ()


def test_a_share_of_nought_is_left_out():
    """A line of a third of a millimetre reaches over the edge of the printable area; a page of ink stands inside."""
    facts = untrimmed((20, 20, 130, 190), (40, 2.7, 40.5, 3.3))
    (one,) = found(outside_printable, facts)
    assert one.level == "warning"
    assert "%" not in one.message
    assert "%" not in one.measured


def test_heavy_ink_in_corners_is_boxed_where_it_is():
    facts = untrimmed(CORNER, FOOT)
    told = found(careful_margin, facts)
    # What is within 10 mm of the sheet's edge and can print, 3 mm from its long sides and 2 from its tail on the right:
    # 18 mm of the head beside the corner, the right with it, and the foot.
    rim, head, foot, tail = 297 - LEFT - 10, 207, 3, 297 - LEFT - 2
    expected = [(120, 200, rim, head), (rim, 180, tail, head), (0, foot, 60, 10)]
    boxes = [on_page(facts, finding) for finding in told]
    assert all(any(inside(box, edges) for box in boxes) for edges in expected)
    assert len(boxes) == 3
    area = (rim - 120) * 7 + (tail - rim) * 27 + 60 * 7
    assert all(number(one.measured) == pytest.approx(area, rel=0.02) for one in told)
    assert sum(number(one.message) for one in told) == pytest.approx(area, rel=0.02)


def test_light_ink_in_the_corners_is_not_told():
    assert found(careful_margin, untrimmed(CORNER, FOOT, tone=0.4)) == ()


# --- along the trim -------------------------------------------------------------------------------------------------


def test_a_rim_is_marked_where_ink_meets_the_trim():
    page = draw(draw(paper(), (20, 60, 45, 80)), (50, 10, 60, 35))
    told = {one.message.split(", ")[1]: one for one in found(no_bleed, facts_of({1: page}, pages=4))}
    assert set(told) == {"top", "right"}
    assert inside(told["top"].box, (20, 77, 45, 80), by=0.1)
    assert inside(told["right"].box, (57, 10, 60, 35), by=0.1)
    assert told["top"].measured == "25 mm"


def test_stretches_of_an_edge_are_marked_one_by_one_and_counted_together():
    page = draw(draw(paper(), (50, 5, 60, 11)), (50, 60, 60, 68))
    told = found(no_bleed, facts_of({1: page}, pages=4))
    assert sorted((round(one.box.y0), round(one.box.y1)) for one in told) == [(5, 11), (60, 68)]
    assert {number(one.measured) for one in told} == {14}
    assert sorted(number(one.message) for one in told) == [6, 8]
    assert found(no_bleed, facts_of({1: draw(paper(), (50, 60, 60, 68))}, pages=4)) == ()


def test_a_stretch_is_marked_on_the_page_where_there_is_bleed():
    job = a_small_job(bleed=3)
    short = draw(paper(bleed=3), (40, 20, 61, 55), bleed=3)
    (one,) = found(no_bleed, facts_of({1: short}, job=job, pages=4))
    assert inside(one.box, (57, 20, 60, 55), by=0.1)


def test_nothing_is_trimmed_off_an_untrimmed_sheet():
    assert found(no_bleed, untrimmed(CORNER, FOOT)) == ()


# --- under the roller -----------------------------------------------------------------------------------------------


BIG = (190.0, 270.0)


def rolled(tones, *, drums, backs=None):
    """Facts of two large pages on A3 (see under the roller), every ink of a tone all along the band of the roller."""
    job = a_small_job(trim=BIG, sheet="A3", marks=(), drums=drums, inks=tuple(tones))

    def page(given):
        return {ink: draw(paper(BIG, 75), (0, 100, 190, 170), tone, 75) for ink, tone in given.items() if tone}

    fronts = {n: page(tones) for n in (1, 4)}
    return facts_of(fronts | {n: page(backs) for n in (2, 3) if backs}, job=job, ppi=75, pages=4)


def wet(facts):
    return [one for one in found(roller_track, facts) if " wet when" in one.message]


def dried(facts):
    return [one for one in found(roller_track, facts) if "dried only" in one.message]


def test_all_drums_of_a_pass_count_together():
    (one,) = wet(rolled({"lamp black": 0.28, "marigold": 0.25, "brick": 0.1}, drums=2))
    assert number(one.measured) == pytest.approx(53, abs=1)
    assert one.limit == "30 %"
    assert one.ink is None
    assert one.message.startswith("pass 1 leaves 53 % tone (lamp black 28 %, marigold 25 %) under the feed roller")
    assert (one.sheet, one.side, one.level) == (1, "front", "warning")
    assert wet(rolled({"lamp black": 0.15, "marigold": 0.12, "brick": 0.1}, drums=2)) == []


def test_what_earlier_passes_left_counts_too():
    facts = rolled({"lamp black": 0.2, "marigold": 0.2, "brick": 0.2}, drums=1)
    (one,) = wet(facts)
    assert one.message.startswith("passes 1–2 leave 40 % tone (lamp black 20 %, marigold 20 %)")
    assert "pass 3 runs over it" in one.message


def test_the_whole_front_counts_when_the_backs_run():
    tones = {"lamp black": 0.35, "marigold": 0.35}
    (one,) = dried(rolled(tones, drums=2, backs=tones))
    assert (one.level, one.limit) == ("warning", "60 %")
    assert number(one.measured) == pytest.approx(70, abs=1)
    light = {"lamp black": 0.2, "marigold": 0.2}
    assert [(one.level, one.limit) for one in dried(rolled(light, drums=2, backs=tones))] == [("note", "30 %")]
    assert dried(rolled({"lamp black": 0.14, "marigold": 0.14}, drums=2, backs=tones)) == []


def test_the_mend_fits_what_has_dried_and_what_has_not():
    heavy, light = {"lamp black": 0.7, "marigold": 0.1}, {"lamp black": 0.1, "marigold": 0.1}
    (one,) = wet(rolled(heavy, drums=1))
    assert one.mend == "let it dry a day before pass 2, or lighten it there, or let the lighter ink run first"
    (one,) = wet(rolled({"lamp black": 0.5, "marigold": 0.6}, drums=1))
    assert one.mend == "let it dry a day before pass 2, or lighten it there"
    (one,) = dried(rolled(heavy, drums=2, backs=light))
    longer = "lighten it there, or let it dry longer than a day before pass 2"
    assert one.mend == f"{longer}, or print the back first, which is lighter there"
    (one,) = dried(rolled(heavy, drums=2, backs=heavy))
    assert one.mend == longer
