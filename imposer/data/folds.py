"""Fold schemes by catalogue id: a grid and its folds. Page orders are not kept; they follow from the folds."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache

from imposer.data import FOLDER


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueFold:
    """A row of the fold catalogue of CIP4, XJDF 2.2."""

    #: Such as "F16-6": 16 pages, sixth scheme.
    name: str
    columns: int
    rows: int
    #: The folds in words, such as "V1/2U H1/2U V1/4D".
    folds: str
    source: str


@cache
def catalogue_folds() -> dict[str, CatalogueFold]:
    """Return every row by its id.

    >>> catalogue_folds()["F8-7"].folds
    'V1/2U H1/2U'
    """
    rows = tomllib.loads((FOLDER / "folds.toml").read_text("utf-8"))
    return {name: CatalogueFold(name=name, **row) for name, row in rows.items()}
