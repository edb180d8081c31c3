"""Boxes and quarter turns: against the published matrices, and against what a turn does to a picture."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.geometry import Box, Size, Transform

TURNS = st.sampled_from([0, 90, 180, 270])
LENGTHS = st.floats(0.5, 500)


@pytest.mark.parametrize(
    ("turn", "matrix"),
    [
        (0, (1, 0, 0, 1, 0, 0)),
        (90, (0, 1, -1, 0, "h", 0)),
        (180, (-1, 0, 0, -1, "w", "h")),
        (270, (0, -1, 1, 0, 0, "w")),
    ],
)
def test_quarter_turns_are_the_published_matrices(turn, matrix):
    """CIP4, XJDF 2.2, Table A.32: Rotate0, Rotate90 (counter-clockwise), Rotate180, Rotate270."""
    numbers = tuple({"w": 105, "h": 148}.get(value, value) for value in matrix)
    assert tuple(Transform.quarter_turn(turn, Size(105, 148))) == numbers


@given(turn=TURNS)
def test_a_turn_moves_the_corners_as_numpy_turns_a_picture(turn):
    """numpy.rot90 turns counter-clockwise; a picture's first row is its top."""
    picture = np.arange(6).reshape(3, 2)
    turned = np.rot90(picture, turn // 90)
    place = Transform.quarter_turn(turn, Size(2, 3))
    for row in range(3):
        for column in range(2):
            x, y = place.apply(column + 0.5, 3 - row - 0.5)
            assert turned[turned.shape[0] - 1 - int(y), int(x)] == picture[row, column]


@given(turn=TURNS, width=LENGTHS, height=LENGTHS)
def test_a_turn_lays_the_box_back_on_the_origin_and_four_are_none(turn, width, height):
    size = Size(width, height)
    turned = size if turn in (0, 180) else size.turned
    assert Transform.quarter_turn(turn, size).apply_box(Box(0, 0, width, height)).size.close_to(turned)
    back = Transform.quarter_turn(turn, size).then(Transform.quarter_turn((360 - turn) % 360, turned))
    assert tuple(back) == pytest.approx((1, 0, 0, 1, 0, 0), abs=1e-9)


@given(turn=TURNS, width=LENGTHS, height=LENGTHS, x=LENGTHS, y=LENGTHS)
def test_place_then_inverse_is_nothing(turn, width, height, x, y):
    place = Transform.quarter_turn(turn, Size(width, height)).then(Transform.shift(x, y)).then(Transform.scale(2, 2))
    assert tuple(place.then(place.inverse())) == pytest.approx((1, 0, 0, 1, 0, 0), abs=1e-6)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_mirroring_a_box_twice_is_nothing(x, y, width, height):
    box = Box.at(x, y, width, height)
    for twice in (box.mirrored_x(420).mirrored_x(420), box.mirrored_y(297).mirrored_y(297)):
        assert twice.size.close_to(box.size)
        assert twice.contains(box)


def test_touching_boxes_do_not_meet():
    left, right = Box(0, 0, 10, 10), Box(10, 0, 20, 10)
    assert not left.meets(right)
    assert left.common(right) is None
    assert left.meets(right.moved(-0.01, 0))
    assert Box(0, 0, 10, 10).common(Box(5, 5, 20, 20)) == Box(5, 5, 10, 10)


def test_a_box_with_its_corners_the_wrong_way_round_is_a_bug():
    with pytest.raises(ValueError, match="wrong way round"):
        Box(1, 0, 0, 1)
    with pytest.raises(ValueError, match="no inverse"):
        Transform.scale(0, 1).inverse()
