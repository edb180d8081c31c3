"""Looks for the worst 20 mm of a page in one ink, where dense drawing or type adds up as a solid does. Level: note.

Held against `window_coverage` (85 %; common practice for large areas, no source). A place that is a large solid anyway
is told by that rule and not here. The mend: thin the drawing out there.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        window = tones.window
        if window.tone * 100 <= limits.window_coverage:
            continue
        if any(s.tone * s.area > limits.solid_ink and s.box.meets(window.box) for s in tones.solids):
            continue
        yield Finding(
            rule=RULE.name,
            level="note",
            message=f"the heaviest 20 mm carry {percent(window.tone, limits.window_coverage)} tone",
            mend="thin the drawing out there if it smears",
            page=page,
            ink=ink,
            box=tones.on_page(window.box),
            measured=percent(window.tone, limits.window_coverage),
            limit=f"{limits.window_coverage:g} %",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="heavy-place",
    looks_for="the heaviest 20 mm of every page",
    limit="85 % mean tone",
    limit_of=lambda limits: f"{limits.window_coverage:g} % mean tone",
    find=gathered(_find),
)
