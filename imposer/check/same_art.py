"""Looks for the same art in two inks of a page: often one file sent twice, or a black built from all plates. Warning.

The tones' correlation is held against `same_art` (0.97; working default, no source), and they may hardly differ
anywhere. Level: warning. The mend: leave the art in one ink, or accept it if both are meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding

#: The share of the page where the tones may differ by more than a tenth.
_DIFFERING = 0.02


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.same_art
    for page, tones in facts.tones.items():
        for pair in tones.pairs:
            if pair.sameness.correlation < limit or pair.sameness.differing > _DIFFERING:
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"the same art stands in {pair.first} and in {pair.second}",
                mend="leave it in one ink; both on top of each other never meet exactly",
                page=page,
                ink=pair.second,
                measured=f"{pair.sameness.correlation:.2f}",
                limit=f"{limit:g}",
                file=facts.shown(page, pair.second),
                other_ink=pair.first,
            )


RULE = Rule(
    name="same-art",
    looks_for="the same art in two inks",
    limit="a correlation of tones of 0.97",
    limit_of=lambda limits: f"a correlation of tones of {limits.same_art:g}",
    find=gathered(_find),
)
