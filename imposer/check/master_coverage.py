"""Looks for masters that carry much ink over their whole printable area. Level: note, then warning.

Held against `master_note` and `master_coverage` (40 and 60 %; working defaults, no source): the more ink, the longer it
dries and the more the sheet sticks. The mend: lighten the art, or spread heavy pages over several sheets.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.check.sides import inks_on_sides, printable
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limits, area = facts.limits, printable(facts)
    for found in inks_on_sides(facts):
        coverage = found.laid / area
        if coverage * 100 <= limits.master_note:
            continue
        heavy = coverage * 100 > limits.master_coverage
        limit = limits.master_coverage if heavy else limits.master_note
        yield Finding(
            rule=RULE.name,
            level="warning" if heavy else "note",
            message=f"this master covers {percent(coverage, limit)} of the printable area",
            mend="lighten the art, or let it dry longer" if heavy else "let it dry longer",
            ink=found.ink,
            sheet=found.sheet,
            side=found.side,
            box=facts.imposition.layout.safe,
            measured=percent(coverage, limit),
            limit=f"{limit:g} %",
        )


RULE = Rule(
    name="master-coverage",
    looks_for="masters with much ink over the whole sheet",
    limit="40 % of the printable area, 60 % for a warning",
    limit_of=lambda limits: (
        f"{limits.master_note:g} % of the printable area, {limits.master_coverage:g} % for a warning"
    ),
    find=gathered(_find),
)
