"""Looks for places where the tones of all inks add up to more than the paper takes. Level: warning.

The worst 5 mm of every page with two inks or more, held against `spot_sum` (200 %; working default, no source). Such a
place stays wet, picks up and sets off. The mend: take one ink out from under the others there.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, is_told, percent
from imposer.findings import Finding

#: Windows are read to this part of full tone.
_READING = 0.002


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.spot_sum / 100
    for page, tones in facts.tones.items():
        summed = tones.summed
        if summed is None or summed.total <= limit + _READING:
            continue
        each = zip(tones.inks, summed.tones, strict=True)
        parts = ", ".join(f"{ink} {percent(tone)}" for ink, tone in each if is_told(tone))
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"all inks together reach {percent(summed.total, 100 * limit)} in one place ({parts})",
            mend="take an ink out from under the others there, or lighten it",
            page=page,
            box=next(iter(tones.inks.values())).on_page(summed.box),
            measured=percent(summed.total, 100 * limit),
            limit=percent(limit),
        )


RULE = Rule(
    name="summed-tone",
    looks_for="places where all inks add up to too much",
    limit="200 % over 5 mm",
    limit_of=lambda limits: f"{limits.spot_sum:g} % over 5 mm",
    find=gathered(_find),
)
