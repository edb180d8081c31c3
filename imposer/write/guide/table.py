"""Tables: rows of cells with wrapped text, swatches and boxes to tick; the head comes again on every page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from imposer.data.fonts import SANS, SANS_BOLD
from imposer.geometry import Box
from imposer.write.guide.blocks import SMALL, Block, line_height
from imposer.write.guide.pen import FIRM, HAIR, Pen
from imposer.write.guide.words import wrap

#: From a cell's text to the next cell, and above and below a row's text, mm.
_BETWEEN, _ABOVE = 2.5, 1.1


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell: text, after a swatch of ink or a box to tick if asked."""

    text: str = ""
    swatch: str | None = None
    tick: bool = False
    bold: bool = False

    @property
    def before(self) -> float:
        """Room in front of the text, mm."""
        return 6.0 if self.swatch is not None or self.tick else 0.0


def table(
    head: Sequence[str], rows: Sequence[Sequence[Cell | str]], widths: Sequence[float], size: float = SMALL
) -> tuple[Block, ...]:
    """Return a table as a block a row. `widths` are the columns' in mm."""
    top = _row([Cell(text, bold=True) for text in head], widths, size, FIRM) if any(head) else None
    lines = [_row([c if isinstance(c, Cell) else Cell(c) for c in row], widths, size, HAIR) for row in rows]
    if top is None:
        return tuple(lines)
    return (replace(top, keep=True), *(replace(line, head=top) for line in lines))


def swatch(pen: Pen, x: float, baseline: float, colour: str) -> None:
    """Draw a small sample of an ink, its foot a little under a baseline."""
    pen.box(Box.at(x, baseline - 0.6, 4.2, 3.2), weight=HAIR, fill=colour)


def _row(cells: Sequence[Cell], widths: Sequence[float], size: float, rule: float) -> Block:
    texts = [
        wrap(cell.text, width - _BETWEEN - cell.before, size, _font(cell))
        for cell, width in zip(cells, widths, strict=True)
    ]
    step = line_height(size)
    high = max(map(len, texts)) * step + 2 * _ABOVE

    def draw(pen: Pen, x: float, top: float) -> None:
        for cell, lines, width in zip(cells, texts, widths, strict=True):
            baseline = top - _ABOVE - step * 0.76
            if cell.swatch is not None:
                swatch(pen, x, baseline, cell.swatch)
            elif cell.tick:
                pen.box(Box.at(x + 0.2, baseline - 0.7, 3.6, 3.6))
            for i, line in enumerate(lines):
                pen.text((x + cell.before, baseline - i * step), line, size, font=_font(cell))
            x += width
        pen.line((x - sum(widths), top - high), (x, top - high), rule, 0.0 if rule == FIRM else 0.6)

    return Block(high, draw)


def _font(cell: Cell) -> str:
    return SANS_BOLD if cell.bold else SANS
