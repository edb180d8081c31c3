import numpy as np
import pytest

from imposer.tones.drift import Drift, draw_shifts
from imposer.tones.plane import Plane
from imposer.tones.slivers import expected_slivers
from imposer.tones.trials import try_registration
from tests.tones.drawings import blank, plane
from tests.tones.registration import blobs, differences, kissing

DRIFT = Drift(same_pass=0.4, between_passes=0.8)


def _moved(mask: np.ndarray, right: int, up: int) -> np.ndarray:
    height, width = mask.shape
    result = np.zeros_like(mask)
    down = -up
    result[max(down, 0) : height + min(down, 0), max(right, 0) : width + min(right, 0)] = mask[
        max(-down, 0) : height + min(-down, 0), max(-right, 0) : width + min(-right, 0)
    ]
    return result


def _near(mask: np.ndarray, radius: int, outside: bool = False) -> np.ndarray:
    """Grow a mask by a disc, cell by cell."""
    height, width = mask.shape
    padded = np.pad(mask, radius, constant_values=outside)
    near = np.zeros_like(mask)
    for down in range(-radius, radius + 1):
        for across in range(-radius, radius + 1):
            if down**2 + across**2 <= (radius + 0.5) ** 2:
                near |= padded[radius + down : radius + down + height, radius + across : radius + across + width]
    return near


def _looked_at_cell_by_cell(planes: list[Plane], passes, drift, table, trials: int) -> tuple[float, float, float]:
    """Score, white and overlap as the rule says, on bytes: what every state costs where it was not."""
    masks = [p.tones >= 128 for p in planes]
    pitch = planes[0].pitch
    spread = max(drift.shift(a, b) for a in passes for b in passes)
    radius = int(np.ceil(3 * spread / pitch))
    states = sum(mask.astype(int) << ink for ink, mask in enumerate(masks))
    local = []
    for state in range(2 ** len(masks)):
        here = states == state
        kept = here & (_moved(here, 1, 0) | _moved(here, -1, 0) | _moved(here, 0, 1) | _moved(here, 0, -1))
        local.append(_near(kept, radius))
    judged = ~_near(np.zeros_like(masks[0]), radius, outside=True)
    scores, white, overlap = [], 0, 0
    for shifts in draw_shifts(drift, passes, trials, np.random.default_rng(11)):
        after = sum(
            _moved(mask, round(right / pitch), round(up / pitch)).astype(int) << ink
            for ink, (mask, (right, up, _)) in enumerate(zip(masks, shifts, strict=True))
        )
        cost = 0.0
        for state in range(2 ** len(masks)):
            new = (after == state) & ~local[state] & judged
            nearest = np.min([np.where(near, table[state, s], np.inf) for s, near in enumerate(local)], axis=0)
            cost += nearest[new].sum()
            white += new.sum() * (state == 0)
            overlap += new.sum() * (bin(state).count("1") >= 2)
        scores.append(cost / masks[0].size)
    return float(np.mean(scores)), white * pitch**2 / trials, overlap * pitch**2 / trials


@pytest.mark.parametrize("drawing", ["kiss", "outlined", "overprint", "apart"])
def test_trials_find_what_looking_at_every_cell_finds(drawing):
    planes = blobs(drawing, 100)
    passes, table = (1, 1, 2), differences(3)
    found = try_registration(planes, passes, DRIFT, table, trials=6, rng=np.random.default_rng(11))
    score, white, overlap = _looked_at_cell_by_cell(planes, passes, DRIFT, table, 6)
    assert found.score == pytest.approx(score, rel=1e-6, abs=1e-9)
    assert found.white == pytest.approx(white, rel=1e-6, abs=1e-9)
    assert found.overlap == pytest.approx(overlap, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("trap", [0.0, 0.5])
def test_trials_agree_with_the_closed_form_where_that_is_exact(trap):
    planes, drift = kissing(203.2, trap), Drift(same_pass=0.4, between_passes=0.4)
    (closed,) = expected_slivers(planes, (1, 1), drift, differences(2))
    tried = try_registration(planes, (1, 1), drift, differences(2), trials=1500)
    # The mean of 1500 draws is good to some per cent, to ten where only few of them open the trap.
    assert tried.white == pytest.approx(closed.white, rel=0.2 if trap else 0.07)
    assert tried.overlap == pytest.approx(closed.overlap, rel=0.07, abs=0.05)
    assert tried.score * 120 * 120 == pytest.approx(closed.visible, rel=0.2 if trap else 0.07)


def test_a_turn_opens_what_the_closed_form_says():
    drift = Drift(same_pass=0.05, between_passes=0.05, turn=0.008)
    planes = kissing(203.2)
    (closed,) = expected_slivers(planes, (1, 2), drift, differences(2))
    tried = try_registration(planes, (1, 2), drift, differences(2), trials=600)
    assert tried.white == pytest.approx(closed.white, rel=0.1)


def test_drawings_rank_kissing_before_outlined_before_overprinted():
    drift = Drift(same_pass=0.5, between_passes=0.5)

    def score(drawing: str, trap: float = 0.0) -> float:
        return try_registration(blobs(drawing, trap=trap), (1, 1, 1), drift, differences(3), trials=60).score

    kiss, trapped, outlined, overprint, apart = (
        score("kiss"),
        score("kiss", 1.0),
        score("outlined"),
        score("overprint"),
        score("apart"),
    )
    assert kiss > 2 * outlined > 2 * overprint
    assert kiss > 5 * trapped
    assert overprint < kiss / 50
    assert apart < kiss / 20


def test_a_lone_shape_may_move_freely():
    shape = kissing(203.2)[0]
    bare = Plane(np.zeros_like(shape.tones), shape.ppi)
    for planes in ([shape, bare], [bare, shape]):
        found = try_registration(planes, (1, 2), DRIFT, differences(2))
        assert (found.score, found.white, found.overlap, found.worst) == (0, 0, 0, None)


def test_type_over_a_tint_may_move_freely_too():
    # Strokes of 0.25 mm, which a coarse look would lose.
    ground, type_ = blank(60, 60, 600), blank(60, 60, 600)
    ground[100:-100, 100:-100] = 90
    for left in range(300, 1100, 40):
        type_[300:1100, left : left + 6] = 255
    found = try_registration([plane(ground, 600), plane(type_, 600)], (1, 2), DRIFT, differences(2))
    assert found.score < 0.002


def test_two_drums_of_one_pass_show_less_than_two_passes():
    planes = blobs("kiss")
    one = try_registration(planes, (1, 1, 1), DRIFT, differences(3)).score
    two = try_registration(planes, (1, 2, 2), DRIFT, differences(3)).score
    assert 1.3 < two / one < 3


def test_the_worst_place_lies_where_inks_meet():
    found = try_registration(kissing(203.2), (1, 1), DRIFT, differences(2))
    assert found.worst.box.grown(2).x0 < 60 < found.worst.box.grown(2).x1
    assert found.worst.amount > 0


def test_the_same_page_gives_the_same_figures():
    planes = blobs("kiss", 100)
    first, second = (try_registration(planes, (1, 2, 2), DRIFT, differences(3)) for _ in range(2))
    assert first == second
    other = try_registration(planes, (1, 2, 2), DRIFT, differences(3), rng=np.random.default_rng(5))
    assert other.score != first.score
    assert other.score == pytest.approx(first.score, rel=0.35)


def test_four_inks_are_tried_and_five_are_refused():
    planes = blobs("kiss", 100)
    four = [*planes, planes[0]]
    assert try_registration(four, (1, 1, 2, 2), DRIFT, np.ones((16, 16)) - np.eye(16), trials=3).score > 0
    with pytest.raises(ValueError, match="5 inks are more"):
        try_registration([*four, planes[1]], (1,) * 5, DRIFT, np.zeros((32, 32)))


def test_a_machine_that_drifts_by_centimetres_is_still_tried():
    drift = Drift(same_pass=3.0, between_passes=6.0)
    found = try_registration(kissing(203.2), (1, 2), drift, differences(2), trials=10)
    assert found.white > 0
