"""The colours of inks that meet at full tone: from the film model, and from a chart."""

from __future__ import annotations

import numpy as np
import pytest

from imposer.ink.colour import REC2020_FROM_SRGB, SRGB_FROM_REC2020, WHITE, Colour, lab_from_rec2020, lab_from_xyz
from imposer.ink.difference import delta_e
from imposer.ink.overprint import overprint_model, predict
from imposer.ink.solids import InkAppearance
from tests.ink import other_models
from tests.ink.printed_charts import INKS, chosen_chart

# FOGRA29 (see charts/SOURCES.txt), D50: paper and full tones, XYZ; two inks together, Lab as measured, and as the film
# with a floor of 0.055 predicts from the XYZ (worked separately from the formula).
PAPER = (0.8644, 0.8931, 0.7637)
SOLIDS = {
    "c": (0.2016, 0.2707, 0.5263),
    "m": (0.3772, 0.2297, 0.2087),
    "y": (0.7042, 0.7384, 0.1082),
    "k": (0.0699, 0.0703, 0.0538),
}
PAIRS = {
    "cm": ((38.533, 8.027, -32.192), (34.464, 9.124, -27.865)),
    "cy": ((52.242, -42.789, 18.490), (53.194, -47.033, 26.833)),
    "ck": ((28.087, 0.196, -3.267), (29.036, -1.252, -1.419)),
    "my": ((52.476, 55.400, 30.101), (52.465, 56.286, 36.211)),
    "mk": ((29.261, 6.082, 3.218), (29.078, 4.165, 0.621)),
    "yk": ((30.133, -1.375, 4.092), (31.309, 2.181, 5.058)),
}


def process_inks(gain=0.12):
    return [InkAppearance(name=name, colour=Colour.from_xyz(xyz), gain=gain) for name, xyz in SOLIDS.items()]


def process_model(floor=0.055, **settings):
    paper = Colour.from_xyz(PAPER)
    return overprint_model(paper, process_inks(), reference=paper, floor=floor, **settings)


def solid_lab(model, *inks):
    number = sum(1 << place for place, ink in enumerate(model.inks) if ink in inks)
    return lab_from_rec2020(model.solids[number])


@pytest.mark.parametrize("pair", PAIRS)
def test_pairs_of_a_real_print(pair):
    _, predicted = PAIRS[pair]
    assert solid_lab(process_model(), *pair) == pytest.approx(predicted, abs=0.02)


@pytest.mark.parametrize(("pair", "film", "multiplied"), [("my", 2.87, 12.25), ("cm", 4.73, 14.39)])
def test_how_far_off_film_and_multiplied_light_are(pair, film, multiplied):
    measured, _ = PAIRS[pair]
    assert delta_e(solid_lab(process_model(), *pair), measured) == pytest.approx(film, abs=0.02)
    # Multiplied in linear sRGB, as a screen does; it shows no negative light.
    readings = (PAPER, *(SOLIDS[ink] for ink in pair))
    paper, *solids = (np.array(Colour.from_xyz(xyz).rec2020) @ SRGB_FROM_REC2020.T for xyz in readings)
    product = other_models.multiplied(paper, *np.maximum(solids, 0)) @ REC2020_FROM_SRGB.T
    assert delta_e(lab_from_rec2020(product), measured) == pytest.approx(multiplied, abs=0.03)


def test_a_tint_of_two_inks_of_that_print():
    # Measured at 40 % of m and of y in the same set.
    paper = Colour.from_xyz(PAPER)
    inks = [InkAppearance(name=i, colour=Colour.from_xyz(SOLIDS[i]), gain=g) for i, g in (("m", 0.10), ("y", 0.09))]
    predicted = lab_from_rec2020(predict(overprint_model(paper, inks, reference=paper), [0.4, 0.4]))
    assert delta_e(predicted, (74.03, 24.28, 19.75)) < 3.3


def test_what_a_chart_measured_is_taken_as_it_is():
    chart = {frozenset(pair): Colour.from_lab(measured) for pair, (measured, _) in PAIRS.items()}
    chart[frozenset("m")] = Colour.from_lab((55, 60, -4))
    chart[frozenset(("m", "gold"))] = Colour.from_lab((40, 10, 10))
    model = process_model(overprints=chart)
    for pair, (measured, _) in PAIRS.items():
        assert solid_lab(model, *pair) == pytest.approx(measured, abs=1e-6)
    assert solid_lab(model, "m") == pytest.approx((55, 60, -4), abs=1e-6)
    assert solid_lab(model, "c") == pytest.approx(lab_from_xyz(SOLIDS["c"]), abs=1e-6)
    assert model.measured == frozenset(chart) - {frozenset(("m", "gold"))}


def test_a_chart_on_another_paper_is_carried_to_the_jobs():
    cream = Colour.from_hex("#f4ecd8")
    chart = {
        frozenset(): Colour.from_xyz(PAPER),
        frozenset("c"): Colour.from_xyz(SOLIDS["c"]),
        frozenset("cm"): Colour.from_lab(PAIRS["cm"][0]),
    }
    inks = process_inks()[:2]
    model = overprint_model(cream, inks, overprints=chart)
    on_its_own = overprint_model(Colour.from_xyz(PAPER), inks, overprints=chart)
    assert model.paper == pytest.approx(cream.rec2020)
    for number in (0b01, 0b11):
        # floor + (P - floor) · (cream - floor) / (paper - floor), worked here.
        shade = (np.array(cream.rec2020) - 0.055) / (np.array(chart[frozenset()].rec2020) - 0.055)
        assert model.solids[number] == pytest.approx(0.055 + (np.array(on_its_own.solids[number]) - 0.055) * shade)


@pytest.mark.parametrize(("name", "singles", "pairs", "all_sets"), [
    ("fogra29", 2.7, 2.0, 1.6),
    ("fogra30", 3.2, 2.6, 2.3),
    ("tr002", 2.7, 1.4, 1.1),
])  # fmt: skip
def test_every_measured_overprint_brings_the_print_nearer(name, singles, pairs, all_sets):
    """Mean CIEDE2000 of patches of three and four inks, as a chart holds more (see charts/SOURCES.txt)."""
    chart = chosen_chart(name)
    errors = [
        chart.differences(chart.model(fitted=True, overprints=chart.overprints(most)), least_inks=3).mean()
        for most in (1, 2, 4)
    ]
    assert errors[0] < singles
    assert errors[1] < pairs
    assert errors[2] < all_sets
    assert errors == sorted(errors, reverse=True)


def test_a_pair_that_was_misread_makes_no_third_ink_lighten():
    chart = {frozenset(("c", "m")): Colour.from_xyz((0.5, 0.5, 0.5))}
    solids = np.array(process_model(overprints=chart).solids)
    for number in range(16):
        for ink in range(4):
            more = number | 1 << ink
            if 0b0011 not in (number, more):
                assert np.all(solids[more] <= solids[number] + 1e-12)


def test_a_pair_too_dark_to_tell_anything_corrects_nothing():
    # Two blacks: what a reading of both says of their meeting is noise, and must not reach the other inks.
    blacks = [InkAppearance(name=name, colour=Colour.from_hex("#484848")) for name in ("lamp", "bone")]
    rose = InkAppearance(name="rose", colour=Colour.from_hex("#e04080"))
    reading = {frozenset(("lamp", "bone")): Colour.from_hex("#444444")}
    model = overprint_model(WHITE, [*blacks, rose])
    assert np.array(overprint_model(WHITE, [*blacks, rose], overprints=reading).solids[0b111]) == pytest.approx(
        np.array(model.solids[0b111]), abs=1e-12
    )
    # The same reading of two inks that let enough light through does reach them.
    greys = [InkAppearance(name=name, colour=Colour.from_hex("#909090")) for name in ("lamp", "bone")]
    corrected = overprint_model(WHITE, [*greys, rose], overprints=reading).solids[0b111]
    assert np.all(np.array(corrected) < np.array(overprint_model(WHITE, [*greys, rose]).solids[0b111]) - 1e-3)


def test_a_measured_pair_says_nothing_under_an_ink_that_hides():
    red, blue = (InkAppearance(name=n, colour=Colour.from_hex(c)) for n, c in (("red", "#d03030"), ("blue", "#2040c0")))
    white = InkAppearance(name="white", colour=Colour.from_hex("#f8f8f4"), opacity=0.8)
    pair = {frozenset(("red", "blue")): Colour.from_hex("#302040")}
    plain, charted = (overprint_model(WHITE, [red, blue, white], overprints=chart) for chart in (None, pair))
    assert charted.solids[0b011] != plain.solids[0b011]
    assert charted.solids[0b111] == plain.solids[0b111]


def test_order_tells_only_with_inks_that_hide():
    paper = Colour.from_hex("#808080")
    red, blue = (InkAppearance(name=n, colour=Colour.from_hex(c)) for n, c in (("red", "#d03030"), ("blue", "#2040c0")))
    white = InkAppearance(name="white", colour=Colour.from_hex("#f8f8f4"), opacity=0.8)

    def all_three(*order):
        return np.array(overprint_model(paper, order).solids[0b111])

    assert all_three(red, blue, white) == pytest.approx(all_three(blue, red, white), abs=1e-12)
    assert np.all(all_three(red, blue, white) > all_three(red, white, blue))
    on_paper = overprint_model(paper, [white])
    assert np.all(np.array(on_paper.solids[1]) > np.array(on_paper.paper))


def test_numbers_out_of_range_are_refused():
    rose = Colour.from_hex("#e04080")
    with pytest.raises(ValueError, match=r"rose: a gain of 0\.6 "):
        InkAppearance(name="rose", colour=rose, gain=0.6)
    with pytest.raises(ValueError, match=r"rose: an opacity of -0\.1 "):
        InkAppearance(name="rose", colour=rose, opacity=-0.1)


def test_the_sets_of_a_chart_are_all_there():
    assert len(chosen_chart("fogra29").overprints(4)) == 2 ** len(INKS) - 1 - len(INKS)
