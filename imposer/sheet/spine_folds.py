"""Where the spine of a folded piece runs on a side of the sheet, and where on it a distance from the head lies. mm."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from imposer.geometry import Turn
from imposer.sheet.model import Panel, SheetSide
from imposer.units import TOLERANCE


@dataclass(frozen=True, slots=True)
class SpineFold:
    """The border of two panels that share a spine: upright at an x, or level at a y."""

    level: bool
    at: float
    #: One of the two panels; both stand the same way up.
    beside: Panel

    def from_head(self, down: float) -> float:
        """Return the coordinate along the fold that is `down` mm from the head."""
        trim, turn = self.beside.trim, self.beside.rotation
        starts: dict[Turn, float] = {0: trim.y1 - down, 90: trim.x0 + down, 180: trim.y0 + down, 270: trim.x1 - down}
        return starts[turn]


def fold_between(one: Panel, other: Panel) -> SpineFold | None:
    """Return the fold between two panels; None if they are no neighbours that stand the same way up."""
    if one.rotation != other.rotation:
        return None
    level = one.rotation in (90, 270)
    first, second = sorted((one.trim, other.trim), key=lambda box: box.y0 if level else box.x0)
    end, start = (first.y1, second.y0) if level else (first.x1, second.x0)
    ends = (first.x0 - second.x0, first.x1 - second.x1) if level else (first.y0 - second.y0, first.y1 - second.y1)
    # Creep moves both toward their spine, over the fold.
    if abs(end - start) > one.creep + other.creep + TOLERANCE or max(map(abs, ends)) > TOLERANCE:
        return None
    return SpineFold(level, (end + start) / 2, one)


def folds_of(side: SheetSide, piece: int, pages: Iterable[int | None]) -> tuple[SpineFold, ...]:
    """Return the folds between two pages of a piece, one for every copy of it that lies on a side."""
    one, other = pages
    found = []
    for panel in side.panels:
        if panel.piece != piece or panel.page is None or panel.page != one:
            continue
        partner = next((p for p in side.panels if (p.piece, p.copy, p.page) == (piece, panel.copy, other)), None)
        fold = fold_between(panel, partner) if partner else None
        if fold:
            found.append(fold)
    return tuple(found)
