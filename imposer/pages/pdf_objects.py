"""Values of a PDF read with care: a file may hold anything anywhere."""

from __future__ import annotations

import math
from decimal import Decimal

import pikepdf


def number_of(value: object) -> float | None:
    """Return a finite number; None if the value is none."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return None
    number = float(value)
    return number if math.isfinite(number) else None


def entries_of(thing: pikepdf.Object) -> dict[str, pikepdf.Object]:
    """Return the entries of a dictionary, or of a stream's dictionary; what is indirect stays so."""
    if isinstance(thing, pikepdf.Stream):
        thing = thing.stream_dict
    return dict(thing.as_dict().items())


def copy_of(thing: pikepdf.Object) -> pikepdf.Dictionary:
    """Return a new dictionary with the same entries."""
    return pikepdf.Dictionary(entries_of(thing))
