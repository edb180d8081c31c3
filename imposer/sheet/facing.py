"""Which pages lie against each other in the finished thing, over all parts of a job, and where their spots meet.

Paper folded in memory says which pages share a leaf. The back of a leaf lies against the front of the next that the
reader meets, of whatever part that is: the inside of a cover against the first page of the body. Two pages meet at
the spine, as in a mirror; unlike heights are taken to be level at the foot. Lengths in mm; no files.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from imposer.fold.leaflets import stacked_leaves
from imposer.fold.model import Style
from imposer.geometry import Box, Size
from imposer.sheet.model import Imposition
from imposer.sheet.page_edges import page_leaves


@dataclass(frozen=True, slots=True, kw_only=True)
class Facing:
    """What lies against a page.

    Attributes:
        page: The page that does.
        size: Its trim.
        mirror: What the x of a spot on the one and the x where it meets the other add up to.
    """

    page: int
    size: Size
    mirror: float

    def laid(self, box: Box) -> Box:
        """Return where a box of the page meets this one, in page space; beyond its trim there is no paper."""
        return Box(self.mirror - box.x1, box.y0, self.mirror - box.x0, box.y1)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundPart:
    """A part of a job as far as its pages lie against others."""

    imposition: Imposition
    style: Style
    #: No reader counts its pages, and nobody tells what it is laid in or around.
    extra: bool = False


@dataclass(frozen=True, slots=True)
class _Leaf:
    part: BoundPart
    front: int | None
    back: int | None

    @property
    def read_at(self) -> int:
        return min(page for page in (self.front, self.back) if page is not None)


def facing_pages(parts: Sequence[BoundPart]) -> dict[int, tuple[Facing, ...]]:
    """Return what lies against every page that another page lies against."""
    sizes = {page: size for part in parts for page, size in _sizes(part.imposition)}
    spines = {page: leaf.spine for part in parts for page, leaf in page_leaves(part.imposition.booklet).items()}
    found: dict[int, tuple[Facing, ...]] = {}
    for pair in _pairs(parts):
        # Both begin where they are hinged: at the spine, or a wing at its edge of the middle.
        hinged_right = (spines[pair.upper] == "right") is not pair.far_wing
        mirror = sizes[pair.upper if hinged_right else pair.lower].width
        for one, other in ((pair.upper, pair.lower), (pair.lower, pair.upper)):
            found[one] = (*found.get(one, ()), Facing(page=other, size=sizes[other], mirror=mirror))
    return found


@dataclass(frozen=True, slots=True)
class _Pair:
    """The back of a leaf and the front of another that lie against each other."""

    upper: int
    lower: int
    #: The upper is the wing of a gate that is hinged on the other side than the leaves of a book are.
    far_wing: bool = False


def _pairs(parts: Sequence[BoundPart]) -> Iterator[_Pair]:
    read = sorted((leaf for part in parts if not part.extra for leaf in _leaves(part)), key=lambda leaf: leaf.read_at)
    for order in (read, *(_leaves(part) for part in parts if part.extra)):
        for upper, lower in pairwise(order):
            if upper.back is not None and lower.front is not None and _touch(upper.part, lower.part):
                yield _Pair(upper.back, lower.front)
    for part in parts:
        if part.style == "gate":
            yield from _wings(part)


def _touch(one: BoundPart, other: BoundPart) -> bool:
    """Tell whether leaves of two parts that follow each other lie on each other."""
    if one is other and one.style == "gate":
        return False
    # Cards are neither folded nor bound: they lie in piles of the same, unless they are bound among other pages.
    return not (one.style == "flat" and other.style == "flat")


def _leaves(part: BoundPart) -> list[_Leaf]:
    """Return the leaves of a part that carry pages, in the order they are read; a poster lies on none."""
    booklet = part.imposition.booklet
    if part.style == "flat":
        leaves = [(leaf.front, leaf.back) for piece in booklet.pieces for leaf in piece.leaves]
    elif booklet.scheme.leaflet:
        leaves = list(stacked_leaves(booklet.pieces, booklet.scheme))
    else:
        pages = sorted(page for piece in booklet.pieces for page in piece.pages)
        leaves = list(zip(pages[::2], pages[1::2], strict=True))
    return [_Leaf(part, *leaf) for leaf in leaves if leaf != (None, None)]


def _wings(part: BoundPart) -> Iterator[_Pair]:
    """Yield what the two wings of a gate lie against: each on its half of the middle, and neither on the other."""
    near, far, middle = _leaves(part)
    for wing in (near, far):
        if wing.back is not None and middle.front is not None:
            yield _Pair(wing.back, middle.front, far_wing=wing is far)


def _sizes(imposition: Imposition) -> Iterator[tuple[int, Size]]:
    """Yield the trim of every page as it is read."""
    for sheet in imposition.sheets:
        for panel in (*sheet.front.panels, *sheet.back.panels):
            if panel.page is not None:
                size = panel.trim.size
                yield panel.page, size.turned if panel.rotation in (90, 270) else size
