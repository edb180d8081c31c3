import numpy as np
import pytest

from imposer.tones.drift import Drift, draw_shifts

DRIFT = Drift(same_pass=0.3, between_passes=0.9, turn=0.002)


def test_inks_drift_as_far_as_the_machine_says():
    shifts = draw_shifts(DRIFT, (1, 1, 2), 40_000, np.random.default_rng(1))
    for one, other, expected in ((0, 1, 0.3), (0, 2, 0.9), (1, 2, 0.9)):
        apart = shifts[:, one] - shifts[:, other]
        assert apart[:, 0].std() == pytest.approx(expected, rel=0.03)
        assert apart[:, 1].std() == pytest.approx(expected, rel=0.03)
        assert apart.mean(axis=0) == pytest.approx((0, 0, 0), abs=0.02)
        assert DRIFT.shift((1, 1, 2)[one], (1, 1, 2)[other]) == expected


def test_passes_turn_and_drums_do_not():
    shifts = draw_shifts(DRIFT, (1, 1, 2), 40_000, np.random.default_rng(1))
    assert np.all(shifts[:, 0] == shifts[:, 1] * (0, 0, 1))
    assert shifts[:, 2, 2].std() == pytest.approx(0.002, rel=0.03)
    assert (DRIFT.turning(1, 1), DRIFT.turning(1, 2)) == (0, 0.002)


def test_the_first_ink_is_the_frame():
    assert not draw_shifts(DRIFT, (2, 1), 50, np.random.default_rng(1))[:, 0].any()


def test_the_same_numbers_give_the_same_shifts():
    one, other = (draw_shifts(DRIFT, (1, 2), 5, np.random.default_rng(9)) for _ in range(2))
    assert np.array_equal(one, other)


@pytest.mark.parametrize(("same", "between", "turn"), [(0, 1, 0), (1, 0.5, 0), (0.5, 1, -1)])
def test_a_machine_that_drifts_less_over_two_passes_is_a_mistake(same, between, turn):
    with pytest.raises(ValueError, match="does not grow"):
        Drift(same_pass=same, between_passes=between, turn=turn)
