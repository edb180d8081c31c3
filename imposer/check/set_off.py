"""Looks for heavy places that mark what is pressed against them: facing page, sheet above. Level: warning, note.

The tones of all inks together over 10 mm, held against `set_off` (160 %; working default, no source). Where the facing
page is bare at that place the mark will be seen in the book: a warning. Elsewhere it marks the back of the sheet above
in the stack: a note. The mend: lighten it, dry in low stacks, lay waste sheets between.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.pages.tone_facts import MAP_CELL, PageTones
from imposer.tones.coverage import window_sums

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Side of a place, mm, and from which mean tone on a facing place is not bare.
_PLACE, _BARE = 10.0, 0.1


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.set_off / 100
    booklet = {place.page for place in facts.places}
    for page, tones in facts.tones.items():
        sums = _sums(tones)
        if sums is None or float(sums.max()) <= limit:
            continue
        other = page + 1 if page % 2 == 0 else page - 1
        if other not in booklet or facts.job.binding.style == "flat":
            # Nothing is folded or bound against it: cards lie in piles of the same.
            yield _finding(facts, page, tones, sums, None, None)
            continue
        across = _mirrored(facts.tones[other], sums.shape) if other in facts.tones else None
        yield _finding(facts, page, tones, sums, other, across)


def _sums(tones: PageTones) -> NDArray[np.float64] | None:
    """Return the tones of all inks together of every place of 10 mm, in steps of a cell of the map."""
    maps = [ink.map for ink in tones.inks.values()]
    if not maps or any((one.rows, one.columns) != (maps[0].rows, maps[0].columns) for one in maps):
        return None
    total = sum(one.cells().astype(int) for one in maps)
    wide = round(_PLACE / MAP_CELL)
    high, across = min(wide, maps[0].rows), min(wide, maps[0].columns)
    return window_sums(total, high, across) / (high * across * 255.0)  # type: ignore[arg-type]


def _mirrored(tones: PageTones, shape: tuple[int, ...]) -> NDArray[np.float64] | None:
    sums = _sums(tones)
    return None if sums is None or sums.shape != shape else sums[:, ::-1]


def _finding(
    facts: Facts,
    page: int,
    tones: PageTones,
    sums: NDArray[np.float64],
    other: int | None,
    across: NDArray[np.float64] | None,
) -> Finding:
    limit = facts.limits.set_off / 100
    marks = sums > limit
    bare = marks if across is None else marks & (across < _BARE)
    seen = other is not None and bool(bare.any())
    chosen = sums * bare if seen else sums
    top, left = divmod(int(chosen.argmax()), sums.shape[1])
    first = next(iter(tones.inks.values()))
    y1 = first.size.height - top * MAP_CELL
    place = Box(left * MAP_CELL, y1 - _PLACE, left * MAP_CELL + _PLACE, y1)
    heavy = float(chosen.max())
    what = f"bare page {other} facing it" if seen else "the sheet above it in the stack"
    return Finding(
        rule=RULE.name,
        level="warning" if seen else "note",
        message=f"all inks together reach {percent(heavy, 100 * limit)} over 10 mm and will mark {what}",
        mend="lighten it; dry in low stacks with waste sheets between",
        page=page,
        box=first.on_page(place),
        measured=percent(heavy, 100 * limit),
        limit=percent(limit),
    )


RULE = Rule(
    name="set-off",
    looks_for="heavy places that mark what lies against them",
    limit="160 % of all inks together over 10 mm",
    limit_of=lambda limits: f"{limits.set_off:g} % of all inks together over 10 mm",
    find=gathered(_find),
)
