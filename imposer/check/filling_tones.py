"""Looks for dark tones that will fill in and print as solid. Level: warning.

Tones over `darkest` (90 %; common practice near 85 to 90 %, no source) but short of solid, over more than `lost_tones`
of the page (5 %; working default). The mend: lighten shadows to that tone, or make them solid where
they are small and meant to be.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        levels = tones.levels
        if levels.filling * 100 <= limits.lost_tones or levels.filling_box is None:
            continue
        share = percent(levels.filling, limits.lost_tones)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"tones over {limits.darkest:g} % cover {share} of the page and will fill in",
            mend=f"lighten shadows to {limits.darkest:g} %, or make them solid where they are small and meant to be",
            page=page,
            ink=ink,
            box=tones.on_page(levels.filling_box),
            measured=share,
            limit=f"{limits.lost_tones:g} %",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="filling-tones",
    looks_for="dark tones that will fill in",
    limit="5 % of the page over 90 % tone",
    limit_of=lambda limits: f"{limits.lost_tones:g} % of the page over {limits.darkest:g} % tone",
    find=gathered(_find),
)
