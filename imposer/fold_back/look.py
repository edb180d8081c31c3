"""What lies on the panels of a rendered master: its pixels and what it should carry in, what was found out.

A panel is cut out where its record says, turned upright and held against the sketch of its page. Where the two do not
agree it is told what lies there instead: the page turned or moved, another page, nothing, or art of no page at all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.fold_back.record import PanelRecord
from imposer.geometry import Box, Size, Turn
from imposer.tones.sketch import (
    Means,
    Sketch,
    Tones,
    agree,
    area_means,
    cells_of,
    misfit,
    seen_cells,
)
from imposer.units import show

#: Neighbours' art and marks may reach this far into a panel by the renderer's pixels, mm.
INSET = 0.4
#: Art nearer to its place than this lies there; a shift is told from here on, mm.
MOVED = 0.4
#: Shifts looked for where a page does not agree: so far, first in coarse steps and then in fine ones, mm.
_REACH, _COARSE, _FINE = 4.0, 1.0, 0.25
#: Another way to lie must explain so much of the difference to be believed.
_EXPLAINED = 0.6
#: Of the difference that a shift would make, so much must be there and follow its pattern, to call it a shift.
_FOLLOWS = 0.5

_Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """A rendered side of one master."""

    tones: Tones
    #: Pixels a mm.
    scale: float
    size: Size

    def upright(self, trim: Box, turn: Turn, cells: tuple[int, int], dx: float = 0.0, dy: float = 0.0) -> Means:
        """Return the means of a panel's cells as its page stands upright, cut out (dx, dy) mm beside its trim.

        Args:
            trim: where the page should lie on the sheet, mm.
            turn: its turn on the sheet.
            cells: columns and rows of the upright page.
            dx: how far to the right on the upright page.
            dy: how far up.
        """
        x, y = {0: (dx, dy), 90: (-dy, dx), 180: (-dx, -dy), 270: (dy, -dx)}[turn]
        box = trim.moved(x, y)
        columns, rows = cells if turn in (0, 180) else cells[::-1]
        window = (
            box.x0 * self.scale,
            (self.size.height - box.y1) * self.scale,
            box.x1 * self.scale,
            (self.size.height - box.y0) * self.scale,
        )
        return np.rot90(area_means(self.tones, window, columns, rows), -turn // 90)


@dataclass(frozen=True, slots=True)
class Seen:
    """What was found on a panel in one ink."""

    #: The page whose art lies there; the panel's own if nothing should lie there and nothing does; None if it is none.
    page: int | None
    #: How the art stands beside how it should, counter-clockwise.
    turn: Turn = 0
    #: What is wrong, in words; empty if all is well.
    problem: str = ""


def look_at(sheet: PrintedSheet, panel: PanelRecord, known: Mapping[int, Sketch]) -> Seen:
    """Hold what lies on a panel against its page.

    Args:
        sheet: the rendered side.
        panel: where the page should lie, and what it should print in this ink.
        known: the sketches of the booklet's pages in this ink.
    """
    upright = panel.trim.size if panel.rotation in (0, 180) else panel.trim.size.turned
    cells = (panel.sketch.columns, panel.sketch.rows) if panel.sketch else cells_of(upright)
    seen = seen_cells(cells, panel.trim, panel.clip, panel.rotation, INSET)
    found = sheet.upright(panel.trim, panel.rotation, cells)
    wanted = panel.sketch.means if panel.sketch else np.zeros_like(found)
    stranger = _Stranger(sheet, panel, cells, seen, found, wanted)
    if agree(found, wanted, seen):
        if panel.page is None or max(map(abs, _shift(found, wanted, seen, upright))) < MOVED:
            return Seen(panel.page)
        # Soft tones may agree cell by cell and yet lie beside their place; only what a shift explains is one.
        return stranger.shifted() or Seen(panel.page)
    if panel.page is None:
        return Seen(None, problem="art lies in a place that carries no page")
    return stranger.named(known)


def _shift(found: Means, wanted: Means, seen: _Mask, page: Size) -> tuple[float, float]:
    """Return how far right and up the tones lie beside where they should, mm; 0, 0 if nothing tells.

    The least squares of found = wanted − dx · ∂wanted/∂x − dy · ∂wanted/∂y: right for shifts of up to a cell.
    """
    across, down = (np.gradient(wanted, axis=axis)[seen] for axis in (1, 0))
    change = (found - wanted)[seen]
    normal = np.array([[across @ across, across @ down], [across @ down, down @ down]], dtype=np.float64)
    # Tones that do not vary along some direction say nothing of a shift along it.
    if not change.size or np.linalg.eigvalsh(normal)[0] < change.size:
        return 0.0, 0.0
    right, below = np.linalg.solve(normal, np.array([-(across @ change), -(down @ change)]))
    left_over = change + right * across + below * down
    if float(left_over @ left_over) > _FOLLOWS * float(change @ change):
        return 0.0, 0.0
    rows, columns = wanted.shape
    return float(right) * page.width / columns, -float(below) * page.height / rows


@dataclass(frozen=True, slots=True)
class _Stranger:
    """A panel that does not hold what it should, and the search for what it holds."""

    sheet: PrintedSheet
    panel: PanelRecord
    cells: tuple[int, int]
    seen: _Mask
    found: Means
    wanted: Means

    def named(self, known: Mapping[int, Sketch]) -> Seen:
        """Return what lies there, in words."""
        page = self.panel.page
        wanted = "nothing of it prints" if self.panel.sketch is None else ""
        if self.panel.sketch and not (self.found[self.seen] > 3).any():
            return Seen(None, problem=f"page {page} is missing: its place is bare")
        worst = misfit(self.found, self.wanted, self.seen)
        ways = sorted(self._ways(known), key=lambda way: way[0])
        if ways and ways[0][0] < (1 - _EXPLAINED) * worst:
            return ways[0][1]
        if wanted:
            return Seen(None, problem=f"art lies where page {page} belongs, of which nothing prints in this ink")
        return Seen(None, problem=f"what lies where page {page} belongs is no page of this booklet, or was changed")

    def shifted(self) -> Seen | None:
        """Return how far the page lies beside its place, if a shift explains what was found."""
        left, seen = self._moved()
        return seen if left < (1 - _EXPLAINED) * misfit(self.found, self.wanted, self.seen) else None

    def _ways(self, known: Mapping[int, Sketch]) -> Iterator[tuple[float, Seen]]:
        """Yield each way to explain what was found, with what it leaves unexplained."""
        page = self.panel.page
        if self.panel.sketch:
            yield self._moved()
            for turn in self._turns()[1:]:
                yield self._of(self.wanted, turn), Seen(page, turn, f"page {page} is turned by {turn} degrees")
            mirrored = misfit(self.found[:, ::-1], self.wanted, self.seen & self.seen[:, ::-1])
            yield mirrored, Seen(None, 0, f"page {page} is mirrored")
        for other, sketch in known.items():
            if other == page or (sketch.columns, sketch.rows) != self.cells:
                continue
            for turn in self._turns():
                turned = f", turned by {turn} degrees" if turn else ""
                told = f"page {other} lies where page {page} belongs{turned}"
                yield self._of(sketch.means, turn), Seen(other, turn, told)

    def _turns(self) -> tuple[Turn, ...]:
        return (0, 90, 180, 270) if self.cells[0] == self.cells[1] else (0, 180)

    def _of(self, wanted: Means, turn: Turn) -> float:
        """Return what is left unexplained if this page lies here, turned counter-clockwise."""
        return misfit(self.found, np.rot90(wanted, turn // 90), self.seen)

    def _moved(self) -> tuple[float, Seen]:
        """Return the shift of the page that explains most, with what it leaves."""
        steps = np.arange(-_REACH, _REACH + _COARSE / 2, _COARSE)
        best = min((self._at(dx, dy), dx, dy) for dx in steps for dy in steps)
        steps = np.arange(-_COARSE + _FINE, _COARSE, _FINE)
        left, dx, dy = min(
            (self._at(best[1] + dx, best[2] + dy), best[1] + dx, best[2] + dy) for dx in steps for dy in steps
        )
        if max(abs(dx), abs(dy)) < MOVED:
            return float("inf"), Seen(self.panel.page)
        told = f"page {self.panel.page} lies {_way(float(dx), float(dy))} of its place"
        return left, Seen(self.panel.page, 0, told)

    def _at(self, dx: float, dy: float) -> float:
        moved = self.sheet.upright(self.panel.trim, self.panel.rotation, self.cells, dx, dy)
        return misfit(moved, self.wanted, self.seen)


def _way(dx: float, dy: float) -> str:
    """Return a shift in words, as the page is read.

    >>> _way(1.0, 0.0), _way(-0.5, 2.0)
    ('1 mm to the right', '0.5 mm to the left and 2 mm above')
    """
    parts = []
    if abs(dx) >= MOVED / 2:
        parts.append(f"{show(abs(dx))} mm to the {'right' if dx > 0 else 'left'}")
    if abs(dy) >= MOVED / 2:
        parts.append(f"{show(abs(dy))} mm {'above' if dy > 0 else 'below'}")
    return " and ".join(parts)
