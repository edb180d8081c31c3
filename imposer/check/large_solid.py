"""Looks for large solids, which stick, smear and set off. Level: warning.

A solid is an area of `solid_tone` and more (85 %) that a disc of `solid_width` (6 mm) fits into, pieces within 2 mm of
one another together; told if it lays down more than `solid_ink` (tone × area, 1000 mm²). Large areas are held to 70 to
85 % tone: common practice, no source; width and ink are working defaults. The mend: lower its tone to 75 to 80 %, or
break it up.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.solid_ink
    for page, ink, tones in facts.inks():
        for solid in tones.solids:
            laid = solid.tone * solid.area
            if laid <= limit:
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"a solid of {solid.area:.0f} mm² at {percent(solid.tone)} tone will stick, smear and set off",
                mend="lower its tone to 75 or 80 %, or break it up",
                page=page,
                ink=ink,
                box=tones.on_page(solid.box),
                measured=f"{laid:.0f} mm² of full tone",
                limit=f"{limit:g} mm²",
                file=facts.shown(page, ink),
            )


RULE = Rule(
    name="large-solid",
    looks_for="large areas of nearly full tone",
    limit="1000 mm² of full tone in one area of 85 % and more",
    limit_of=lambda limits: f"{limits.solid_ink:g} mm² of full tone in one area of {limits.solid_tone:g} % and more",
    find=gathered(_find),
)
