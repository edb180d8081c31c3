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


def name_of(value: object) -> str:
    """Return a name as text; any bytes may be in it (ISO 32000-1, 7.3.5), and what is no UTF-8 comes byte by byte."""
    try:
        return str(value)
    except UnicodeDecodeError:
        return bytes(value).decode("utf-8", "surrogateescape")  # type: ignore[call-overload, no-any-return]


def entries_of(thing: pikepdf.Object) -> dict[str, pikepdf.Object]:
    """Return the entries of a dictionary, or of a stream's dictionary; what is indirect stays so."""
    if isinstance(thing, pikepdf.Stream):
        thing = thing.stream_dict
    return dict(thing.items())


def copy_of(thing: pikepdf.Object) -> pikepdf.Dictionary:
    """Return a new dictionary with the same entries."""
    return pikepdf.Dictionary(entries_of(thing))
