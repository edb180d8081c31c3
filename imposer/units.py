"""Lengths: millimetres inside, points only where a PDF is read or written, one tolerance for all.

Unit values: 1 in = 25.4 mm (exact, international yard and pound agreement of 1959); 1 pt = 1/72 in (ISO 32000-1,
8.3.2.3, default user space).
"""

from __future__ import annotations

import re
from fractions import Fraction

#: Two lengths closer than this are the same length, mm.
TOLERANCE = 0.001

_MM_PER_UNIT = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction("25.4"),
    "inch": Fraction("25.4"),
    "inches": Fraction("25.4"),
    '"': Fraction("25.4"),
    "pt": Fraction("25.4") / 72,
}
_LENGTH = re.compile(r"\s*([0-9]+(?:\.[0-9]*)?|\.[0-9]+)\s*([a-z]+|\")?\s*", re.IGNORECASE)

POINTS_PER_MM = 72 / 25.4


def parse_length(text: str) -> float:
    """Read a length such as `"8.5 in"`, `"3 mm"`, `"12 pt"` or a bare number, which is millimetres.

    The sum is done in fractions, so the float is the one nearest to the true length.

    >>> parse_length("8.5 in"), parse_length("12 pt"), parse_length("3")
    (215.9, 4.233333333333333, 3.0)

    Raises:
        ValueError: the text is not a length; the message says why.
    """
    match = _LENGTH.fullmatch(text)
    if not match:
        raise ValueError(f'{text!r} is not a length such as 3, "3 mm", "0.125 in" or "9 pt"')
    number, unit = match.groups()
    factor = _MM_PER_UNIT.get((unit or "mm").lower())
    if factor is None:
        raise ValueError(f"{unit!r} is not a unit of length known here (mm, cm, in, pt)")
    return float(Fraction(number) * factor)


def to_points(mm: float) -> float:
    """Convert millimetres to PDF points."""
    return mm * POINTS_PER_MM


def from_points(points: float) -> float:
    """Convert PDF points to millimetres."""
    return points / POINTS_PER_MM


def close(a: float, b: float) -> bool:
    """Tell whether two lengths (mm) are the same within the tolerance."""
    return abs(a - b) <= TOLERANCE


def fits(length: float, room: float) -> bool:
    """Tell whether `length` fits in `room` (both mm), within the tolerance."""
    return length <= room + TOLERANCE


def show(mm: float) -> str:
    """Write a length for people: at most two decimals, no trailing zeros.

    >>> show(140.0), show(4.2333), show(0.05)
    ('140', '4.23', '0.05')
    """
    return f"{mm:.2f}".rstrip("0").rstrip(".") if abs(mm) >= 0.005 else "0"
