"""Looks for sides that carry much ink in all inks together. Level: note, then warning.

Held against `side_note` and `side_coverage` (120 and 200 % of the printable area; working defaults, no source). The
mend: lighten the art, or use fewer inks.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.check.sides import inks_on_sides, printable
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limits, area = facts.limits, printable(facts)
    for (sheet, side), inks in groupby(inks_on_sides(facts), key=lambda found: (found.sheet, found.side)):
        coverage = sum(found.laid for found in inks) / area
        if coverage * 100 <= limits.side_note:
            continue
        heavy = coverage * 100 > limits.side_coverage
        limit = limits.side_coverage if heavy else limits.side_note
        yield Finding(
            rule=RULE.name,
            level="warning" if heavy else "note",
            message=f"all inks together lay {percent(coverage, limit)} on the printable area",
            mend="lighten the art or use fewer inks; let it dry longer",
            sheet=sheet,
            side=side,
            box=facts.imposition.layout.safe,
            measured=percent(coverage, limit),
            limit=f"{limit:g} %",
        )


RULE = Rule(
    name="side-coverage",
    looks_for="sides with much ink in all inks together",
    limit="120 % of the printable area, 200 % for a warning",
    limit_of=lambda limits: f"{limits.side_note:g} % of the printable area, {limits.side_coverage:g} % for a warning",
    find=gathered(_find),
)
