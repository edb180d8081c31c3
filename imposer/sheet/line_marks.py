"""Crop, cut and fold marks: short lines that prolong the cuts and folds of a side, outside every page and its bleed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from imposer.geometry import Box
from imposer.job.model import MarkKind
from imposer.sheet.mark_room import LINE, CropReach, crop_reach
from imposer.sheet.model import Layout, Segment, Stroke


def crop_marks(trim: Box, offset: float, length: float) -> tuple[Stroke, ...]:
    """Return the eight marks at the corners of one trim box, `offset` from it and `length` long (mm).

    >>> [(m.x0, m.y0, m.x1, m.y1) for m in crop_marks(Box(20, 20, 125, 168), 3, 5)][:2]
    [(12, 20, 17, 20), (128, 20, 133, 20)]
    """
    reach = CropReach(offset, length)
    return tuple(
        mark
        for mark in (
            *(m for y in (trim.y0, trim.y1) for m in _ends_across("crop", y, trim, reach, None)),
            *(m for x in (trim.x0, trim.x1) for m in _ends_upright("crop", x, trim, reach, None)),
        )
    )


def line_marks(
    layout: Layout, folds: Iterable[Segment], wanted: frozenset[MarkKind], trims: Iterable[Segment] = ()
) -> tuple[tuple[Stroke, ...], tuple[MarkKind, ...]]:
    """Return the marks at both ends of every cut and fold of a side, and the kinds for which there is no room.

    The outermost cuts get crop marks, and so do edges of pages inside a piece that are trimmed open after folding;
    cuts between pieces get cut marks, folds dashed ones.
    """
    block = layout.block.grown(layout.bleed)
    safe = layout.safe
    across = crop_reach(min(block.x0 - safe.x0, safe.x1 - block.x1))
    upright = crop_reach(min(block.y0 - safe.y0, safe.y1 - block.y1))
    strokes: list[Stroke] = []
    left_out: list[MarkKind] = []
    for kind, xs, ys in _lines(layout, folds, trims):
        if kind not in wanted:
            continue
        if (xs and upright is None) or (ys and across is None):
            left_out.append(kind)
        if upright:
            strokes += [m for x in xs for m in _ends_upright(kind, x, block, upright, _dash(kind, upright))]
        if across:
            strokes += [m for y in ys for m in _ends_across(kind, y, block, across, _dash(kind, across))]
    return tuple(strokes), tuple(left_out)


def _lines(
    layout: Layout, folds: Iterable[Segment], trims: Iterable[Segment]
) -> tuple[tuple[MarkKind, Sequence[float], Sequence[float]], ...]:
    """Return for each kind the x of its upright lines and the y of its level lines."""
    (folds_x, folds_y), (opened_x, opened_y) = _places(folds), _places(trims)
    return (
        (
            "crop",
            (layout.cuts_x[0], layout.cuts_x[-1], *opened_x),
            (layout.cuts_y[0], layout.cuts_y[-1], *opened_y),
        ),
        ("cut", layout.cuts_x[1:-1], layout.cuts_y[1:-1]),
        ("fold", folds_x, folds_y),
    )


def _places(lines: Iterable[Segment]) -> tuple[list[float], list[float]]:
    """Return the x of upright lines and the y of level ones, each once."""
    lines = tuple(lines)
    upright = sorted({round(line.x0, 6) for line in lines if line.x0 == line.x1})
    return upright, sorted({round(line.y0, 6) for line in lines if line.y0 == line.y1})


def _dash(kind: MarkKind, reach: CropReach) -> tuple[float, float] | None:
    """Return a fold mark's dash, which begins and ends with ink: on, off, on, off, on; about 1 mm in a full one."""
    return (reach.length / 5, reach.length / 5) if kind == "fold" else None


def _ends_upright(
    kind: MarkKind, x: float, block: Box, reach: CropReach, dash: tuple[float, float] | None
) -> tuple[Stroke, Stroke]:
    low, high = block.y0 - reach.gap, block.y1 + reach.gap
    return (
        Stroke(kind, x, low - reach.length, x, low, LINE, dash),
        Stroke(kind, x, high, x, high + reach.length, LINE, dash),
    )


def _ends_across(
    kind: MarkKind, y: float, block: Box, reach: CropReach, dash: tuple[float, float] | None
) -> tuple[Stroke, Stroke]:
    left, right = block.x0 - reach.gap, block.x1 + reach.gap
    return (
        Stroke(kind, left - reach.length, y, left, y, LINE, dash),
        Stroke(kind, right, y, right + reach.length, y, LINE, dash),
    )
