"""The fold of a job's pieces: by catalogue id or as a list of creases, found sound before anything is laid out."""

from __future__ import annotations

import re
from math import lcm

from imposer.data.folds import catalogue_folds
from imposer.fold.creases import scheme
from imposer.fold.edges import loose_pages
from imposer.fold.model import Scheme
from imposer.nearest import did_you_mean

#: The axis and the denominator of a crease such as V3/4U.
_PART = re.compile(r"([VH])[0-9]{1,3}/([0-9]{1,3})")
#: No paper is folded into more cells one way.
_MOST_CELLS = 16


def fold_by_id(name: str) -> Scheme:
    """Return the scheme of a catalogue id, such as "F16-6"; case does not matter.

    Raises:
        ValueError: there is no such id, or its leaves do not all hang on a spine.
    """
    folds = catalogue_folds()
    by_plain = {key.casefold(): row for key, row in folds.items()}
    row = by_plain.get(name.strip().casefold())
    if row is None:
        known = did_you_mean(name, list(folds), "ids are those of the fold catalogue, such as F8-7 or F16-6")
        raise ValueError(f'"{name}" is no fold of the catalogue; {known}')
    return _bound(scheme(row.columns, row.rows, row.folds), f'"{row.name}"')


def fold_by_creases(creases: tuple[str, ...]) -> Scheme:
    """Return the scheme of a list of creases, such as ("V1/2U", "H1/2U"); the grid is the coarsest they fall on.

    Raises:
        ValueError: the creases do not make one cell, or leave leaves loose.
    """
    sizes = {"V": 1, "H": 1}
    for crease in creases:
        match = _PART.match(crease)
        if match:
            sizes[match[1]] = lcm(sizes[match[1]], max(1, int(match[2])))
    if max(sizes.values()) > _MOST_CELLS:
        raise ValueError(f"{' '.join(creases)} makes more than {_MOST_CELLS} cells a way")
    return _bound(scheme(sizes["V"], sizes["H"], " ".join(creases)), " ".join(creases))


def _bound(made: Scheme, called: str) -> Scheme:
    loose = loose_pages(made)
    if loose:
        raise ValueError(
            f"{called} leaves pages {', '.join(map(str, loose))} of each piece on no spine: trimmed, they fall out"
        )
    if made.pages % 4:
        raise ValueError(f"{called} makes pieces of {made.pages} pages; a booklet wants a multiple of 4")
    return made
