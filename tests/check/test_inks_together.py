"""Inks of one page against one another: register, kiss-fits, misplaced and doubled layers, an ink for one spot."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw

from imposer.check import kiss_fit, misplaced_layer, registration, same_art, small_spot
from tests.check.pages import PPI, TRIM, a_small_job, draw, facts_of, limited, number, paper
from tests.tones.drawings import photo, resized, typed

MM = 25.4


def found(rule, facts):
    return rule.RULE.find(facts)


def meeting(overlap=0.0, length=60.0):
    """Two blocks that meet along an upright edge of 60 mm."""
    return {
        "lamp black": draw(paper(), (30, 10, 50, 10 + length)),
        "marigold": draw(paper(), (10, 10, 30 + overlap, 10 + length)),
    }


def one_drum(**changed):
    return a_small_job(drums=1, **changed)


def test_a_kiss_fit_of_two_passes_is_told_with_its_length():
    (one,) = found(kiss_fit, facts_of({1: meeting()}, job=one_drum()))
    assert number(one.message.split("over")[1]) == pytest.approx(60, rel=0.05)
    assert one.level == "note"
    assert abs(one.box.centre[0] - 30) < 3
    (long,) = found(kiss_fit, facts_of({1: meeting()}, job=limited(one_drum(), kiss_long=55)))
    assert long.level == "warning"


def test_a_trap_a_short_edge_or_one_pass_is_fine():
    assert found(kiss_fit, facts_of({1: meeting(overlap=0.5)}, job=one_drum())) == ()
    assert found(kiss_fit, facts_of({1: meeting(length=40)}, job=one_drum())) == ()
    assert found(kiss_fit, facts_of({1: meeting()}, job=a_small_job(drums=2))) == ()


def stripes(overlap=0.0):
    """Six edges of 60 mm that meet, far from the rim: drift shows on all of them."""
    black, gold = paper(), paper()
    for k in range(3):
        draw(black, (10 + 14 * k, 10, 17 + 14 * k, 70))
        draw(gold, (17 + 14 * k - overlap, 10, 24 + 14 * k + (overlap if k < 2 else 0), 70))
    return {"lamp black": black, "marigold": gold}


def test_drift_shows_on_edges_that_meet_and_is_told_in_square_millimetres():
    facts = facts_of({1: stripes()}, job=limited(one_drum(), register=0.25))
    (one,) = found(registration, facts)
    assert one.level == "warning"
    # Five upright edges of 60 mm, half a millimetre of spread between passes: E = s / sqrt(2 pi) of white on each.
    assert facts.trials[1].white == pytest.approx(5 * 60 * 0.5 / np.sqrt(2 * np.pi), rel=0.35)
    assert one.measured == f"{facts.trials[1].score:.2f} ΔE"
    (nearly,) = found(registration, facts_of({1: stripes()}, job=one_drum()))
    assert nearly.level == "note"


@pytest.mark.parametrize(
    ("white", "overlap", "words"),
    [(12.3, 4.6, "12 mm² of white and 5 mm² of overlap"), (0.4, 7.0, "7 mm² of overlap"), (9.0, 0.2, "9 mm² of white")],
)
def test_drift_tells_no_nought(white, overlap, words):
    facts = facts_of({1: stripes()}, job=one_drum())
    tried = replace(facts.trials[1], white=white, overlap=overlap)
    (one,) = found(registration, replace(facts, trials={1: tried}))
    assert f" about {words} a sheet" in one.message
    assert one.mend.startswith("look at its edges in the proof")


def test_a_trap_takes_it_away_and_the_page_that_shows_most_is_a_note():
    traps = facts_of({1: stripes(overlap=1.2)}, job=one_drum())
    assert all(one.level == "note" for one in found(registration, traps))
    assert traps.trials.get(1) is None or traps.trials[1].score < 0.3
    apart = {"lamp black": draw(paper(), (5, 10, 20, 70)), "marigold": draw(paper(), (40, 10, 55, 70))}
    assert found(registration, facts_of({1: apart}, job=one_drum())) == ()


def test_two_inks_of_one_pass_drift_less():
    same = facts_of({1: stripes()}, job=a_small_job(drums=2)).trials[1].score
    apart = facts_of({1: stripes()}, job=one_drum()).trials[1].score
    assert same < 0.75 * apart


def lettering(seed=3, size=28):
    wide, high = (round(side * PPI / MM) for side in TRIM)
    return typed(wide, high, size=size, seed=seed)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda t: np.rot90(t, 2), "turned by 180°"),
        (lambda t: t[:, ::-1], "mirrored"),
        (lambda t: np.roll(t, (40, -30), (0, 1)), "moved by 3 mm right and 4 mm up"),
    ],
)
def test_a_layer_that_lies_wrong_is_told_how_it_would_match(change, words):
    own = lettering(size=60)
    # Not the same tones: a wash that follows the letters, as a second ink does.
    inks = {"lamp black": own, "marigold": (change(own) // 2).copy()}
    told = found(misplaced_layer, facts_of({1: inks}))
    assert len(told) == 1
    if words.startswith("moved"):
        right, up = (
            float(part.split(" mm")[0].split()[-1]) for part in told[0].message.split("moved by")[1].split("and")
        )
        assert (right, up) == (pytest.approx(3, abs=0.2), pytest.approx(4, abs=0.2))
    else:
        assert words in told[0].message
    assert {told[0].ink, told[0].other_ink} == set(inks)


@pytest.mark.parametrize(
    ("roll", "words"),
    [((0, -30), "moved by 3 mm right"), ((40, 0), "moved by 4 mm up")],
)
def test_a_direction_that_nothing_is_moved_in_is_left_out(roll, words):
    own = lettering(size=60)
    inks = {"lamp black": own, "marigold": (np.roll(own, roll, (0, 1)) // 2).copy()}
    (one,) = found(misplaced_layer, facts_of({1: inks}))
    assert one.message.endswith(words)
    assert " 0 mm" not in one.message


def outlined_shapes():
    """Sixteen plain shapes drawn in lines, a stroke or two in each, and the flats of colour that belong under them."""
    rng = np.random.default_rng(4)
    flats = Image.fromarray(paper((105, 148)))
    lines = flats.copy()
    wide, high = flats.size
    for _ in range(16):
        x, y, sides = rng.uniform(0.2, 0.8) * wide, rng.uniform(0.15, 0.85) * high, int(rng.integers(5, 10))
        reach = 10 * rng.uniform(5, 13) * rng.uniform(0.5, 1, sides)
        corners = [
            (x + far * np.cos(2 * np.pi * i / sides), y + far * np.sin(2 * np.pi * i / sides))
            for i, far in enumerate(reach)
        ]
        ImageDraw.Draw(flats).polygon(corners, fill=180)
        ImageDraw.Draw(lines).polygon(corners, fill=0)
        ImageDraw.Draw(lines).line([*corners, corners[0]], fill=255, width=6, joint="curve")
        for _ in range(4):
            ends = [(x + 40 * rng.uniform(-1, 1), y + 40 * rng.uniform(-1, 1)) for _ in range(2)]
            ImageDraw.Draw(lines).line(ends, fill=255, width=4)
    return np.asarray(lines), np.asarray(flats)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda t: t, None),
        (lambda t: np.rot90(t, 2), "turned by 180°"),
        (lambda t: t[:, ::-1], "mirrored"),
        (lambda t: np.roll(t, 20, 1), "moved by"),
        (lambda t: np.pad(resized(t, (945, 1332), Image.Resampling.BILINEAR), ((0, 148), (0, 105))), "scaled to 11"),
    ],
)
def test_flats_of_colour_under_a_drawing_are_told_where_they_lie_wrong(change, words):
    lines, flats = outlined_shapes()
    inks = {"lamp black": lines, "marigold": change(flats).copy()}
    told = found(misplaced_layer, facts_of({1: inks}, job=a_small_job(trim=(105, 148), sheet="A3")))
    assert [words in one.message for one in told] == ([True] if words else [])


def test_the_drop_shadow_of_a_word_is_meant():
    word = typed(600, 800, size=110, seed=2).copy()
    word[140:] = 0
    assert word.any()
    assert _in_each_ink(word, np.roll(word, (12, 12), (0, 1)) // 2) == ()


def test_layers_that_fit_or_have_nothing_to_do_with_each_other():
    own = lettering()
    assert found(misplaced_layer, facts_of({1: {"lamp black": own, "marigold": own // 2}})) == ()
    other = draw(paper(), (10, 10, 50, 40), 0.5)
    assert found(misplaced_layer, facts_of({1: {"lamp black": own, "marigold": other}})) == ()


def _in_each_ink(one, other):
    return found(misplaced_layer, facts_of({1: {"lamp black": one, "marigold": other}}))


def test_a_few_simple_marks_of_two_inks_are_not_held_against_each_other():
    square, beside = draw(paper(), (10, 10, 35, 35)), draw(paper(), (20, 25, 45, 50))
    assert _in_each_ink(square, beside) == ()
    # Blocks side by side.
    assert _in_each_ink(draw(paper(), (10, 10, 30, 60)), draw(paper(), (30, 10, 50, 60))) == ()


def test_unlike_words_of_two_inks_are_not_held_against_each_other():
    wide, high = (round(side * PPI / MM) for side in TRIM)
    for size in (24, 40):
        one, other = (typed(wide, high, size=size, seed=seed).copy() for seed in (5, 6))
        # A few lines each, the second's lower on the page by 12 mm.
        one[high // 3 :], other[high // 3 :] = 0, 0
        assert _in_each_ink(one, np.roll(other, 120, 0)) == ()


def test_the_same_art_in_two_inks():
    own = lettering()
    (one,) = found(same_art, facts_of({1: {"lamp black": own, "marigold": own.copy()}}))
    assert number(one.measured) == pytest.approx(1)
    assert one.measured.endswith(" alike")
    assert (one.ink, one.other_ink) == ("marigold", "lamp black")
    nearly = draw(own.copy(), (30, 50, 42, 62))
    assert found(same_art, facts_of({1: {"lamp black": own, "marigold": nearly}})) == ()


@pytest.mark.parametrize("strength", [0.4, 0.6, 0.8])
def test_fine_line_art_is_the_same_at_two_strengths(strength):
    own = lettering(size=60)
    # More ink than the whole page may differ by.
    assert (own > 128).mean() > 0.05
    paler = np.round(own * strength).astype(np.uint8)
    (one,) = found(same_art, facts_of({1: {"lamp black": own, "marigold": paler}}))
    assert number(one.measured) == pytest.approx(1)
    more = draw(paler.copy(), (30, 50, 42, 62), 0.6)
    assert found(same_art, facts_of({1: {"lamp black": own, "marigold": more}})) == ()


def test_two_tones_that_mix_a_colour_are_meant():
    solid = [draw(paper(), (5, 10, 45, 60), tone) for tone in (0.8, 0.5)]
    assert found(same_art, facts_of({1: dict(zip(("lamp black", "marigold"), solid, strict=True))})) == ()
    wide, high = (round(side * PPI / MM) for side in TRIM)
    picture = photo(wide, high, seed=3)
    duotone = {"lamp black": picture, "marigold": (picture * 0.6).astype(np.uint8)}
    assert found(same_art, facts_of({1: duotone})) == ()


def test_an_ink_for_one_spot_costs_its_masters_and_passes():
    job = a_small_job(inks=("lamp black", "marigold", "brick"))
    art = {
        1: {"lamp black": lettering(1), "marigold": lettering(2), "brick": draw(paper(), (20, 20, 32, 30))},
        2: {"lamp black": lettering(3), "marigold": lettering(4)},
    }
    (one,) = found(small_spot, facts_of(art, job=job))
    assert one.ink == "brick"
    assert number(one.measured) == pytest.approx(120, rel=0.02)
    assert one.message.endswith("it costs 1 master and 1 pass")


def test_an_ink_on_two_pages_or_in_a_larger_spot_is_meant():
    job = a_small_job(inks=("lamp black", "marigold"))
    spot = draw(paper(), (20, 20, 32, 30))
    twice = {page: {"lamp black": lettering(page), "marigold": spot} for page in (1, 2)}
    assert found(small_spot, facts_of(twice, job=job)) == ()
    large = {
        1: {"lamp black": lettering(1), "marigold": draw(paper(), (20, 20, 40, 40))},
        2: {"lamp black": lettering(2)},
    }
    assert found(small_spot, facts_of(large, job=job)) == ()
