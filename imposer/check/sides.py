"""Sums over a side of a press sheet, from what was measured page by page: how much ink lies where. No rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from imposer.check.facts import Facts
from imposer.findings import SIDES, Side
from imposer.geometry import Box
from imposer.sheet.places import PagePlace


@dataclass(frozen=True, slots=True)
class InkOnSide:
    """One ink of one side: how much it lays down over all places, mm² of full tone, and where."""

    sheet: int
    side: Side
    ink: str
    laid: float
    places: tuple[PagePlace, ...]


def inks_on_sides(facts: Facts) -> Iterator[InkOnSide]:
    """Yield every ink that prints on every side, in the order of sheets, sides and the job's inks."""
    for sheet in dict.fromkeys(place.sheet for place in facts.places):
        for side in SIDES:
            here = [place for place in facts.places if (place.sheet, place.side) == (sheet, side)]
            for ink in facts.job.ink_names:
                own = tuple(p for p in here if p.page in facts.tones and ink in facts.tones[p.page].inks)
                if own:
                    laid = sum(facts.tones[place.page].inks[ink].ink for place in own)
                    yield InkOnSide(sheet, side, ink, laid, own)


def printable(facts: Facts) -> float:
    """Return the printable area of a side, mm²."""
    safe = facts.imposition.layout.safe
    return safe.width * safe.height


@dataclass(frozen=True, slots=True)
class BandOnSide:
    """A band of a side in one ink: its mean tone over the pages in it, and the worst 20 mm on the sheet."""

    tone: float
    worst: float
    box: Box
    page: int


def band_on_side(facts: Facts, found: InkOnSide, *, track: bool) -> BandOnSide | None:
    """Return what an ink lays in the roller's track, or else along the lead edge; None if no page lies there.

    The mean is over all pages that lie in the band on this side, with or without the ink.
    """
    area, laid = 0.0, 0.0
    worst: tuple[float, Box, int] | None = None
    for place in facts.places:
        band = place.track if track else place.lead
        if (place.sheet, place.side) != (found.sheet, found.side) or band is None:
            continue
        area += band.width * band.height
        tones = facts.tones[place.page].inks.get(found.ink) if place.page in facts.tones else None
        if tones is None or band not in tones.bands:
            continue
        measured = tones.bands[band]
        laid += measured.tone * band.width * band.height
        if worst is None or measured.worst.tone > worst[0]:
            box = place.to_sheet.apply_box(tones.on_page(measured.worst.box))
            worst = measured.worst.tone, box, place.page
    if worst is None or not area:
        return None
    return BandOnSide(laid / area, *worst)
