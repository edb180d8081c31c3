"""How many flat pieces go on a sheet, in which direction and grid, with room for their marks.

Pure sums on boxes. A piece here is only a size; what is folded where is decided afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from imposer.geometry import Box, Size, Turn
from imposer.sheet.mark_room import LEAST_ROOM
from imposer.sheet.safe_area import DrawnSheet
from imposer.units import TOLERANCE


@dataclass(frozen=True, slots=True)
class Grid:
    """Pieces in columns and rows on a drawn sheet, all turned the same way."""

    columns: int
    rows: int
    turn: Turn
    #: The trimmed piece as it lies, mm.
    piece: Size
    bleed: float

    @property
    def pieces(self) -> int:
        """How many pieces there are."""
        return self.columns * self.rows

    @property
    def gutter(self) -> float:
        """Between two trimmed pieces: two bleeds, or nothing where they share a cut."""
        return 2 * self.bleed

    @property
    def trimmed(self) -> Size:
        """The block of all trimmed pieces."""
        return Size(
            self.columns * self.piece.width + (self.columns - 1) * self.gutter,
            self.rows * self.piece.height + (self.rows - 1) * self.gutter,
        )

    def needs(self, room: float) -> Size:
        """Return the block with its bleed and `room` mm for marks on all four sides."""
        beyond = 2 * (self.bleed + room)
        return Size(self.trimmed.width + beyond, self.trimmed.height + beyond)

    def block(self, safe: Box) -> Box:
        """Return the trimmed block, centred in the safe area."""
        return Box.around(*safe.centre, self.trimmed.width, self.trimmed.height)

    def slots(self, safe: Box) -> tuple[Box, ...]:
        """Return the trimmed pieces: column by column from the left, in each from the top down."""
        block = self.block(safe)
        return tuple(
            Box.at(
                block.x0 + c * (self.piece.width + self.gutter),
                block.y1 - self.piece.height - r * (self.piece.height + self.gutter),
                self.piece.width,
                self.piece.height,
            )
            for c in range(self.columns)
            for r in range(self.rows)
        )


@dataclass(frozen=True, slots=True)
class Overshoot:
    """By how much a grid is too large for the safe area, mm; 0 where it fits."""

    width: float
    height: float

    @property
    def fits(self) -> bool:
        """Whether nothing stands over."""
        return self.width <= TOLERANCE and self.height <= TOLERANCE

    @property
    def worst(self) -> float:
        """The larger of the two."""
        return max(self.width, self.height)


def overshoot(grid: Grid, safe: Box, room: float) -> Overshoot:
    """Return how far `grid` with its bleed and `room` for marks stands over the safe area."""
    needed = grid.needs(room)
    return Overshoot(max(0.0, needed.width - safe.width), max(0.0, needed.height - safe.height))


def mark_room(*, wanted: bool) -> float:
    """Return the room that crop, cut and fold marks need beyond the bleed; none if they are switched off."""
    return LEAST_ROOM if wanted else 0.0


def best_grid(flat: Size, bleed: float, sheet: DrawnSheet, room: float) -> Grid | None:
    """Return the grid with the most pieces, or None if not even one fits.

    Of two that hold as many, the one whose fold or cut lies under the feed roller comes first (nothing is printed
    there), then the unturned one.
    """
    fitting = [grid for grid in _grids(flat, bleed, sheet, room) if overshoot(grid, sheet.safe, room).fits]
    return max(fitting, key=lambda g: (g.pieces, _track_is_free(g, sheet), g.turn == 0, g.columns), default=None)


def grid_of(pieces: int, flat: Size, bleed: float, sheet: DrawnSheet, room: float) -> tuple[Grid, Overshoot]:
    """Return the grid of exactly `pieces` that fits, or else stands over the least, and by how much."""
    grids = [
        Grid(columns, pieces // columns, turn, _turned(flat, turn), bleed)
        for columns in range(1, pieces + 1)
        if pieces % columns == 0
        for turn in _TURNS
    ]
    ranked = [(overshoot(grid, sheet.safe, room), grid) for grid in grids]
    over, grid = min(
        ranked, key=lambda pair: (round(pair[0].worst, 6), not _track_is_free(pair[1], sheet), pair[1].turn)
    )
    return grid, over


_TURNS: tuple[Turn, ...] = (0, 90)


def _turned(flat: Size, turn: Turn) -> Size:
    return flat if turn == 0 else flat.turned


def _grids(flat: Size, bleed: float, sheet: DrawnSheet, room: float) -> Iterator[Grid]:
    for turn in _TURNS:
        piece = _turned(flat, turn)
        columns = _how_many(sheet.safe.width, piece.width, bleed, room)
        rows = _how_many(sheet.safe.height, piece.height, bleed, room)
        if columns and rows:
            yield Grid(columns, rows, turn, piece, bleed)


def _how_many(space: float, length: float, bleed: float, room: float) -> int:
    return max(0, int((space - 2 * room + TOLERANCE) / (length + 2 * bleed)))


def _track_is_free(grid: Grid, sheet: DrawnSheet) -> bool:
    """Tell whether the middle line of the feed runs along a cut, or along a fold in the middle of every piece."""
    if sheet.lead in ("left", "right"):
        count, folds_along = grid.rows, grid.turn == 90
    else:
        count, folds_along = grid.columns, grid.turn == 0
    return count % 2 == 0 or folds_along
