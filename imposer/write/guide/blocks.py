"""Blocks: what the guide is set from. Each has a height and draws itself below a point; text is wrapped beforehand.

A block never breaks; what may break over pages (paragraphs, tables, lists) is given as several blocks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from imposer.data.fonts import SANS, SANS_BOLD
from imposer.geometry import Box
from imposer.units import from_points
from imposer.write.guide.pen import HAIR, THIN, Paint, Pen
from imposer.write.guide.words import wrap

#: Type sizes, points: text, text in tables and beside drawings, names of things in drawings.
BODY, SMALL, NAMES = 9.5, 8.5, 8.0

#: From line to line, as a share of the size.
LEADING = 1.4

#: Draws with a pen at a left edge and a top, mm.
Draw = Callable[[Pen, float, float], None]


@dataclass(frozen=True, slots=True)
class Block:
    """Something of a height (mm) that is drawn downward from a point."""

    height: float
    draw: Draw
    #: Stands on the same page as the block after it.
    keep: bool = False
    #: Drawn once more above this block where it begins a page: the head of a table.
    head: Block | None = None


def line_height(size: float) -> float:
    """Return how far lines of a size (points) stand apart, mm."""
    return from_points(size) * LEADING


def gap(height: float, *, keep: bool = False) -> Block:
    """Return empty space."""
    return Block(height, lambda pen, x, top: None, keep)  # noqa: ARG005


def kept(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Return the blocks, each bound to the one after it."""
    return tuple(replace(block, keep=True) for block in blocks)


def text_line(text: str, size: float = BODY, *, font: str = SANS, paint: Paint = 0.0, indent: float = 0.0) -> Block:
    """Return one line that is known to fit."""
    high = line_height(size)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.text((x + indent, top - high * 0.76), text, size, font=font, paint=paint)

    return Block(high, draw)


def paragraph(
    text: str, width: float, size: float = BODY, *, font: str = SANS, paint: Paint = 0.0, indent: float = 0.0
) -> tuple[Block, ...]:
    """Return a paragraph as lines; its first two and last two stay together."""
    lines = [
        text_line(line, size, font=font, paint=paint, indent=indent) for line in wrap(text, width - indent, size, font)
    ]
    last = len(lines) - 1
    return tuple(replace(line, keep=i == 0 < last or i == last - 1) for i, line in enumerate(lines))


def marked(mark: Callable[[Pen, float, float], None], text: str, width: float, size: float = BODY) -> tuple[Block, ...]:
    """Return a paragraph with a mark drawn in front of it; the mark is given its left edge and the text's baseline."""
    indent = 6.5
    first, *rest = paragraph(text, width, size, indent=indent)

    def draw(pen: Pen, x: float, top: float) -> None:
        mark(pen, x, top - line_height(size) * 0.76)
        first.draw(pen, x, top)

    return (replace(first, draw=draw), *rest, gap(0.9))


def ticks(texts: Iterable[str], width: float, size: float = BODY) -> tuple[Block, ...]:
    """Return a list with a box to tick before each entry."""

    def tick(pen: Pen, x: float, baseline: float) -> None:
        pen.box(Box.at(x + 0.3, baseline - 0.6, 3.4, 3.4))

    return tuple(block for text in texts for block in marked(tick, text, width, size))


def numbered(texts: Sequence[str], width: float, size: float = BODY) -> tuple[Block, ...]:
    """Return a list with numbers."""

    def mark(number: int) -> Callable[[Pen, float, float], None]:
        return lambda pen, x, baseline: pen.text((x, baseline), f"{number}", size, font=SANS_BOLD)

    return tuple(block for i, text in enumerate(texts, 1) for block in marked(mark(i), text, width, size))


def barred(blocks: Iterable[Block], bar: float = 0.8, paint: Paint = 0.0) -> tuple[Block, ...]:
    """Return blocks moved in a little behind a bar at their left; they may still break over pages."""

    def with_bar(block: Block) -> Block:
        def draw(pen: Pen, x: float, top: float) -> None:
            pen.box(Box(x, top - block.height, x + bar, top), weight=None, fill=paint)
            block.draw(pen, x + 4, top)

        return replace(block, draw=draw)

    return tuple(map(with_bar, blocks))


def stack(blocks: Iterable[Block]) -> Block:
    """Return blocks one under the other as a single block."""
    parts = tuple(blocks)

    def draw(pen: Pen, x: float, top: float) -> None:
        for part in parts:
            part.draw(pen, x, top)
            top -= part.height

    return Block(sum(part.height for part in parts), draw)


def beside(*columns: tuple[float, Iterable[Block]]) -> Block:
    """Return columns side by side as a single block; each comes with its distance from the left edge, mm."""
    parts = tuple((at, stack(blocks)) for at, blocks in columns)

    def draw(pen: Pen, x: float, top: float) -> None:
        for at, part in parts:
            part.draw(pen, x + at, top)

    return Block(max(part.height for _, part in parts), draw)


def boxed(blocks: Iterable[Block], width: float, *, fill: Paint | None = None, weight: float | None = THIN) -> Block:
    """Return blocks in a frame with 3 mm inside it all round; what goes in is to be `width` - 6 wide."""
    inner = stack(blocks)
    high = inner.height + 5

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(Box(x, top - high, x + width, top), weight=weight, fill=fill, radius=1.5)
        inner.draw(pen, x + 3, top - 2.5)

    return Block(high, draw)


def subheading(text: str, width: float) -> tuple[Block, ...]:
    """Return a small heading that stays with what follows."""
    return kept((gap(2.5), *paragraph(text, width, 10.5, font=SANS_BOLD), gap(0.8)))


def hairline(width: float) -> Block:
    """Return a thin line across."""
    return Block(HAIR, lambda pen, x, top: pen.line((x, top), (x + width, top), HAIR, 0.55))
