"""Looks for an ink that prints one small spot in the whole job, and says what it costs. Level: note.

An ink that prints on one page alone and lays down no more than `small_spot` (200 mm² of full tone; working default, no
source) still takes its masters, and a pass of its own where it fills no free drum. The mend: print the spot in another
ink.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import SIDES, Finding
from imposer.words import number_of


def _find(facts: Facts) -> Iterator[Finding]:
    if len(facts.job.inks) < 2:
        return
    for ink in facts.job.ink_names:
        pages = [page for page, tones in facts.tones.items() if ink in tones.inks]
        if len(pages) != 1:
            continue
        tones = facts.tones[pages[0]].inks[ink]
        if tones.ink > facts.limits.small_spot:
            continue
        masters = sum(len(m.sheets) for run in facts.plan.passes for m in run.masters if m.ink == ink)
        yield Finding(
            rule=RULE.name,
            level="note",
            message=(
                f"all of {ink} is one spot of {tones.ink:.0f} mm²; it costs {number_of(masters, 'master')} and "
                f"{number_of(_passes_saved(facts, ink), 'pass', 'passes')}"
            ),
            mend="print the spot in another ink, or by hand",
            page=pages[0],
            ink=ink,
            measured=f"{tones.ink:.0f} mm²",
            limit=f"{facts.limits.small_spot:g} mm²",
            file=facts.shown(pages[0], ink),
        )


def _passes_saved(facts: Facts, ink: str) -> int:
    """Return how many passes there would be fewer without an ink, as many inks in each as there are drums."""
    drums, saved = facts.job.shop.machine.drums, 0
    for side in SIDES:
        inks = {name for run in facts.plan.passes if run.side == side for _, name in run.drums}
        saved += -(-len(inks) // drums) - -(-len(inks - {ink}) // drums)
    return saved


RULE = Rule(
    name="small-spot",
    looks_for="an ink that prints one small spot",
    limit="200 mm² on one page",
    limit_of=lambda limits: f"{limits.small_spot:g} mm² on one page",
    find=gathered(_find),
)
