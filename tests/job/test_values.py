"""Single values: lengths, sizes, colours, weights, percentages, and what is said of those that cannot be used."""

from __future__ import annotations

import datetime
import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.data.papers import paper_size, paper_sizes
from imposer.geometry import Size
from imposer.job.values import (
    BadValue,
    colour,
    creep,
    flag,
    length,
    number,
    one_of,
    parse_size,
    percent,
    shown,
    size,
    text,
    weight,
    whole,
)

SETTINGS = settings(max_examples=200, deadline=None, derandomize=True)

any_length = length(0, math.inf)
any_size = size(1, 10_000)


def said(parse, value):
    """What is said of a value: the problem and the mend."""
    with pytest.raises(BadValue) as caught:
        parse(value)
    return f"{caught.value.problem}; {caught.value.mend}".rstrip("; ")


# ---------------------------------------------------------------- lengths

LENGTH_MEND = 'give mm, or a number with its unit such as "3 mm", "0.125 in" or "9 pt"'


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (3, 3.0),
        (0.5, 0.5),
        ("3", 3.0),
        ("3 mm", 3.0),
        ("3mm", 3.0),
        (" 1.5 CM ", 15.0),
        ("8.5 in", 215.9),
        ('8.5"', 215.9),
        ("0.125 inch", 3.175),
        ("12 pt", 4.233333333333333),
        (".5 in", 12.7),
    ],
)
def test_lengths_are_mm_or_state_their_unit(written, mm):
    assert any_length(written) == mm


def test_minus_nought_is_nought():
    assert math.copysign(1, any_length(-0.0)) == 1


@pytest.mark.parametrize(
    ("written", "words"),
    [
        (-3, "-3 mm is too small: the least is 0 mm"),
        ("-3 mm", '"-3 mm" is too small: the least is 0 mm'),
        (21, "21 mm is too large: the most is 20 mm"),
        ("1 in", '"1 in" is too large: the most is 20 mm'),
        ("8,5 mm", f'"8,5 mm" is not a length; {LENGTH_MEND}'),
        ("", f'"" is not a length; {LENGTH_MEND}'),
        ("wide", f'"wide" is not a length; {LENGTH_MEND}'),
        ("3 ells", f'"3 ells" has no unit of length known here (mm, cm, in, pt); {LENGTH_MEND}'),
        (True, f"true is not a number; {LENGTH_MEND}"),
        ([3], f"[3] is not a number; {LENGTH_MEND}"),
        ({"mm": 3}, f"a table is not a number; {LENGTH_MEND}"),
        (datetime.date(2024, 5, 1), f"2024-05-01 is not a number; {LENGTH_MEND}"),
        (math.nan, f"nan is not a number that can be measured; {LENGTH_MEND}"),
        (math.inf, f"inf is not a number that can be measured; {LENGTH_MEND}"),
        (10**400, f"a number of more than 60 digits is not a number that can be measured; {LENGTH_MEND}"),
        ("9" * 5000, f'"{"9" * 60}…" is not a length; {LENGTH_MEND}'),
    ],
)
def test_what_is_no_length_is_said(written, words):
    assert said(length(0, 20), written) == words


#: 1959 agreement on the inch; ISO 32000-1, 8.3.2.3 on the point.
TRUE_MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction("25.4"), "pt": Fraction("25.4") / 72}


@SETTINGS
@given(
    st.decimals(0, 1000, allow_nan=False, allow_infinity=False, places=6),
    st.sampled_from(list(TRUE_MM.items())),
)
def test_a_length_is_the_float_nearest_to_the_true_one(amount, unit):
    name, mm = unit
    assert any_length(f"{amount:f} {name}") == float(Fraction(amount) * mm)


@SETTINGS
@given(st.floats(0, 1000, allow_nan=False).filter(lambda mm: "e" not in repr(mm)))
def test_a_length_written_out_is_read_back_the_same(mm):
    assert any_length(repr(mm)) == any_length(f"{mm!r} mm") == any_length(mm) == mm


# ---------------------------------------------------------------- sizes

SIZE_MEND = 'give a name such as "A5" or "letter", a pair in mm such as [140, 200], or "5.5 x 8.5 in"'


@pytest.mark.parametrize(
    ("written", "width", "height"),
    [
        ("A5", 148, 210),
        ("a5", 148, 210),
        ("A5 landscape", 210, 148),
        ("a5 Portrait", 148, 210),
        ("half letter landscape", 215.9, 139.7),
        ("ledger", 431.8, 279.4),
        ("ledger portrait", 279.4, 431.8),
        ("letter", 215.9, 279.4),
        ([140, 200], 140, 200),
        ([200, 140], 200, 140),
        (["5.5 in", "8.5 in"], 139.7, 215.9),
        ([140, "20 cm"], 140, 200),
        ("140 x 200 mm", 140, 200),
        ("140x200", 140, 200),
        ("140 × 200 mm", 140, 200),
        ("140 mm X 20 cm", 140, 200),
        ("5.5 x 8.5 in", 139.7, 215.9),
        ("5.5in × 8.5in", 139.7, 215.9),
        ('5.5" x 8.5"', 139.7, 215.9),
        ("14 x 20 cm", 140, 200),
    ],
)
def test_sizes_are_names_pairs_or_two_lengths_and_keep_their_direction(written, width, height):
    assert any_size(written) == Size(width, height)


@pytest.mark.parametrize("row", paper_sizes(), ids=lambda row: row.name)
def test_every_name_of_the_table_is_a_size(row):
    for name in (row.name, *row.also):
        assert parse_size(name.upper()) == row.size == paper_size(name)


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("A55", '"A55" is not a size known here; did you mean "A5"?'),
        ("tabliod landscape", '"tabliod landscape" is not a size known here; did you mean "tabloid"?'),
        ("elephant", f'"elephant" is not a size known here; {SIZE_MEND}'),
        ("", f'"" is not a size known here; {SIZE_MEND}'),
        ("140 by 200", f'"140 by 200" is not a size known here; {SIZE_MEND}'),
        ("140 x 200 x 3 mm", f'"140 x 200 x 3 mm" is not a size known here; {SIZE_MEND}'),
        ("140 x 200 ells", f'"140 x 200 ells" is not a size; {SIZE_MEND}'),
        ("5.5 in x 8.5", '"5.5 in x 8.5" states no unit for its second length; write the unit at the end'),
        (140, f"140 is not a size; {SIZE_MEND}"),
        ([140], f"[140] is not a size; {SIZE_MEND}"),
        ([140, 200, 3], f"[140, 200, 3] is not a size; {SIZE_MEND}"),
        ([[140], 200], f"[140] is not a number; {LENGTH_MEND}"),
        ([140, True], f"true is not a number; {LENGTH_MEND}"),
        ([0, 200], "0 mm of [0, 200] is too small: the least is 25 mm; a size without a unit is in mm"),
        ("11 x 17", '11 mm of "11 x 17" is too small: the least is 25 mm; a size without a unit is in mm'),
        ([140, -200], "-200 mm is too small: the least is 0 mm"),
        ([140, 9999], "9999 mm of [140, 9999] is too large: the most is 1500 mm"),
        (False, f"false is not a size; {SIZE_MEND}"),
    ],
)
def test_what_is_no_size_is_said(written, words):
    assert said(size(25, 1500), written) == words


@SETTINGS
@given(*[st.decimals("1", "60", places=3)] * 2, st.sampled_from(["x", "×", " x "]), st.sampled_from(["in", "cm"]))
def test_a_size_in_words_is_its_two_lengths(width, height, between, unit):
    assert any_size(f"{width}{between}{height} {unit}") == Size(
        any_length(f"{width} {unit}"), any_length(f"{height} {unit}")
    )


# ---------------------------------------------------------------- the rest


def test_colours_are_six_digits():
    assert colour("#2A2a2e") == "#2a2a2e"
    mend = 'write # and six digits of 0-9 a-f, such as "#2a2a2e"'
    for value in ("red", "#fff", "#2a2a2g", "2a2a2e", "#2a2a2e00"):
        assert said(colour, value) == f'"{value}" is not a colour; {mend}'
    assert said(colour, 0x2A2A2E) == f"2763310 is not a colour; {mend}"


@pytest.mark.parametrize(
    ("written", "grammage"),
    # XJDF 2.2, Table B.2 prints 89, 75 and 216 g/m² for the three in pounds.
    [
        (90, 90.0),
        ("90 g/m²", 90.0),
        ("90 gsm", 90.0),
        ("90 g", 90.0),
        ("60 lb text", 88.8088),
        ("60# Text", 88.8088),
        ("20 lbs bond", 75.1946),
        ("80 lb cover", 216.3291),
    ],
)
def test_weights_are_grams_or_pounds_with_their_grade(written, grammage):
    assert weight(written) == pytest.approx(grammage, abs=0.0001)


WEIGHT_MEND = 'give g/m², or pounds with the grade such as "60 lb text", "20 lb bond", "80 lb cover"'
GRADES = (
    "the grades known here are bond, ledger, manifold, writing, mimeograph, book, text, offset, coated, bible, cover, "
    "bristol, index, newsprint, tag"
)


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("60 lb", f'"60 lb" is not a weight; {WEIGHT_MEND}'),
        ("60 lb txt", '"60 lb txt": no grade "txt"; did you mean "text"?'),
        ("60 lb vellum", f'"60 lb vellum": no grade "vellum"; {GRADES}'),
        (9, "9 g/m² is too small: the least is 20 g/m²"),
        ("900 lb cover", '"900 lb cover" is too large: the most is 600 g/m²'),
        (True, f"true is not a number; {WEIGHT_MEND}"),
    ],
)
def test_what_is_no_weight_is_said(written, words):
    assert said(weight, written) == words


def test_percentages_are_numbers_with_or_without_their_sign():
    assert percent(3) == percent("3") == percent("3 %") == percent("3.0%") == 3.0
    assert said(percent, "three") == '"three" is not a percentage; give per cent, such as 3 or "3 %"'
    assert said(percent, 101) == "101 is too large: the most is 100 %"
    assert said(percent, -1) == "-1 is too small: the least is 0 %"
    assert said(percent, [3]) == '[3] is not a number; give per cent, such as 3 or "3 %"'


def test_whole_numbers_are_no_fractions_no_words_and_no_flags():
    copies = whole(1, 1000)
    assert copies(120) == 120
    mend = "give one from 1 to 1000, without quotes"
    assert said(copies, 120.0) == f"120.0 is not a whole number; {mend}"
    assert said(copies, "120") == f'"120" is not a whole number; {mend}'
    assert said(copies, True) == f"true is not a whole number; {mend}"
    assert said(copies, 0) == "0 is too small: the least is 1"
    assert said(copies, 1001) == "1001 is too large: the most is 1000"
    assert said(copies, 10**5000) == "a number of more than 60 digits is too large: the most is 1000"


def test_numbers_state_their_unit():
    assert number(0.5, 3, "cm³/g")(1.3) == 1.3
    assert said(number(0.5, 3, "cm³/g"), 130) == "130 is too large: the most is 3 cm³/g"
    assert said(number(0, 3), "1.3") == '"1.3" is not a number; give a number, without quotes'


def test_flags_are_true_or_false():
    assert flag(True) is True
    assert said(flag, 1) == "1 is neither true nor false; write true or false without quotes"
    assert said(flag, "yes") == '"yes" is neither true nor false; write true or false without quotes'


def test_words_are_one_of_a_few():
    turn = one_of(("turn", "tumble"))
    assert turn("Tumble ") == "tumble"
    assert said(turn, "tumbel") == '"tumbel" is none of "turn", "tumble"; did you mean "tumble"?'
    assert said(turn, "zzz") == '"zzz" is none of "turn", "tumble"; write one of them'
    assert said(turn, 180) == '180 is none of "turn", "tumble"; write one of them, in quotes'


def test_text_is_one_line_that_can_be_seen():
    title = text(20)
    assert title("  Moth Hours ") == "Moth Hours"
    assert title("Ночь 夜 🌙") == "Ночь 夜 🌙"
    assert said(title, 12) == "12 is not text; put text in quotes"
    for blank in ("", "   ", "\u3000", "\u200b"):
        assert said(title, blank) == f'"{blank}" is empty; write at least one letter'
    for control in ("a\nb", "a\tb", "a\x1b[31m", "a\x00", "a\u2028b"):
        assert said(title, control) == f'"{control}" holds a control character or a line break; write one plain line'
    assert said(title, "m" * 21) == f'"{"m" * 21}" has 21 letters; write at most 20'


def test_creep_is_a_model_or_a_length():
    assert [creep(value) for value in ("flat", "Round", "none", 1.5, "0.125 in")] == [
        "flat",
        "round",
        "none",
        1.5,
        3.175,
    ]
    assert said(creep, "flt") == '"flt" is none of "flat", "round", "none"; did you mean "flat"?'
    assert said(creep, "2 ells") == f'"2 ells" has no unit of length known here (mm, cm, in, pt); {LENGTH_MEND}'
    assert said(creep, False) == f"false is not a number; {LENGTH_MEND}"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("A5", '"A5"'),
        ("m" * 70, f'"{"m" * 60}…"'),
        (False, "false"),
        (120, "120"),
        (0.1, "0.1"),
        (1234567.125, "1234567.125"),
        (math.nan, "nan"),
        (-math.inf, "-inf"),
        ([], "[]"),
        ([1, "a"], '[1, "a"]'),
        ([[1], 2], "a list"),
        (["m" * 60], "a list"),
        ({}, "a table"),
        (datetime.time(12, 30), "12:30:00"),
        (-(10**80), "a number of more than 60 digits"),
    ],
)
def test_values_are_shown_as_they_stand_in_the_file_and_never_long(value, words):
    assert shown(value) == words
