"""Looks for heavy ink near the edge of the press sheet, where it sticks to the drum and jams. Level: warning.

Heavy is a tone of `careful_tone` and more (50 %); near is within the machine's `careful` margin (10 mm); more than
`careful_area` of it is told (100 mm²). Common practice, no source; the area is a working default. The mend: lighten
it, or draw it further from the edge of the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    limits, careful = facts.limits, facts.job.shop.machine.careful
    for page, ink, tones in facts.inks():
        for place in facts.places_of(page):
            heavy = tones.heavy.get(place.careful)
            if heavy is None or heavy.box is None or heavy.area <= limits.careful_area:
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=(
                    f"{heavy.area:.0f} mm² of {limits.careful_tone:g} % tone and more lie within {show(careful)} mm "
                    "of the sheet's edge, where heavy ink sticks"
                ),
                mend="lighten it, or draw it further from the edge of the sheet",
                page=page,
                ink=ink,
                sheet=place.sheet,
                side=place.side,
                box=place.to_sheet.apply_box(tones.on_page(heavy.box)),
                measured=f"{heavy.area:.0f} mm²",
                limit=f"{limits.careful_area:g} mm²",
                file=facts.shown(page, ink),
            )
            break


RULE = Rule(
    name="careful-margin",
    looks_for="heavy ink near the edge of the sheet",
    limit="100 mm² of 50 % tone and more",
    limit_of=lambda limits: f"{limits.careful_area:g} mm² of {limits.careful_tone:g} % tone and more",
    find=gathered(_find),
)
