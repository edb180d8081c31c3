"""Looks for paper whose grain runs across the fold at the spine: it cracks and springs open. Level: warning.

The grain belongs parallel to the spine (common practice everywhere in binding, no source); each halving of a sheet
turns what is needed by 90°. Asked only where the shop states the paper's `grain`. The mend: paper of the other grain,
or pieces that lie the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.geometry import Edge
from imposer.sheet.page_edges import page_leaves
from imposer.sheet.places import PagePlace


def _find(facts: Facts) -> Iterator[Finding]:
    grain = facts.job.sheet.paper.grain
    leaves = page_leaves(facts.imposition.booklet)
    bound = [place for place in facts.places if place.page in leaves and leaves[place.page].meets]
    spines = {_spine_upright(place, facts) for place in bound}
    if grain is None or not spines:
        return
    size = facts.imposition.layout.size
    long_is_upright = size.height > size.width
    grain_upright = long_is_upright == (grain == "long edge")
    if spines == {grain_upright}:
        return
    yield Finding(
        rule=RULE.name,
        level="warning",
        message=f"the grain of {facts.job.sheet.paper.name} runs along the {grain}, across the fold at the spine",
        mend="take the paper of the other grain, or lay the pieces the other way round",
        measured=f"grain along the {grain}",
        limit="along the spine",
    )


def _spine_upright(place: PagePlace, facts: Facts) -> bool:
    """Tell whether a page's spine runs up and down on the sheet as drawn."""
    edge: Edge = page_leaves(facts.imposition.booklet)[place.page].spine
    return (edge in ("left", "right")) == (place.rotation in (0, 180))


RULE = Rule(
    name="grain-across",
    looks_for="paper whose grain runs across the spine",
    limit="along the spine",
    find=gathered(_find),
)
