"""The prediction: worked values, and the limits that hold for any inks."""

from __future__ import annotations

from pathlib import Path

import coloraide
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from imposer.ink import defaults
from imposer.ink.colour import WHITE, Colour, encode_srgb, lab_from_rec2020, srgb8_from_rec2020
from imposer.ink.film import film_of, lay
from imposer.ink.halftone import effective_coverage, yule_nielsen
from imposer.ink.overprint import OverprintModel, overprint_model, predict, shop_model
from imposer.ink.solids import InkAppearance
from imposer.job.model import Ink, Overprint, Paper
from tests.ink.laws import law

shares = st.floats(0, 1)
hexes = st.tuples(*[st.integers(0, 255)] * 3).map(lambda rgb: f"#{bytes(rgb).hex()}")
gains = st.floats(-0.3, 0.4)


@st.composite
def prints(draw, most=4):
    """A paper, some clear inks, and tones for them."""
    looks = draw(st.lists(st.tuples(hexes, gains), min_size=1, max_size=most))
    inks = [InkAppearance(name=f"ink {i}", colour=Colour.from_hex(c), gain=g) for i, (c, g) in enumerate(looks)]
    n = draw(st.sampled_from([1.0, 1.7, 2.0, 4.0]))
    return Colour.from_hex(draw(hexes)), inks, n, [draw(shares) for _ in inks]


def test_two_tints_by_hand():
    # Worked by hand from the formulas, in linear sRGB: a = (0.7152, 0.4008), n = 2, overprint by the film law.
    paper, rose, blue = np.array([0.80, 0.76, 0.62]), np.array([0.78, 0.16, 0.12]), np.array([0.10, 0.20, 0.42])
    both = lay(film_of(blue, paper, floor=0.055), rose)
    tints = yule_nielsen([paper, rose, blue, both], effective_coverage([0.6, 0.3], 0.12), 2)
    assert tints == pytest.approx([0.432062, 0.203015, 0.198982], abs=1e-6)
    assert encode_srgb(tints) * 255 == pytest.approx([175.6, 124.4, 123.3], abs=0.06)
    lab = coloraide.Color("srgb-linear", tints.tolist()).convert("lab-d65").coords()
    assert lab == pytest.approx([57.215, 19.745, 8.582], abs=5e-3)


def test_without_a_floor_the_inks_part_into_factors():
    # With multiplied overprints, R = P · product of (1 - a + a T^(1/n))^n; the value worked by hand in linear sRGB.
    paper, rose, blue = np.array([0.80, 0.76, 0.62]), np.array([0.78, 0.16, 0.12]), np.array([0.10, 0.20, 0.42])
    covered = [0.7152, 0.4008]
    parts = [(1 - a + a * (solid / paper) ** 0.5) ** 2 for a, solid in zip(covered, (rose, blue), strict=True)]
    mixed = yule_nielsen([paper, rose, blue, rose * blue / paper], covered, 2)
    assert mixed == pytest.approx(paper * parts[0] * parts[1], abs=1e-12)
    assert mixed == pytest.approx([0.431285, 0.184950, 0.192309], abs=1e-6)


@law
@given(prints(), st.data())
def test_no_ink_is_the_paper(case, data):
    paper, inks, n, _ = case
    model = overprint_model(paper, inks, n=n)
    assert predict(model, [0.0] * len(inks)) == pytest.approx(paper.rec2020, abs=1e-12)
    assert srgb8_from_rec2020(predict(model, [0.0] * len(inks))).tolist() == list(bytes.fromhex(paper.hex[1:]))


@law
@given(prints())
def test_one_full_ink_on_white_is_its_own_colour(case):
    _, inks, n, _ = case
    model = overprint_model(WHITE, inks, n=n)
    for place, ink in enumerate(inks):
        full = predict(model, np.eye(len(inks))[place])
        assert full == pytest.approx(ink.colour.rec2020, abs=1e-12)
        assert srgb8_from_rec2020(full).tolist() == list(bytes.fromhex(ink.colour.hex[1:]))


@law
@given(prints(), st.randoms(use_true_random=False))
def test_the_order_of_clear_inks_does_not_matter(case, shuffle):
    paper, inks, n, tones = case
    order = list(range(len(inks)))
    shuffle.shuffle(order)
    straight = predict(overprint_model(paper, inks, n=n), tones)
    shuffled = predict(overprint_model(paper, [inks[i] for i in order], n=n), [tones[i] for i in order])
    assert straight == pytest.approx(shuffled, abs=1e-12)


@law
@given(prints(), st.data())
def test_more_tone_is_never_lighter(case, data):
    paper, inks, n, tones = case
    model = overprint_model(paper, inks, n=n)
    place = data.draw(st.integers(0, len(inks) - 1))
    more = [*tones[:place], data.draw(st.floats(tones[place], 1)), *tones[place + 1 :]]
    assert np.all(predict(model, more) <= predict(model, tones) + 1e-12)


@law
@given(prints(most=8))
def test_eight_inks_lie_between_their_solids(case):
    paper, inks, n, tones = case
    model = overprint_model(paper, inks, n=n)
    solids = np.array(model.solids)
    assert len(solids) == 2 ** len(inks)
    assert np.all(predict(model, tones) >= solids.min(axis=0) - 1e-12)
    assert np.all(predict(model, tones) <= solids.max(axis=0) + 1e-12)


def test_tones_of_any_shape():
    model = overprint_model(WHITE, [InkAppearance(name="rose", colour=Colour.from_hex("#e04080"))])
    tones = np.linspace(0, 1, 6).reshape(2, 3, 1)
    assert predict(model, tones).shape == (2, 3, 3)
    assert predict(model, tones)[1, 0] == pytest.approx(predict(model, tones[1, 0]))
    bare = overprint_model(WHITE, [])
    assert predict(bare, np.zeros((5, 0))) == pytest.approx(np.ones((5, 3)))


def test_inks_that_no_screen_shows_are_named():
    inks = [
        InkAppearance(name="rose", colour=Colour.from_hex("#e04080")),
        InkAppearance(name="glowing pink", colour=Colour.from_lab((75, 85, -25))),
        InkAppearance(name="deep teal", colour=Colour.from_xyz((0.10, 0.20, 0.35))),
    ]
    assert overprint_model(WHITE, inks).beyond_screen == ("glowing pink", "deep teal")
    measured = {frozenset(["glowing pink"]): Colour.from_lab((60, 50, -10))}
    assert overprint_model(WHITE, inks, overprints=measured).beyond_screen == ("deep teal",)


def test_the_shops_words_are_enough():
    paper = Paper(name="cream", weight=90, caliper=0.11, colour="#f4ecd8", stocks=())
    inks = [Ink(name="lamp black", colour="#2a2a2e"), Ink(name="marigold", colour="#f2a900")]
    model = shop_model(paper, inks)
    assert model.inks == ("lamp black", "marigold")
    assert Colour(model.paper).hex == "#f4ecd8"
    assert model.gains == (0.12, 0.12)
    assert not model.measured


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"floor": -0.1}, "surface floor of -0.1"),
        ({"n": 0.5}, "factor of 0.5"),
        ({"inks": "aa"}, "an ink comes twice in a, a"),
        ({"inks": "abcdefghijk"}, "11 inks are more than the 10"),
    ],
)
def test_numbers_out_of_range_are_refused(arguments, message):
    inks = [InkAppearance(name=name, colour=WHITE) for name in arguments.pop("inks", "a")]
    with pytest.raises(ValueError, match=message):
        overprint_model(WHITE, inks, **arguments)


def test_a_model_holds_together():
    with pytest.raises(ValueError, match="1 inks, 1 gains and 1 solids do not match"):
        OverprintModel(inks=("a",), solids=((1, 1, 1),), gains=(0.1,), n=2)


def test_the_same_inks_make_the_same_model():
    inks = [InkAppearance(name="rose", colour=Colour.from_hex("#e04080"))]
    assert overprint_model(WHITE, inks) == overprint_model(WHITE, inks)
    assert hash(overprint_model(WHITE, inks)) == hash(overprint_model(WHITE, inks))


def test_the_model_is_numbers_alone():
    """No file is read and no screen written: the package imports nothing that could."""
    allowed = ("from __future__", "import math", "import numpy", "from imposer.ink", "from collections.abc")
    allowed += ("from dataclasses", "from itertools", "from typing", "from imposer.job.model")
    for module in sorted((Path(__file__).parents[2] / "imposer" / "ink").glob("*.py")):
        for line in module.read_text(encoding="utf-8").splitlines():
            if line.lstrip().startswith(("import ", "from ")):
                assert line.lstrip().startswith(allowed), f"{module.name}: {line}"


def test_a_shops_ink_may_state_its_measured_colour_its_gain_and_how_much_it_hides():
    paper = Paper(name="white", weight=80, caliper=0.1, colour="#ffffff", stocks=())
    pink = Ink(name="pink", colour="#ff5080", lab=(70.0, 75.0, -10.0), gain=0.2, opacity=0.3)
    model = shop_model(paper, [pink, Ink(name="black", colour="#222222")])
    assert model.gains == (0.2, defaults.GAIN)
    assert model.beyond_screen == ("pink",)
    assert lab_from_rec2020(np.array(model.solids[1])) == pytest.approx([70, 75, -10], abs=1.0)


class TestMeasuredOverprintsOfAShop:
    INKS = (
        Ink(name="marigold", colour="#eba52c"),
        Ink(name="rose", colour="#dd6d8b"),
        Ink(name="fern", colour="#4f8a4c"),
    )

    @staticmethod
    def paper(colour):
        return Paper(name="some", weight=80, caliper=0.1, colour=colour, stocks=())

    def test_on_white_paper_it_is_what_was_measured_and_the_rest_is_as_ever(self):
        overprint = Overprint(inks=("rose", "marigold"), colour="#c0402a")
        plain = shop_model(self.paper("#ffffff"), self.INKS[:2])
        model = shop_model(self.paper("#ffffff"), self.INKS[:2], [overprint])
        assert model.solids[0b11] == pytest.approx(Colour.from_hex("#c0402a").rec2020)
        assert model.solids[:3] == plain.solids[:3]
        assert model.measured == {frozenset({"rose", "marigold"})}
        assert plain.solids[0b11] != pytest.approx(model.solids[0b11], abs=0.02)

    def test_as_measured_holds_before_a_colour_code(self):
        overprint = Overprint(inks=("rose", "marigold"), colour="#000000", lab=(50.0, 40.0, 30.0))
        model = shop_model(self.paper("#ffffff"), self.INKS[:2], [overprint])
        assert lab_from_rec2020(model.solids[0b11]) == pytest.approx([50, 40, 30])

    def test_on_another_paper_the_film_of_both_lies_on_it(self):
        overprint = Overprint(inks=("rose", "marigold"), colour="#c0402a")
        model = shop_model(self.paper("#d8e0c8"), self.INKS[:2], [overprint])
        solid, paper = (np.array(Colour.from_hex(code).rec2020) for code in ("#c0402a", "#d8e0c8"))
        passes = np.maximum(solid - 0.055, 0) / (1 - 0.055)
        assert model.solids[0b11] == pytest.approx(
            np.minimum(0.055 + (paper - 0.055) * passes, np.where(solid < 0.055, solid, 1))
        )

    def test_those_of_other_inks_change_nothing(self):
        overprint = Overprint(inks=("rose", "fern"), colour="#c0402a")
        assert shop_model(self.paper("#d8e0c8"), self.INKS[:2], [overprint]) == shop_model(
            self.paper("#d8e0c8"), self.INKS[:2]
        )
