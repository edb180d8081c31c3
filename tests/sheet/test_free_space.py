"""The quick search for free places against the plain question asked of every place."""

from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.geometry import Box
from imposer.sheet.free_space import Space, everywhere, first_free

SIDES = st.integers(0, 40).map(lambda n: n / 2)


@st.composite
def boxes(draw):
    return Box.at(draw(SIDES), draw(SIDES), draw(SIDES), draw(SIDES))


@settings(deadline=None, derandomize=True, max_examples=150)
@given(taken=st.lists(boxes(), max_size=8), width=st.integers(1, 12), height=st.integers(1, 6))
def test_the_first_place_found_is_the_first_that_is_free(taken, width, height):
    space = Space(Box(0, 0, 30, 30), tuple(taken))
    strips = (Box(0, 0, 30, 8), Box(22, 0, 30, 30))
    places = tuple(everywhere(strips, width, height))
    assert first_free(space, places) == next((box for box in places if space.free(box)), None)
