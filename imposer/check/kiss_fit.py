"""Looks for inks of different passes that meet edge to edge, without trap or gap. Level: note, then warning.

The length of such edges on a page, from `kiss` (50 mm) on a note and from `kiss_long` (500 mm) on a warning; working
defaults, no source. That edges that touch belong in one pass is the trade's advice (common practice, no source). The
mend: spread the lighter ink under the darker by the drift between passes, or bring both inks into one pass.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.look_over import passes_of
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, tones in facts.tones.items():
        for pair in tones.pairs:
            length = pair.slivers.kiss
            one, other = passes_of(page, (pair.first, pair.second), facts.places, facts.plan)
            if one == other or length <= limits.kiss:
                continue
            long = length > limits.kiss_long
            worst = pair.slivers.worst
            yield Finding(
                rule=RULE.name,
                level="warning" if long else "note",
                message=(
                    f"{pair.first} (pass {one}) and {pair.second} (pass {other}) meet edge to edge over {length:.0f} mm"
                ),
                mend=(
                    f"spread the lighter ink under the darker by {show(facts.job.shop.machine.drift.between_passes)} "
                    "mm, or bring both inks into one pass"
                ),
                page=page,
                box=None if worst is None else tones.inks[pair.first].on_page(worst.box),
                measured=f"{length:.0f} mm",
                limit=f"{limits.kiss_long if long else limits.kiss:g} mm",
            )


RULE = Rule(
    name="kiss-fit",
    looks_for="inks of different passes that meet edge to edge",
    limit="50 mm of such edges on a page, 500 mm for a warning",
    limit_of=lambda limits: f"{limits.kiss:g} mm of such edges on a page, {limits.kiss_long:g} mm for a warning",
    find=gathered(_find),
)
