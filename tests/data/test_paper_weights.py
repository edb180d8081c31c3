"""Pounds to g/m² against the printed table of XJDF, and thickness against measured calipers."""

from __future__ import annotations

import pytest

from imposer.data.paper_weights import GRAMS_PER_POUND, USUAL_BULK, caliper, grades, grams

#: XJDF 2.2, Table B.2: grade, pounds, g/m² as printed.
PRINTED = [
    (grade, pounds, printed)
    for grade, rows in {
        "manifold": {9: 34, 12: 45},
        "bond": {13: 49, 16: 60, 20: 75, 24: 90},
        "ledger": {28: 105, 32: 120, 36: 135, 40: 150},
        "book": {
            20: 30, 24: 36, 30: 44, 33: 49, 35: 52, 40: 59, 50: 74, 55: 81, 60: 89, 70: 104, 80: 118, 90: 133,
            100: 148, 120: 178,
        },
        "cover": {40: 108, 50: 135, 65: 176, 80: 216, 100: 270, 130: 352},
        "index": {90: 163, 110: 199, 140: 253, 170: 307, 220: 398},
        "tag": {100: 163, 125: 204, 150: 244, 175: 285, 200: 325, 250: 407, 300: 488},
        "bristol": {67: 147, 80: 175, 90: 197, 100: 219, 120: 263, 140: 307, 160: 350, 180: 394, 200: 438},
    }.items()
    for pounds, printed in rows.items()
]  # fmt: skip


@pytest.mark.parametrize(("grade", "pounds", "printed"), PRINTED)
def test_grams_agree_with_the_printed_table(grade, pounds, printed):
    assert abs(grams(pounds, grade) - printed) <= 1


def test_the_printed_table_errs_on_sixty_pound_cover():
    # Table B.2 prints 152, but its own factor of 2.70 g/m² a pound (Table B.1) gives 162.
    assert grams(60, "cover") == pytest.approx(162.25, abs=0.005)
    assert abs(grams(60, "cover") - 60 * 2.70) < 1 < abs(grams(60, "cover") - 152)


@pytest.mark.parametrize(
    ("grade", "printed"),
    # XJDF 2.2, Table B.1: g/m² a pound, two decimals.
    [("bond", 3.76), ("text", 1.48), ("cover", 2.70), ("bristol", 2.19), ("index", 1.81), ("newsprint", 1.63)],
)
def test_factors_agree_with_the_printed_table(grade, printed):
    assert grams(1, grade) == pytest.approx(printed, abs=0.005)


def test_the_constant_is_that_of_the_units():
    # 453.59237 g a pound, 500 sheets, 25.4 mm an inch; XJDF 2.2, App. B prints 1406.5, within 0.05 %.
    assert float(GRAMS_PER_POUND) == pytest.approx(1406.1392, abs=0.00005)
    assert float(GRAMS_PER_POUND) == pytest.approx(1406.5, rel=0.0005)


def test_twenty_four_bond_is_sixty_text_is_thirty_three_cover():
    # A printer's page on paper: 24 lb bond = 60 lb offset = 33 lb cover.
    assert grams(24, "bond") == pytest.approx(grams(60, "offset"), rel=0.02)
    assert grams(24, "bond") == pytest.approx(grams(33, "cover"), rel=0.02)


def test_mimeograph_paper_is_sold_by_the_size_of_bond():
    # A bookbinding text, "Techniques in cutting paper": 17 × 22 in.
    assert grams(20, "mimeograph") == grams(20, "Bond")


def test_an_unknown_grade_has_no_weight():
    assert "text" in grades()
    with pytest.raises(KeyError):
        grams(60, "vellum")


@pytest.mark.parametrize(
    ("weight", "bulk", "micrometres"),
    # Worked: 1 g/m² at 1 cm³/g is 1 µm.
    [(60, 1.3, 78), (75, 1.35, 101.25), (80, 1.25, 100), (104, 1.25, 130), (135, 1.11, 149.85), (200, 1.2, 240)],
)
def test_thickness_is_weight_times_bulk(weight, bulk, micrometres):
    assert caliper(weight, bulk) * 1000 == pytest.approx(micrometres)


@pytest.mark.parametrize(
    ("pounds", "grade", "mils"),
    # Calipers in thousandths of an inch: bond from a stationer's table, offset from a book printer's spine chart and
    # from a printer's article on creep.
    [(20, "bond", 4), (24, "bond", 4.5), (28, "bond", 5.2), (32, "bond", 6), (60, "offset", 4.6), (70, "offset", 5)],
)
def test_the_usual_bulk_is_near_what_was_measured_of_uncoated_paper(pounds, grade, mils):
    assert caliper(grams(pounds, grade)) == pytest.approx(mils * 0.0254, rel=0.08)


def test_the_usual_bulk_is_stated():
    # Common practice, no source: 80 g/m² is about 0.10 mm.
    assert USUAL_BULK == 1.25
    assert caliper(80) == pytest.approx(0.1)
