"""Looks for ink that runs along a trimmed edge without bleed: the knife leaves a white rim. Level: warning.

Told from `bare_edge` on (10 mm of the edge; working default, no source). The fold is no trimmed edge. A cutter's
tolerance is about 1.6 mm and 3 mm of bleed are usual (common practice, no source). The mend: draw on over the bleed, or
keep 3 mm inside the trim.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.geometry import Box, Edge
from imposer.sheet.page_edges import page_leaves
from imposer.units import show

#: How wide the box is that shows where, mm.
_SHOWN = 3.0


def _find(facts: Facts) -> Iterator[Finding]:
    leaves, limit = page_leaves(facts.imposition.booklet), facts.limits.bare_edge
    trim = facts.job.page.trim
    bleed = facts.job.page.bleed
    for page, ink, tones in facts.inks():
        meets = leaves[page].meets if page in leaves else ()
        for edge, run in tones.bare_edges.items():
            if edge in meets or run <= limit:
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"ink runs along {show(run)} mm of the trim, {edge}, and ends there: a white rim will show",
                mend=(
                    f"draw it on over the {show(bleed)} mm of bleed"
                    if bleed
                    else "set [page] bleed and draw on over it, or keep 3 mm inside the trim"
                ),
                page=page,
                ink=ink,
                box=_along(Box(0, 0, trim.width, trim.height), edge),
                measured=f"{show(run)} mm",
                limit=f"{show(limit)} mm",
                file=facts.shown(page, ink),
            )


def _along(trim: Box, edge: Edge) -> Box:
    match edge:
        case "left":
            return Box(trim.x0, trim.y0, trim.x0 + _SHOWN, trim.y1)
        case "right":
            return Box(trim.x1 - _SHOWN, trim.y0, trim.x1, trim.y1)
        case "bottom":
            return Box(trim.x0, trim.y0, trim.x1, trim.y0 + _SHOWN)
        case "top":
            return Box(trim.x0, trim.y1 - _SHOWN, trim.x1, trim.y1)


RULE = Rule(
    name="no-bleed",
    looks_for="ink that runs to a trimmed edge without bleed",
    limit="10 mm along the edge",
    limit_of=lambda limits: f"{show(limits.bare_edge)} mm along the edge",
    find=gathered(_find),
)
