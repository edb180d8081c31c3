"""Looks for pages that one ink covers heavily all over: they dry slowly and cockle. Level: note.

Mean tone of trim and bleed, held against `page_coverage` (70 %; working default, no source). What a whole master
carries is told by `master-coverage`, one heavy place by `heavy-place` and `large-solid`. The mend: lighten the page.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.geometry import Box


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.page_coverage
    for page, ink, tones in facts.inks():
        coverage = tones.ink / tones.area
        if coverage * 100 <= limit:
            continue
        yield Finding(
            rule=RULE.name,
            level="note",
            message=f"this ink covers {percent(coverage, limit)} of the page",
            mend="lighten the page, or let its sheets dry longer",
            page=page,
            ink=ink,
            box=tones.on_page(Box(0, 0, tones.size.width, tones.size.height)),
            measured=percent(coverage, limit),
            limit=f"{limit:g} %",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="page-coverage",
    looks_for="pages that one ink covers heavily all over",
    limit="70 % mean tone",
    limit_of=lambda limits: f"{limits.page_coverage:g} % mean tone",
    find=gathered(_find),
)
