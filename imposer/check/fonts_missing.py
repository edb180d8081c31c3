"""Looks for fonts that a PDF does not bring along: another takes their place, and lines run longer. Level: warning.

Read from the fonts that the page's own operators use. The mend: embed all fonts when exporting, or turn type to
outlines.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        missing = () if tones.drawn is None else tones.drawn.fonts_missing
        if not missing:
            continue
        named = ", ".join(missing[:3]) + (" and others" if len(missing) > 3 else "")
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"the file does not bring along {named}, so another font takes its place",
            mend="embed all fonts when exporting, or turn type to outlines",
            page=page,
            ink=ink,
            measured=f"{len(missing)} missing",
            limit="0",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="fonts-missing",
    looks_for="fonts that a PDF does not bring along",
    limit="none missing",
    find=gathered(_find),
)
