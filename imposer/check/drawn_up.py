"""Looks for bitmaps drawn up: many pixels, but the detail of few. Level: warning.

An enlargement leaves the grid of the old pixels behind; the resolution that the art really has is held against what its
kind wants (see `resolution`). The mend: go back to the original and export that.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        drawn = tones.enlargement
        wanted = limits.line_ppi if tones.content.kind == "line" else limits.tone_ppi
        if drawn is None or drawn.ppi >= wanted * 0.99:
            continue
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=(
                f"the art says {tones.ppi:.0f} pixels an inch but was drawn up {drawn.factor:.1f} times: it has the "
                f"detail of {drawn.ppi:.0f}"
            ),
            mend="go back to the original and export that",
            page=page,
            ink=ink,
            measured=f"{drawn.ppi:.0f} ppi",
            limit=f"{wanted:g} ppi",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="drawn-up",
    looks_for="bitmaps drawn up from fewer pixels",
    limit="600 ppi for line art, 300 ppi for pictures, before they were drawn up",
    limit_of=lambda limits: (
        f"{limits.line_ppi:g} ppi for line art, {limits.tone_ppi:g} ppi for pictures, before they were drawn up"
    ),
    find=gathered(_find),
)
