"""Looks for type and fine detail too near to trim or fold, creep included. Level: warning; note at a fold it crosses.

The knife wanders by a millimetre or two and the inner leaves of a nest push out: what stands nearer than `edge_detail`
(5 mm; common practice of 5 to 6 mm, no source) may be cut, or looks crooked. Fine detail is a small part of the ink, or
one drawn in lines, that lies wholly inside the trim. Where creep is compensated, art moves toward the fold by it; where
it is not, the fore edge loses it. Art that runs over the fold is drawn across a spread, and strokes among others that
run over the trim are a texture's, so these are only a note. The mend: move it inwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding, Level
from imposer.geometry import Edge
from imposer.pages.tone_facts import InkTones
from imposer.sheet.page_edges import PageLeaf, page_leaves
from imposer.units import show

#: So many strokes that run over an edge beside one that does not are a texture; a working value of our own.
_TEXTURE = 3


def _find(facts: Facts) -> Iterator[Finding]:
    leaves = page_leaves(facts.imposition.booklet)
    for page, ink, tones in facts.inks():
        if page not in leaves:
            continue
        leaf, moved = leaves[page], _moved(facts, page, leaves[page])
        for edge, detail in tones.details.items():
            distance = detail.distance - moved.get(edge, 0.0)
            if distance < facts.limits.edge_detail:
                yield _finding(facts, page, ink, tones, edge, distance, leaf)


def _moved(facts: Facts, page: int, leaf: PageLeaf) -> dict[Edge, float]:
    """Return by how much creep brings art nearer to an edge, mm."""
    shift = max((place.creep for place in facts.places_of(page)), default=0.0)
    if shift:
        return {leaf.spine: shift}
    return {leaf.fore: leaf.depth * facts.job.sheet.paper.caliper}


def _finding(
    facts: Facts, page: int, ink: str, tones: InkTones, edge: Edge, distance: float, leaf: PageLeaf
) -> Finding:
    at_fold = edge in leaf.meets
    run = tones.bare_edges.get(edge)
    spread = at_fold and run is not None and run.length > facts.limits.bare_edge
    crosses = spread or tones.details[edge].crossing >= _TEXTURE
    level: Level = "note" if crosses else "warning"
    rim = "edge of the page" if facts.imposition.layout.untrimmed else "trim"
    what = "the fold" if at_fold else f"the {rim}, {edge}"
    over = " of a drawing that runs over it" if crosses else ""
    return Finding(
        rule=RULE.name,
        level=level,
        message=f"fine detail{over} stands {show(max(distance, 0.0))} mm from {what}",
        mend="" if crosses else "move it inwards, or choose a larger page",
        page=page,
        ink=ink,
        box=tones.on_page(tones.details[edge].box),
        measured=f"{show(max(distance, 0.0))} mm",
        limit=f"{show(facts.limits.edge_detail)} mm",
        file=facts.shown(page, ink),
    )


RULE = Rule(
    name="near-edge",
    looks_for="type and fine detail too near to trim or fold, creep included",
    limit="5 mm",
    limit_of=lambda limits: f"{show(limits.edge_detail)} mm",
    find=gathered(_find),
)
