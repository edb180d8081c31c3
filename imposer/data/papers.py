"""Paper sizes by name: a name in, an exact size in millimetres out, and back again.

The rows, each with its source, stand in `paper_sizes.toml`. Inch sizes are kept as inches and turned in fractions, so
a size is the float nearest to the true one.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from imposer.data import FOLDER
from imposer.geometry import Size
from imposer.nearest import nearest

#: How far a measured size may lie from a named one and still bear its name, mm.
NAMED_WITHIN = 0.5

_MM_PER_UNIT = {"mm": Fraction(1), "in": Fraction("25.4")}


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSize:
    """A row of the table: portrait, except where the standard prints it lying (ledger)."""

    name: str
    #: Other names of the same size.
    also: tuple[str, ...]
    size: Size
    #: The family of sizes, such as "ISO A".
    series: str
    #: Where width and height were read.
    source: str


@cache
def paper_sizes() -> tuple[PaperSize, ...]:
    """Return every row of the table, in its order."""
    rows = tomllib.loads((FOLDER / "paper_sizes.toml").read_text("utf-8"), parse_float=Fraction)["sizes"]
    return tuple(
        PaperSize(
            name=row["name"],
            also=tuple(row.get("also", ())),
            size=Size(*(float(row[side] * _MM_PER_UNIT[row["unit"]]) for side in ("width", "height"))),
            series=row["series"],
            source=row["source"],
        )
        for row in rows
    )


def paper_size(name: str) -> Size | None:
    """Return the size of that name, mm, or None; case, spaces, hyphens and underscores do not matter.

    >>> paper_size("a5"), paper_size("Half-Letter"), paper_size("A55")
    (Size(width=148.0, height=210.0), Size(width=139.7, height=215.9), None)
    """
    return _by_name().get(_bare(name))


def paper_size_names() -> tuple[str, ...]:
    """Return every name of the table, other names included, in its order."""
    return tuple(name for row in paper_sizes() for name in (row.name, *row.also))


def nearest_size_name(name: str) -> str | None:
    """Return the name of the table most like `name`, or None.

    >>> nearest_size_name("tablod")
    'tabloid'
    """
    return nearest(name, paper_size_names())


def name_of(size: Size) -> str | None:
    """Return the name of a size (mm) in either direction, if a row lies within half a millimetre of it.

    >>> name_of(Size(420, 297)), name_of(Size(279, 432)), name_of(Size(140, 200))
    ('A3', 'tabloid', None)
    """
    for row in paper_sizes():
        if size.close_to(row.size, NAMED_WITHIN) or size.close_to(row.size.turned, NAMED_WITHIN):
            return row.name
    return None


@cache
def _by_name() -> dict[str, Size]:
    return {_bare(name): row.size for row in paper_sizes() for name in (row.name, *row.also)}


def _bare(name: str) -> str:
    return re.sub(r"[\s_-]", "", name).casefold()
