"""Looks for ink that runs along a trimmed edge without bleed: the knife leaves a white rim. Level: warning.

Told from `bare_edge` on (10 mm of the edge; working default, no source). The fold is no trimmed edge, and hatching that
crosses the trim and goes on over the bleed does not end there. A cutter's tolerance is about 1.6 mm and 3 mm of bleed
are usual (common practice, no source). A sheet that is not trimmed has no such edge: what reaches it lies beyond the
printable area, and is told there. The mend: draw on over the bleed, or keep 3 mm inside the trim.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.geometry import Box, Edge
from imposer.pages.tone_facts import MAP_CELL, InkTones
from imposer.sheet.page_edges import page_leaves
from imposer.tones.margins import Run, Stretch
from imposer.units import TOLERANCE, show

#: How wide the box is that shows where, mm.
_SHOWN = 3.0
#: Of several stretches of an edge one with less ink than this goes without saying, mm; a working value of our own.
_SPECK = 1.0
#: A stretch of which less than this has ink that seems to end is hatching or texture: where ink on the trim and ink on
#: the bleed's rim have nothing to do with each other, a quarter of it seems so at most. And its bleed has at least so
#: much of the ink inside. Working values of our own.
_SPARSE, _AS_MUCH = 0.5, 0.6


def _find(facts: Facts) -> Iterator[Finding]:
    if facts.imposition.layout.untrimmed:
        return
    leaves, limit = page_leaves(facts.imposition.booklet), facts.limits.bare_edge
    for page, ink, tones in facts.inks():
        meets = leaves[page].meets if page in leaves else ()
        for edge, bare in tones.bare_edges.items():
            if edge in meets or bare.length <= limit:
                continue
            run = _ending(tones, edge, bare)
            if run.length <= limit:
                continue
            for stretch in [one for one in run.stretches if one.inked >= _SPECK] or run.stretches:
                yield _finding(facts, page, ink, tones, edge, run, stretch)


def _ending(tones: InkTones, edge: Edge, run: Run) -> Run:
    """Return a run without those stretches of hatching or texture that go on over the bleed.

    A line that crosses the trim at a slant leaves the bleed elsewhere than opposite, so that part of it looks cut off.
    Then only part of the stretch looks so, and the bleed has about as much ink along it as the page.
    """
    kept = [one for one in run.stretches if not (_is_sparse(one) and _goes_on(tones, edge, one))]
    return run if len(kept) == len(run.stretches) else Run(sum(one.inked for one in kept), tuple(kept))


def _is_sparse(stretch: Stretch) -> bool:
    return stretch.inked < _SPARSE * (stretch.end - stretch.start)


def _goes_on(tones: InkTones, edge: Edge, stretch: Stretch) -> bool:
    """Tell whether the outermost cells of the bleed along a stretch have about as much ink as those inside the trim."""
    cells, level = tones.map.cells(), edge in ("top", "bottom")
    # Rows lead inwards from the edge; their cells run from the left, or from the top down.
    rows = cells if level else cells.T
    rows = rows if edge in ("top", "left") else rows[::-1]
    deep, long = (tones.size.height, tones.size.width) if level else (tones.size.width, tones.size.height)
    inside = math.ceil(tones.bleed * len(rows) / deep - TOLERANCE)
    # In a bleed of half a cell most of the outermost is the page's own.
    if tones.bleed < MAP_CELL / 2 or inside >= len(rows):
        return False
    start, end = (stretch.start, stretch.end) if level else (long - stretch.end, long - stretch.start)
    cells_a_mm = rows.shape[1] / long
    along = slice(math.floor(start * cells_a_mm), math.ceil(end * cells_a_mm))
    return bool(rows[0, along].mean() >= _AS_MUCH * rows[inside, along].mean())


def _finding(facts: Facts, page: int, ink: str, tones: InkTones, edge: Edge, run: Run, stretch: Stretch) -> Finding:
    trim, bleed = facts.job.page.trim, facts.job.page.bleed
    here, whole = show(round(stretch.inked, 1)), show(round(run.length, 1))
    return Finding(
        rule=RULE.name,
        level="warning",
        message=f"ink runs along {here} mm of the trim, {edge}, and ends there: a white rim will show",
        mend=(
            f"draw it on over the {show(bleed)} mm of bleed"
            if bleed
            else "set [page] bleed and draw on over it, or keep 3 mm inside the trim"
        ),
        page=page,
        ink=ink,
        box=_along(Box(0, 0, trim.width, trim.height), edge, stretch.start - tones.bleed, stretch.end - tones.bleed),
        measured=f"{whole} mm" + ("" if here == whole else " of this edge in all"),
        limit=f"{show(facts.limits.bare_edge)} mm",
        file=facts.shown(page, ink),
    )


def _along(trim: Box, edge: Edge, start: float, end: float) -> Box:
    """Return the box inside an edge of the trim from `start` to `end` along it."""
    match edge:
        case "left":
            return Box(trim.x0, max(start, trim.y0), trim.x0 + _SHOWN, min(end, trim.y1))
        case "right":
            return Box(trim.x1 - _SHOWN, max(start, trim.y0), trim.x1, min(end, trim.y1))
        case "bottom":
            return Box(max(start, trim.x0), trim.y0, min(end, trim.x1), trim.y0 + _SHOWN)
        case "top":
            return Box(max(start, trim.x0), trim.y1 - _SHOWN, min(end, trim.x1), trim.y1)


RULE = Rule(
    name="no-bleed",
    looks_for="ink that runs to a trimmed edge without bleed",
    limit="10 mm along the edge",
    limit_of=lambda limits: f"{show(limits.bare_edge)} mm along the edge",
    find=gathered(_find),
)
