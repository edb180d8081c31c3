"""Looks for ink beyond the printable area of the press sheet, where the machine leaves it out. Level: warning or error.

Measured on the page's own pixels at its place on the sheet: how far ink reaches beyond, and what part of the page's ink
is lost. Any reach of a tenth of a millimetre is told; from `lost_ink` on (1 % of the page's ink; working default, no
source) it is an error, because what is lost is no hairline at a rim. The margins are the machine's own. The mend: draw
it smaller or further in, or a smaller trim.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.tones.coverage import Outside
from imposer.units import show

#: A reach under this is the rim of a pixel, mm.
_LEAST_REACH = 0.1


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        for place in facts.places_of(page):
            lost = tones.outside.get(place.safe)
            if lost is None or lost.furthest < _LEAST_REACH:
                continue
            share = f"{percent(lost.share)} of the page's ink"
            yield Finding(
                rule=RULE.name,
                level="error" if lost.share * 100 > facts.limits.lost_ink else "warning",
                message=f"ink reaches {show(lost.furthest)} mm beyond the printable area, and {share} is lost",
                mend="draw it smaller or further in, choose a smaller trim, or fewer pieces a side",
                page=page,
                ink=ink,
                sheet=place.sheet,
                side=place.side,
                box=place.to_sheet.apply_box(_strip(place.safe, lost)),
                measured=f"{show(lost.furthest)} mm, {share}",
                limit="0.1 mm",
                file=facts.shown(page, ink),
            )
            break


def _strip(safe: Box, lost: Outside) -> Box:
    """Return the strip beyond the printable area that reaches furthest, in page space."""
    if lost.furthest == lost.left:
        return Box(safe.x0 - lost.left, safe.y0, safe.x0, safe.y1)
    if lost.furthest == lost.right:
        return Box(safe.x1, safe.y0, safe.x1 + lost.right, safe.y1)
    if lost.furthest == lost.bottom:
        return Box(safe.x0, safe.y0 - lost.bottom, safe.x1, safe.y0)
    return Box(safe.x0, safe.y1, safe.x1, safe.y1 + lost.top)


RULE = Rule(
    name="outside-printable",
    looks_for="ink beyond the printable area of the sheet",
    limit="0.1 mm beyond it",
    limit_of=lambda limits: f"0.1 mm beyond it; an error from {limits.lost_ink:g} % of a page's ink on",
    find=gathered(_find),
)
