"""A PDF joined from many files in; the same PDF with everything that is alike in it kept once.

A zine often comes as a file a page, and every file brings the same fonts along. Most of that is met when a page is
copied (see `sharing`); what is left is merged here. A module of its own because it knows nothing of pages and looks at
the whole PDF.
"""

from __future__ import annotations

import pikepdf

from imposer.pages.likeness import DEPTH, Likeness, Number, entries_in


def merge_identical(pdf: pikepdf.Pdf) -> int:
    """Point every reference at the first of all objects that are alike; the others are then not saved.

    Returns:
        How many objects were found to be another's double.
    """
    alike = Likeness().of(pdf)
    things: dict[Number, pikepdf.Object] = {
        thing.objgen: thing
        for thing in pdf.objects
        if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream | pikepdf.Array)
    }
    firsts: dict[int, pikepdf.Object] = {}
    doubles: dict[Number, pikepdf.Object] = {}
    for number, thing in things.items():
        first = firsts.setdefault(alike.of(number), thing)
        if first is not thing:
            doubles[number] = first
    for number, thing in things.items():
        # A double itself is not saved, so what it points at does not matter.
        if number not in doubles and not doubles.keys().isdisjoint(alike.refers(number)):
            _point(thing, doubles)
    return len(doubles)


def _point(thing: pikepdf.Object, doubles: dict[Number, pikepdf.Object], depth: int = 0) -> None:
    """Replace references to doubles in an object and what is written inside it."""
    for key, value in entries_in(thing):
        if not isinstance(value, pikepdf.Dictionary | pikepdf.Stream | pikepdf.Array):
            continue
        if value.is_indirect:
            if value.objgen in doubles:
                thing[key] = doubles[value.objgen]
        elif depth < DEPTH:
            _point(value, doubles, depth + 1)
