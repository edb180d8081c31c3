import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.tones.distance import squared_distance


@given(
    st.integers(1, 30),
    st.integers(1, 30),
    st.sampled_from([0, 1, 3, 7, 10, 11, 25, 180]),
    st.floats(0, 0.3),
    st.integers(0, 2**32 - 1),
)
@settings(max_examples=80, deadline=None, derandomize=True)
def test_distances_are_those_to_the_nearest_of_all_pixels(height, width, reach, share, seed):
    mask = np.random.default_rng(seed).random((height, width)) < share
    found = squared_distance(mask, reach)
    far = np.iinfo(found.dtype).max
    marked = np.argwhere(mask)
    for row in range(height):
        for column in range(width):
            least = min(((row - y) ** 2 + (column - x) ** 2 for y, x in marked), default=10**9)
            assert found[row, column] == (least if least <= reach**2 else far)


def test_a_reach_that_the_numbers_cannot_hold_is_refused():
    with pytest.raises(ValueError, match="reach of 181"):
        squared_distance(np.zeros((2, 2), dtype=bool), 181)
