"""Looks for heavy places that mark what is pressed against them: facing page, sheet above. Level: warning, note.

The tones of all inks together over 10 mm, held against `set_off` (160 %; working default, no source). Where the facing
page, of this part of the job or of another, is bare at that place the mark will be seen in the book: a warning.
Elsewhere it marks the back of the sheet above in the stack: a note. The mend: lighten it, dry in low stacks, lay waste
sheets between.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.pages.tone_facts import MAP_CELL, PageTones
from imposer.sheet.facing import Facing
from imposer.tones.coverage import window_sums

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Side of a place, mm, and from which mean tone on a facing place is not bare.
_PLACE, _BARE = 10.0, 0.1


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.set_off / 100
    for page, tones in facts.tones.items():
        sums = _sums(tones)
        if sums is None or float(sums.max()) <= limit:
            continue
        seen = [told for facing in facts.facing.get(page, ()) if (told := _seen(facts, page, sums, facing))]
        yield from seen or [_finding(facts, page, sums, sums, None)]


def _sums(tones: PageTones) -> NDArray[np.float64] | None:
    """Return the tones of all inks together of every place of 10 mm, in steps of a cell of the map."""
    maps = [ink.map for ink in tones.inks.values()]
    if not maps or any((one.rows, one.columns) != (maps[0].rows, maps[0].columns) for one in maps):
        return None
    total = sum(one.cells().astype(int) for one in maps)
    wide = round(_PLACE / MAP_CELL)
    high, across = min(wide, maps[0].rows), min(wide, maps[0].columns)
    return window_sums(total, high, across) / (high * across * 255.0)  # type: ignore[arg-type]


def _seen(facts: Facts, page: int, sums: NDArray[np.float64], facing: Facing) -> Finding | None:
    """Return what is told of the heaviest place that meets bare paper of a facing page; None if none does."""
    bare = _bare(facts, page, sums.shape, facing) & (sums > facts.limits.set_off / 100)
    return _finding(facts, page, sums, sums * bare, facing) if bare.any() else None


def _bare(facts: Facts, page: int, shape: tuple[int, ...], facing: Facing) -> NDArray[np.bool_]:
    """Tell for every place of a page whether it meets bare paper of the page that faces it."""
    import numpy as np

    # The places of a row or column have the rest in common; the first of each stands for all.
    tops = np.array([facing.laid(_place(facts, page, row, 0)).y1 for row in range(shape[0])])
    lefts = np.array([facing.laid(_place(facts, page, 0, column)).x0 for column in range(shape[1])])
    y, x = tops - _PLACE / 2, lefts + _PLACE / 2
    bare: NDArray[np.bool_] = np.outer((y > 0) & (y < facing.size.height), (x > 0) & (x < facing.size.width))
    tones = facts.tones_of_job.get(facing.page)
    other = None if tones is None else _sums(tones)
    if tones is None or other is None:
        return bare
    first = next(iter(tones.inks.values()))
    rows = np.rint((first.size.height - first.bleed - tops) / MAP_CELL).astype(int).clip(0, other.shape[0] - 1)
    columns = np.rint((lefts + first.bleed) / MAP_CELL).astype(int).clip(0, other.shape[1] - 1)
    bare &= other[np.ix_(rows, columns)] < _BARE
    return bare


def _place(facts: Facts, page: int, row: int, column: int) -> Box:
    """Return a place of a page, in page space."""
    first = next(iter(facts.tones[page].inks.values()))
    left, top = column * MAP_CELL, first.size.height - row * MAP_CELL
    return first.on_page(Box(left, top - _PLACE, left + _PLACE, top))


def _finding(
    facts: Facts, page: int, sums: NDArray[np.float64], chosen: NDArray[np.float64], facing: Facing | None
) -> Finding:
    """Tell of the heaviest of some places of a page."""
    limit = facts.limits.set_off / 100
    row, column = divmod(int(chosen.argmax()), sums.shape[1])
    box = _place(facts, page, row, column)
    heavy = float(chosen.max())
    what = "the sheet above it in the stack" if facing is None else f"bare page {facing.page} facing it"
    return Finding(
        rule=RULE.name,
        level="note" if facing is None else "warning",
        message=f"all inks together reach {percent(heavy, 100 * limit)} over 10 mm and will mark {what}",
        mend="lighten it; dry in low stacks with waste sheets between",
        page=page,
        box=box,
        measured=percent(heavy, 100 * limit),
        limit=percent(limit),
        other_page=None if facing is None else facing.page,
        other_box=None if facing is None else facing.laid(box),
    )


RULE = Rule(
    name="set-off",
    looks_for="heavy places that mark what lies against them",
    limit="160 % of all inks together over 10 mm",
    limit_of=lambda limits: f"{limits.set_off:g} % of all inks together over 10 mm",
    find=gathered(_find),
)
