import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Box
from imposer.tones.margins import heavy_outside
from imposer.tones.plane import Plane
from tests.tones.drawings import blank, fill, plane

PPI = 600


@pytest.mark.parametrize("near", [3.0, 5.17, 10.0, 12.9])
def test_heavy_ink_is_counted_by_how_deep_its_strip_is(near):
    tones = blank(60, 80, PPI)
    fill(tones, PPI, Box(0, 0, 60, 80))
    whole = Box(0, 0, 60, 80)
    heavy = heavy_outside(plane(tones, PPI), whole.grown(-near), 0.5)
    assert heavy.area == pytest.approx(60 * 80 - (60 - 2 * near) * (80 - 2 * near), rel=0.01)
    assert len(heavy.places) == 4


def test_ink_beyond_what_can_be_printed_is_not_counted():
    tones = blank(60, 80, PPI)
    drawn = fill(tones, PPI, Box(0, 20, 8, 60))
    heavy = heavy_outside(plane(tones, PPI), Box(10, 10, 50, 70), 0.5, within=Box(3, 3, 57, 77))
    assert heavy.area == pytest.approx((drawn.x1 - 3) * drawn.height, rel=0.01)


@given(
    st.tuples(st.integers(1, 40), st.integers(1, 40)),
    st.sampled_from((60.0, 72.0, 100.0, 150.0, 300.0)),
    st.lists(st.floats(-2, 12), min_size=4, max_size=4, unique=True),
    st.floats(0, 3) | st.none(),
)
@settings(max_examples=300, deadline=None, derandomize=True)
def test_no_more_is_counted_than_there_is_whatever_the_boxes(shape, ppi, edges, around):
    page = Plane(np.full(shape, 255, dtype=np.uint8), ppi)
    (x0, x1), (y0, y1) = sorted(edges[:2]), sorted(edges[2:])
    box = Box(x0, y0, x1, y1)
    heavy = heavy_outside(page, box, 0.5, within=None if around is None else box.grown(around))
    cell = page.means.pitch
    assert 0 <= heavy.area <= (page.size.width + cell) * (page.size.height + cell)
