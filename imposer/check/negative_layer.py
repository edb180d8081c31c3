"""Looks for layers that seem to be negatives: solid up to the rim, with the drawing in white. Level: warning.

Solid on more than half of the page, 85 % and more along its rim, little bare paper: own choices, no source. A page that
is meant to be a solid with reversed type looks the same. The mend: export it with black for full tone, or accept it.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        if not tones.levels.negative:
            continue
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"{percent(tones.levels.solid)} of the page are solid up to its rim: this layer may be a negative",
            mend="export it again with black for full tone and white for paper, or accept it if it is meant so",
            page=page,
            ink=ink,
            measured=percent(tones.levels.solid),
            limit="50 %",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="negative-layer",
    looks_for="layers that seem to be negatives",
    limit="solid on half of the page and along its rim",
    find=gathered(_find),
)
