"""Looks for ink that is still wet when a later pass runs its feed roller over it: the roller tracks it. Level: warning.

Pass by pass: what all drums of all earlier passes laid on the same side under the roller, added up and held against
`track_coverage` (30 %; common practice, no source), and what the whole front carries there while the backs run, which
has dried by then and may be `track_dried` (60 %; working default, no source), with a note from `track_coverage` on.
Mean tone of the band over the pages in it; blank cuts and gutters do no harm. The mend: let it dry a day before the
next pass, or longer where it has; lighten it; or run first what is lighter, if anything is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from imposer.check.facts import Facts, Rule, gathered, is_told, percent
from imposer.check.sides import BandOnSide, band_on_side, inks_on_sides
from imposer.findings import SIDES, Finding, Level, Side
from imposer.plan.model import Pass
from imposer.words import runs_of

#: The bands of the inks of one side, by ink.
_Bands = Mapping[str, BandOnSide]


def _find(facts: Facts) -> Iterator[Finding]:
    tracks: dict[tuple[int, Side], dict[str, BandOnSide]] = {}
    for found in inks_on_sides(facts):
        band = band_on_side(facts, found, track=True)
        if band is not None and is_told(band.tone):
            tracks.setdefault((found.sheet, found.side), {})[found.ink] = band
    for (sheet, side), bands in tracks.items():
        runs = [run for run in facts.plan.passes if sheet in run.sheets]
        own = [run for run in runs if run.side == side]
        for before, later in enumerate(own):
            yield from _wet(facts, sheet, side, own[:before], later, bands)
        other = next((run for run in runs if own and run.side != side and run.number > own[-1].number), None)
        if other is not None:
            across = tracks.get((sheet, next(one for one in SIDES if one != side)), {})
            yield from _dried(facts, sheet, side, own, other, bands, _sum(across))


def _wet(facts: Facts, sheet: int, side: Side, before: Sequence[Pass], later: Pass, bands: _Bands) -> Iterator[Finding]:
    """Hold what the passes of one side have left on it against the pass that runs over it next."""
    left, limit = _left(before, sheet, bands), facts.limits.track_coverage
    tone = _sum(left)
    if tone * 100 <= limit:
        return
    lighter = _sum(_left([later], sheet, bands)) < tone
    mend = f"let it dry a day before pass {later.number}, or lighten it there"
    yield _finding(
        level="warning",
        message=f"{_who_left(before, left, sheet)} under the feed roller, wet when pass {later.number} runs over it",
        mend=mend + (", or let the lighter ink run first" if lighter else ""),
        place=(sheet, side),
        left=left,
        limit=limit,
    )


def _dried(
    facts: Facts, sheet: int, side: Side, own: Sequence[Pass], later: Pass, bands: _Bands, across: float
) -> Iterator[Finding]:
    """Hold what a whole side carries against the first pass of the other side, which carries `across` there."""
    left, note, limit = _left(own, sheet, bands), facts.limits.track_coverage, facts.limits.track_dried
    tone = 100 * _sum(left)
    if tone <= min(note, limit):
        return
    over = tone > limit
    mend = f"lighten it there, or let it dry longer than a day before pass {later.number}"
    yield _finding(
        level="warning" if over else "note",
        message=(
            f"{_who_left(own, left, sheet)} under the feed roller, dried only a day when pass {later.number} "
            "runs over it"
        ),
        mend=mend + (f", or print the {later.side} first, which is lighter there" if 100 * across < tone else ""),
        place=(sheet, side),
        left=left,
        limit=limit if over else note,
    )


def _left(runs: Sequence[Pass], sheet: int, bands: _Bands) -> _Bands:
    """Return the bands of what these passes lay on a sheet."""
    laid = [master.ink for run in runs for master in run.masters if sheet in master.sheets]
    return {ink: bands[ink] for ink in laid if ink in bands}


def _who_left(runs: Sequence[Pass], left: _Bands, sheet: int) -> str:
    """Return which passes leave how much of what, in words."""
    numbers = [run.number for run in runs if _left([run], sheet, left)]
    who = f"pass {numbers[0]} leaves" if len(numbers) == 1 else f"passes {runs_of(numbers, least=2)} leave"
    parts = ", ".join(f"{ink} {percent(band.tone)}" for ink, band in left.items())
    return f"{who} {percent(_sum(left))} tone{f' ({parts})' if len(left) > 1 else ''}"


def _sum(left: _Bands) -> float:
    return sum(band.tone for band in left.values())


def _finding(*, level: Level, message: str, mend: str, place: tuple[int, Side], left: _Bands, limit: float) -> Finding:
    """Say it of the side, and of the ink if it is one alone; where the heaviest is worst."""
    return Finding(
        rule=RULE.name,
        level=level,
        message=message,
        mend=mend,
        ink=next(iter(left)) if len(left) == 1 else None,
        sheet=place[0],
        side=place[1],
        box=max(left.values(), key=lambda band: band.tone).box,
        measured=percent(_sum(left), limit),
        limit=f"{limit:g} %",
    )


RULE = Rule(
    name="roller-track",
    looks_for="wet ink under the feed roller of a later pass",
    limit="30 % mean tone; 60 % for a dried front",
    limit_of=lambda limits: f"{limits.track_coverage:g} % mean tone; {limits.track_dried:g} % for a dried front",
    find=gathered(_find),
)
