import math

import numpy as np
import pytest

from imposer.tones.drift import Drift
from imposer.tones.plane import Plane
from imposer.tones.slivers import expected_slivers, visible_share
from tests.tones.drawings import blank, plane
from tests.tones.registration import blobs, differences, kissing

SIGMA = 0.4
DRIFT = Drift(same_pass=SIGMA, between_passes=SIGMA)


def _mean_beyond(distance: float, sigma: float) -> float:
    """The mean of the positive part of a normal shift less a distance, by adding up its density in small steps."""
    steps = np.linspace(distance, distance + 10 * sigma, 200_001)
    density = np.exp(-0.5 * (steps / sigma) ** 2) / (sigma * math.sqrt(2 * math.pi))
    return float(((steps - distance) * density).sum() * (steps[1] - steps[0]))


def test_white_along_a_straight_kissing_edge():
    (found,) = expected_slivers(kissing(203.2), (1, 1), DRIFT, differences(2))
    assert 100 * SIGMA / math.sqrt(2 * math.pi) == pytest.approx(15.958, abs=0.001)
    assert found.white == pytest.approx(15.958, rel=0.01)
    assert found.overlap == pytest.approx(15.958, rel=0.01)
    assert found.kiss == pytest.approx(100, rel=0.01)


@pytest.mark.parametrize(("overlap", "white"), [(0.25, 6.477), (0.5, 2.024), (0.75, 0.472), (1.0, 0.080)])
@pytest.mark.parametrize("ppi", [101.6, 203.2])
def test_white_falls_as_the_trap_grows(ppi, overlap, white):
    # At these scales the traps are whole pixels.
    (found,) = expected_slivers(kissing(ppi, overlap), (1, 1), DRIFT, differences(2))
    assert 100 * _mean_beyond(overlap, SIGMA) == pytest.approx(white, abs=0.001)
    assert found.white == pytest.approx(white, rel=0.015, abs=0.002)
    assert found.overlap < 0.05
    assert found.kiss == 0


@pytest.mark.parametrize("gap", [0.25, 0.5])
def test_a_gap_shows_as_overlap_instead(gap):
    (found,) = expected_slivers(kissing(203.2, -gap), (1, 1), DRIFT, differences(2))
    assert found.overlap == pytest.approx(100 * _mean_beyond(gap, SIGMA), rel=0.02)
    assert found.white < 0.05


@pytest.mark.parametrize("degrees", [0, 10, 30, 45, 70, 90])
def test_an_edge_in_any_direction_counts_by_its_length(degrees):
    y, x = (np.mgrid[:1200, :1200] + 0.5) / 10 - 60
    across = x * math.cos(math.radians(degrees)) + y * math.sin(math.radians(degrees))
    disc = np.hypot(x, y) < 50
    halves = [Plane((disc & half).astype(np.uint8) * 255, 254) for half in (across < 0, across >= 0)]
    (found,) = expected_slivers(halves, (1, 1), DRIFT, differences(2))
    assert found.white == pytest.approx(15.958, rel=0.015)
    assert found.kiss == pytest.approx(100, rel=0.015)


def test_different_passes_drift_further():
    drift = Drift(same_pass=0.2, between_passes=0.8)
    (same,) = expected_slivers(kissing(203.2), (1, 1), drift, differences(2))
    (apart,) = expected_slivers(kissing(203.2), (1, 2), drift, differences(2))
    assert apart.white == pytest.approx(4 * same.white, rel=0.02)


def test_a_turn_shows_more_further_from_the_middle():
    drift = Drift(same_pass=0.001, between_passes=0.001, turn=0.01)
    (found,) = expected_slivers(kissing(203.2), (1, 2), drift, differences(2))
    # An upright edge through the middle of a page moves aside by turn × height above the middle.
    expected = sum(0.01 * abs(y) / math.sqrt(2 * math.pi) * 0.1 for y in np.arange(-49.95, 50, 0.1))
    assert found.white == pytest.approx(expected, rel=0.02)
    assert abs(found.worst.box.centre[1] - 60) > 40


def test_what_shows_is_weighed_by_its_colour():
    table = differences(2)
    (found,) = expected_slivers(kissing(203.2), (1, 1), DRIFT, table)
    white, overlap = min(table[0, 1], table[0, 2]), min(table[3, 1], table[3, 2])
    assert found.visible == pytest.approx(found.white * white + found.overlap * overlap, rel=1e-6)
    assert visible_share([found], kissing(203.2)[0]) == pytest.approx(found.visible / (120 * 120), rel=0.01)
    (unseen,) = expected_slivers(kissing(203.2), (1, 1), DRIFT, np.zeros((4, 4)))
    assert unseen.white == found.white
    assert unseen.visible == 0
    assert unseen.worst is None


def test_the_other_inks_at_a_place_take_part_in_its_colour():
    light, dark = kissing(203.2)
    over = Plane(np.full(light.tones.shape, 255, dtype=np.uint8), light.ppi)
    table = differences(3)
    pair = next(
        s for s in expected_slivers([light, dark, over], (1, 1, 1), DRIFT, table) if (s.first, s.second) == (0, 1)
    )
    # All under black: white between the two is black alone.
    assert pair.white == pytest.approx(15.958, rel=0.01)
    white, overlap = min(table[4, 5], table[4, 6]), min(table[7, 5], table[7, 6])
    assert pair.visible == pytest.approx(pair.white * white + pair.overlap * overlap, rel=1e-6)


def test_the_worst_place_lies_on_the_edge_of_the_inks():
    (found,) = expected_slivers(kissing(203.2), (1, 1), DRIFT, differences(2))
    assert found.worst.box.x0 < 60 < found.worst.box.x1
    per_mm = found.visible / 100
    assert found.worst.amount == pytest.approx(5 * per_mm, rel=0.05)


def test_drawings_rank_kissing_before_outlined_before_overprinted():
    drift = Drift(same_pass=0.5, between_passes=0.5)

    def score(drawing: str) -> float:
        planes = blobs(drawing)
        if drawing != "outlined":
            return visible_share(expected_slivers(planes[:2], (1, 1), drift, differences(2)), planes[0])
        return visible_share(expected_slivers(planes, (1, 1, 1), drift, differences(3)), planes[0])

    kiss, overprint, apart = score("kiss"), score("overprint"), score("apart")
    trapped = visible_share(
        expected_slivers(blobs("kiss", trap=1.0)[:2], (1, 1), drift, differences(2)), blobs("kiss")[0]
    )
    assert kiss > 10 * trapped > 0
    assert trapped > 10 * overprint
    assert kiss > 100 * apart
    # The pair formula sees the third ink's colour at the edge: black hides what opens under it.
    assert kiss > score("outlined") > overprint


def test_bare_planes_and_lone_inks_show_nothing():
    one = kissing(203.2)[0]
    bare = Plane(np.zeros_like(one.tones), one.ppi)
    for planes in ([one, bare], [bare, one], [bare, bare]):
        (found,) = expected_slivers(planes, (1, 1), DRIFT, differences(2))
        assert (found.white, found.overlap, found.kiss, found.worst) == (0, 0, 0, None)


def test_a_page_in_one_ink_has_no_pairs():
    assert expected_slivers([plane(blank(30, 30))], (1,), DRIFT, differences(1)) == ()


def test_what_does_not_fit_is_refused():
    with pytest.raises(ValueError, match="table of 4 sets"):
        expected_slivers(kissing(101.6), (1, 1), DRIFT, np.zeros((2, 2)))
    with pytest.raises(ValueError, match="as many passes"):
        expected_slivers(kissing(101.6), (1,), DRIFT, differences(2))
