"""The flat piece in mm: where its panels, folds and trimmed edges lie, seen from its front.

A piece is a grid of cells. Between two cells runs a fold. Where the fold is the spine of both, they touch; where it is
not (a head fold, a fore edge), it must be trimmed open after folding, and a strip for that lies between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from imposer.fold.creases import fold
from imposer.fold.model import Compass, Scheme
from imposer.geometry import Box, Size


@dataclass(frozen=True, slots=True)
class FlatPiece:
    """Panels in columns and rows; origin at the lower left corner of the trimmed piece."""

    #: From and to of every column (x) and every row (y), mm.
    columns: tuple[tuple[float, float], ...]
    rows: tuple[tuple[float, float], ...]
    #: Upright folds (x) and level ones (y).
    folds_x: tuple[float, ...]
    folds_y: tuple[float, ...]
    #: Level cuts inside the piece, as boxes without height: no fold there.
    slits: tuple[Box, ...] = ()
    #: A strip beyond the last column by which the next piece is glued on.
    flap: Box | None = None
    #: From and to of a spine between the two columns, folded at both its edges.
    spine: tuple[float, float] | None = None
    #: Upright folds across a single panel, x.
    scores: tuple[float, ...] = ()

    @property
    def size(self) -> Size:
        """The trimmed piece, unfolded."""
        return Size(self.flap.x1 if self.flap else self.columns[-1][1], self.rows[-1][1])

    def panel(self, column: int, row: int) -> Box:
        """Return where the trimmed page of a cell lies."""
        (x0, x1), (y0, y1) = self.columns[column], self.rows[row]
        return Box(x0, y0, x1, y1)

    def printable(self, column: int, row: int, bleed: float) -> Box:
        """Return the panel with its bleed: none over a spine, at most up to the fold elsewhere inside the piece."""
        left, right = self._bleeds(self.columns, self.folds_x, column, bleed)
        below, above = self._bleeds(self.rows, self.folds_y, row, bleed)
        panel = self.panel(column, row)
        return Box(panel.x0 - left, panel.y0 - below, panel.x1 + right, panel.y1 + above)

    @staticmethod
    def _bleeds(
        spans: tuple[tuple[float, float], ...], folds: tuple[float, ...], index: int, bleed: float
    ) -> tuple[float, float]:
        before = bleed if index == 0 else min(bleed, spans[index][0] - folds[index - 1])
        after = bleed if index >= len(folds) else min(bleed, folds[index] - spans[index][1])
        return before, after

    def trim_lines(self) -> tuple[Box, ...]:
        """Return the edges of panels inside the piece that are trimmed open after folding, as boxes without width."""
        width, height = self.size.width, self.size.height
        if self.spine:
            return ()
        upright = [x for one, other in pairwise(self.columns) if other[0] > one[1] for x in (one[1], other[0])]
        level = [y for one, other in pairwise(self.rows) if other[0] > one[1] for y in (one[1], other[0])]
        return (*(Box(x, 0, x, height) for x in upright), *(Box(0, y, width, y) for y in level))

    def fold_lines(self) -> tuple[Box, ...]:
        """Return the folds as boxes without width, as long as the trimmed piece, but for where it is slit."""
        width, height = self.size.width, self.size.height
        lines = [Box(x, 0, x, height) for x in (*(self.spine or self.folds_x), *self.scores)]
        for y in self.folds_y:
            ends = [0.0, *(x for slit in self.slits if slit.y0 == y for x in (slit.x0, slit.x1)), width]
            lines += [Box(start, y, end, y) for start, end in zip(ends[::2], ends[1::2], strict=True)]
        return tuple(lines)


def wrapped_piece(trim: Size, spine: float) -> FlatPiece:
    """Return a cover that is wrapped round a block: two pages with a spine between them, all mm.

    >>> wrapped_piece(Size(100, 200), 4).fold_lines()
    (Box(x0=100, y0=0, x1=100, y1=200), Box(x0=104, y0=0, x1=104, y1=200))
    """
    wide = trim.width
    columns = ((0.0, wide), (wide + spine, 2 * wide + spine))
    return FlatPiece(columns, ((0.0, trim.height),), (wide + spine / 2,), (), spine=(wide, wide + spine))


def flat_piece(trim: Size, scheme: Scheme, trim_open: float) -> FlatPiece:
    """Return the flat piece of a scheme.

    Args:
        trim: the finished page.
        scheme: grid and folds.
        trim_open: what is trimmed off each leaf at a fold that is not its spine.
    """
    layers = {(layer.column, layer.row): layer for layer in fold(scheme)}
    lies = layers[0, 0].head in ("E", "W")
    cell = trim.turned if lies else trim
    gaps_x = [_gap(layers[c, 0].spine, layers[c + 1, 0].spine, "E", trim_open) for c in range(scheme.columns - 1)]
    gaps_y = [_gap(layers[0, r].spine, layers[0, r + 1].spine, "N", trim_open) for r in range(scheme.rows - 1)]
    columns, folds_x = _spans(cell.width, gaps_x)
    rows, folds_y = _spans(cell.height, gaps_y)
    return FlatPiece(columns, rows, folds_x, folds_y)


def _gap(one: Compass, other: Compass, toward: Compass, trim_open: float) -> float:
    """Return the strip between two neighbours: none where their spines meet."""
    opposite: dict[Compass, Compass] = {"E": "W", "N": "S"}
    return 0.0 if (one, other) == (toward, opposite[toward]) else 2 * trim_open


def _spans(length: float, gaps: list[float]) -> tuple[tuple[tuple[float, float], ...], tuple[float, ...]]:
    spans, folds, at = [(0.0, length)], [], length
    for gap in gaps:
        folds.append(at + gap / 2)
        spans.append((at + gap, at + gap + length))
        at += gap + length
    return tuple(spans), tuple(folds)
