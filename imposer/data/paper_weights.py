"""Paper weights: pounds of a grade in, g/m² out; weight and bulk in, thickness out.

The grades and their basic sizes, each with its source, stand in `paper_weights.toml`.
"""

from __future__ import annotations

import tomllib
from fractions import Fraction
from functools import cache

from imposer.data import FOLDER

#: Thickness for weight where nobody measured it, cm³/g: 1.25 µm for every g/m². Common practice, no source.
USUAL_BULK = 1.25

#: g/m² of one pound a ream of 500 sheets of one square inch: 453.59237 g a pound, 0.0254 m an inch, both exact.
#: (XJDF 2.2, App. B prints the formula with the rounded constant 1406.5, which is 0.026 % high.)
GRAMS_PER_POUND = Fraction("453.59237") / (500 * Fraction("0.0254") ** 2)


def grams(pounds: float | Fraction, grade: str) -> float:
    """Return the weight in g/m² of a paper of so many pounds of that grade.

    >>> round(grams(60, "text"), 2), round(grams(20, "bond"), 2), round(grams(80, "cover"), 2)
    (88.81, 75.19, 216.33)

    Raises:
        KeyError: the grade is not in the table; `grades` lists those that are.
    """
    return float(Fraction(pounds) * GRAMS_PER_POUND / _areas()[grade.casefold()])


def grades() -> tuple[str, ...]:
    """Return the names of the grades sold by pounds, in the table's order."""
    return tuple(_areas())


def caliper(weight: float, bulk: float = USUAL_BULK) -> float:
    """Return the thickness of one sheet in mm, from g/m² and cm³/g: 1 g/m² at 1 cm³/g is 1 µm (arithmetic).

    >>> caliper(80), caliper(90, 1.3)
    (0.1, 0.117)
    """
    return weight * bulk / 1000


@cache
def _areas() -> dict[str, Fraction]:
    """Return the area of every grade's basic size, square inches."""
    rows = tomllib.loads((FOLDER / "paper_weights.toml").read_text("utf-8"), parse_float=Fraction)["grades"]
    return {name: Fraction(row["width"] * row["height"]) for row in rows for name in row["names"]}
