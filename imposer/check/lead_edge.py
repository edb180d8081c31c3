"""Looks for heavy ink along the edge that enters the machine first, where sheets stick and jam. Level: warning.

Mean tone of the printable strip along the lead edge, as wide as the careful margin, over the pages in it; held against
`lead_edge` (40 %). That heavy ink is kept from the lead edge, above all on two sides, is common practice; the
figure is a working default, no source. The mend: lighten it, or feed the sheet by the other edge.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.check.sides import band_on_side, inks_on_sides
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.lead_edge
    for found in inks_on_sides(facts):
        band = band_on_side(facts, found, track=False)
        if band is None or band.tone * 100 <= limit:
            continue
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"{percent(band.tone, limit)} tone along the lead edge: sheets stick to the drum and jam",
            mend="lighten it there, or feed the sheet by the other edge",
            ink=found.ink,
            sheet=found.sheet,
            side=found.side,
            box=band.box,
            measured=percent(band.tone, limit),
            limit=f"{limit:g} %",
        )


RULE = Rule(
    name="lead-edge",
    looks_for="heavy ink along the edge that enters first",
    limit="40 % mean tone",
    limit_of=lambda limits: f"{limits.lead_edge:g} % mean tone",
    find=gathered(_find),
)
