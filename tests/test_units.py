"""Lengths: exact conversions, and a second opinion."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.lib import units as reportlab_units

from imposer.units import close, fits, from_points, parse_length, show, to_points


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("8.5 in", 215.9),
        ("11in", 279.4),
        ("3 mm", 3.0),
        ("1.2 cm", 12.0),
        ("72 pt", 25.4),
        ('0.125"', 3.175),
        ("  5  ", 5.0),
        (".5 in", 12.7),
    ],
)
def test_lengths_parse_exactly(text, mm):
    assert parse_length(text) == mm


@pytest.mark.parametrize("text", ["", "mm", "3 furlongs", "-3 mm", "1e3", "3,5 mm", "nan", "3 mm 4"])
def test_what_is_no_length_says_so(text):
    with pytest.raises(ValueError, match="not a"):
        parse_length(text)


@pytest.mark.parametrize(
    ("mm", "points"),
    [(0.1, 0.2835), (3, 8.5039), (105, 297.6378), (148, 419.5276), (210, 595.2756), (297, 841.8898), (420, 1190.5512)],
)
def test_points_match_the_worked_table(mm, points):
    """1 pt = 1/72 in (ISO 32000-1, 8.3.2.3), 1 in = 25.4 mm."""
    assert to_points(mm) == pytest.approx(points, abs=5e-5)
    assert to_points(mm) == pytest.approx(mm * reportlab_units.mm)


@given(st.fractions(0, 2000, max_denominator=1000))
def test_inches_and_points_round_trip(value):
    text = f"{float(value)!r}"
    if "e" not in text:
        assert parse_length(f"{text} in") == float(Fraction(text) * Fraction("25.4"))
    assert from_points(to_points(float(value))) == pytest.approx(float(value))


def test_one_tolerance_decides():
    assert close(1, 1.0009)
    assert not close(1, 1.002)
    assert fits(10.0005, 10)
    assert not fits(10.01, 10)
    assert (show(3.14159), show(-0.001), show(100)) == ("3.14", "0", "100")
