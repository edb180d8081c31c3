"""From sections to pages: blocks are set one under the other and broken where they may be. No canvas here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from imposer.units import fits
from imposer.write.guide.blocks import Block

#: A section that may share a page begins on a new one if less than this is left, mm.
_ROOM_TO_BEGIN = 70.0

#: Between a section and the next on the same page, mm.
_BETWEEN_SECTIONS = 9.0


@dataclass(frozen=True, slots=True)
class Section:
    """A step of the work."""

    title: str
    blocks: tuple[Block, ...]
    #: Begins a page: a card that is handed on by itself.
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A block, and how far its top lies under the top of the text area, mm."""

    block: Block
    down: float


@dataclass(frozen=True, slots=True)
class Pages:
    """The pages, and on which (from 1) each section begins."""

    pages: tuple[tuple[Placed, ...], ...]
    starts: tuple[int, ...]


def paginate(sections: Iterable[Section], height: float) -> Pages:
    """Set sections on pages whose text area is `height` mm high.

    >>> block = Block(60, lambda pen, x, top: None)
    >>> [[p.down for p in page] for page in paginate([Section("a", (block, block)), Section("b", (block,))], 130).pages]
    [[0.0, 60.0], [0.0]]
    """
    pages: list[list[Placed]] = [[]]
    starts: list[int] = []
    for section in sections:
        groups = tuple(_bound(section.blocks, height))
        down = _bottom(pages[-1])
        room = height - down - _BETWEEN_SECTIONS
        needed = max(min(_ROOM_TO_BEGIN, _height(section.blocks)), _height(groups[0]))
        if down and (section.fresh or not fits(needed, room)):
            pages.append([])
        starts.append(len(pages))
        for i, group in enumerate(groups):
            _set(group, pages, height, _BETWEEN_SECTIONS if i == 0 and pages[-1] else 0.0)
    return Pages(tuple(map(tuple, pages)), tuple(starts))


def _set(group: Sequence[Block], pages: list[list[Placed]], height: float, space: float) -> None:
    """Add blocks that stay together to the last page, or to a new one if they do not fit."""
    down = _bottom(pages[-1]) + space
    if pages[-1] and not fits(down + _height(group), height):
        pages.append([])
        down = 0.0
        if group[0].head is not None:
            group = (group[0].head, *group)
    for block in group:
        pages[-1].append(Placed(block, down))
        down += block.height


def _bound(blocks: Iterable[Block], height: float) -> Iterator[tuple[Block, ...]]:
    """Give the blocks in groups that stay together; a group that no page could hold is let go."""
    group: list[Block] = []
    for block in blocks:
        head = group[0].head if group else None
        if group and not fits(_height([*group, block]) + (head.height if head else 0.0), height):
            yield tuple(group)
            group = []
        group.append(block)
        if not block.keep:
            yield tuple(group)
            group = []
    if group:
        yield tuple(group)


def _height(blocks: Iterable[Block]) -> float:
    return sum(block.height for block in blocks)


def _bottom(page: Sequence[Placed]) -> float:
    return page[-1].down + page[-1].block.height if page else 0.0
