"""Looks for ink that is still wet when a later pass runs its feed roller over it: the roller tracks it. Level: warning.

Pass by pass: what earlier passes laid on the same side under the roller, held against `track_coverage` (30 %; common
practice, no source), and what the front carries there while the backs run, which has dried by then and may be
`track_dried` (60 %; working default, no source), with a note from `track_coverage` on. Mean tone of the band over the
pages in it; blank cuts and gutters do no harm. The mend: lighten it, let it dry a day, or let the lighter ink run
first.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.check.sides import InkOnSide, band_on_side, inks_on_sides
from imposer.findings import Finding, Level
from imposer.plan.model import Pass


def _find(facts: Facts) -> Iterator[Finding]:
    for found in inks_on_sides(facts):
        own = next((run for run in facts.plan.passes if run.side == found.side and _lays(run, found)), None)
        if own is None:
            continue
        later = [run for run in facts.plan.passes if run.number > own.number and found.sheet in run.sheets]
        same = next((run for run in later if run.side == found.side), None)
        if same is not None:
            yield from _held(facts, found, own, same, facts.limits.track_coverage, "warning")
        elif later:
            yield from _held(facts, found, own, later[0], facts.limits.track_coverage, "note")


def _lays(run: Pass, found: InkOnSide) -> bool:
    return any(master.ink == found.ink and found.sheet in master.sheets for master in run.masters)


def _held(facts: Facts, found: InkOnSide, own: Pass, later: Pass, limit: float, level: Level) -> Iterator[Finding]:
    band = band_on_side(facts, found, track=True)
    if band is None or band.tone * 100 <= limit:
        return
    dried = facts.limits.track_dried
    if level == "note" and band.tone * 100 > dried:
        level, limit = "warning", dried
    wet = "wet" if later.side == found.side else "dried only a day"
    yield Finding(
        rule=RULE.name,
        level=level,
        message=(
            f"pass {own.number} leaves {percent(band.tone)} tone under the feed roller, {wet} when pass "
            f"{later.number} runs over it"
        ),
        mend="let it dry a day before the next pass; lighten it there, or let the lighter ink run first",
        ink=found.ink,
        sheet=found.sheet,
        side=found.side,
        box=band.box,
        measured=percent(band.tone),
        limit=f"{limit:g} %",
    )


RULE = Rule(
    name="roller-track",
    looks_for="wet ink under the feed roller of a later pass",
    limit="30 % mean tone; 60 % for a dried front",
    limit_of=lambda limits: f"{limits.track_coverage:g} % mean tone; {limits.track_dried:g} % for a dried front",
    find=gathered(_find),
)
