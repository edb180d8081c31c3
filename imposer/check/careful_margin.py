"""Looks for heavy ink near the edge of the press sheet, where it sticks to the drum and jams. Level: warning.

Heavy is a tone of `careful_tone` and more (50 %); near is within the machine's `careful` margin (10 mm); more than
`careful_area` of it is told (100 mm²), at every stretch of an edge where it lies. Common practice, no source; the area
is a working default. The mend: lighten it, or draw it further from the edge of the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.pages.tone_facts import Rim
from imposer.sheet.places import PagePlace
from imposer.units import show

#: Of several places one with less than this goes without saying, mm²; a working value of our own.
_SPECK = 1.0


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        for place in facts.places_of(page):
            heavy = tones.heavy.get(Rim(place.safe, place.careful))
            if heavy is not None and heavy.area > facts.limits.careful_area:
                for spot in [one for one in heavy.places if one.area >= _SPECK] or heavy.places:
                    yield _finding(facts, page, ink, place, tones.on_page(spot.box), spot.area, heavy.area)
                break


def _finding(facts: Facts, page: int, ink: str, place: PagePlace, box: Box, here: float, whole: float) -> Finding:
    limits, careful = facts.limits, facts.job.shop.machine.careful
    area = f"{whole:.0f} mm²" if f"{here:.0f}" == f"{whole:.0f}" else f"{here:.0f} of {whole:.0f} mm²"
    return Finding(
        rule=RULE.name,
        level="warning",
        message=(
            f"{area} of {limits.careful_tone:g} % tone and more lie within {show(careful)} mm "
            "of the sheet's edge, where heavy ink sticks"
        ),
        mend="lighten it, or draw it further from the edge of the sheet",
        page=page,
        ink=ink,
        sheet=place.sheet,
        side=place.side,
        box=place.to_sheet.apply_box(box),
        measured=f"{whole:.0f} mm²",
        limit=f"{limits.careful_area:g} mm²",
        file=facts.shown(page, ink),
    )


RULE = Rule(
    name="careful-margin",
    looks_for="heavy ink near the edge of the sheet",
    limit="100 mm² of 50 % tone and more",
    limit_of=lambda limits: f"{limits.careful_area:g} mm² of {limits.careful_tone:g} % tone and more",
    find=gathered(_find),
)
