"""What falls on every page: its fold, its safe text area, and the zones of the press sheets it is printed on.

Parts on their sheets go in; a page's zones come out in page space (origin at the lower left of the trim, mm), and the
pages whose zones are the same are told together. A page that is printed in several places keeps to the zones of all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from imposer.findings import SIDES, Side
from imposer.fold.model import Booklet
from imposer.geometry import Box, Size
from imposer.impose_parts import ImposedPart
from imposer.sheet.places import PagePlace, page_places
from imposer.sheet.stitches import stitching_of
from imposer.write.dummy.lines import PageEdge, panels_with_spines

#: Zones nearer to each other than this are the same zone: no cutter and no press holds less, mm.
SAME_WITHIN = 0.1
#: Less creep than this moves nothing that could be seen, mm.
_LEAST_CREEP = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class PageZones:
    """The zones of one page. Boxes in page space, mm."""

    #: The finished page.
    trim: Size
    bleed: float
    #: Where its spine is, as it is read; None where it has none.
    spine: PageEdge | None
    #: How much at the spine goes over the fold, because creep moves the page there.
    creep: float
    #: How much more is trimmed off at the fore edge, because creep was left out.
    pushed_out: float
    #: What of trim and bleed prints: no bleed over a fold.
    prints: Box
    #: What is kept clear at the spine for a stitch through the stack; 0 where none is.
    binding: float
    #: Type and small things stay in here.
    text: Box
    #: Where the machine can print, and where heavy ink is welcome; None where all of trim and bleed lies inside.
    print_limit: Box | None
    careful: Box | None
    #: What lies under the feed roller.
    tracks: tuple[Box, ...]

    @property
    def whole(self) -> Box:
        """Trim and bleed."""
        return Box(0, 0, self.trim.width, self.trim.height).grown(self.bleed)

    def key(self) -> tuple[object, ...]:
        """Return what is equal for pages whose zones are the same within `SAME_WITHIN`."""
        boxes = (self.prints, self.text, self.print_limit, self.careful, *self.tracks)
        sizes = (self.trim.width, self.trim.height, self.bleed, self.creep, self.pushed_out, self.binding)
        return (
            *(round(size / SAME_WITHIN) for size in sizes),
            self.spine,
            *(None if box is None else _rounded(box) for box in boxes),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class GuidedPage:
    """A page and its zones."""

    page: int
    part: ImposedPart
    zones: PageZones


def guided_pages(part: ImposedPart) -> tuple[GuidedPage, ...]:
    """Return every page of a part with its zones, in order."""
    imposition, shop = part.imposition, part.job.shop
    spines: dict[int, PageEdge | None] = {}
    clips: dict[tuple[int, int, Side, int], Box] = {}
    for sheet in imposition.sheets:
        for side in SIDES:
            for laid in panels_with_spines(imposition, sheet, side):
                if laid.panel.page is not None:
                    spines.setdefault(laid.panel.page, laid.spine)
                    clips[laid.panel.page, sheet.number, side, laid.panel.copy] = laid.panel.clip
    places: dict[int, list[tuple[PagePlace, Box]]] = {}
    for place in page_places(imposition, shop.machine):
        clip = clips[place.page, place.sheet, place.side, place.copy]
        places.setdefault(place.page, []).append((place, place.to_sheet.inverse().apply_box(clip)))
    loss = _pushed_out(part)
    return tuple(
        GuidedPage(page=page, part=part, zones=_zones(part, found, spines.get(page), loss.get(page, 0.0)))
        for page, found in sorted(places.items())
    )


def _zones(
    part: ImposedPart, found: Sequence[tuple[PagePlace, Box]], spine: PageEdge | None, pushed_out: float
) -> PageZones:
    first, _ = found[0]
    trim = first.on_sheet.size.turned if first.rotation in (90, 270) else first.on_sheet.size
    bleed = part.imposition.layout.bleed
    whole = Box(0, 0, trim.width, trim.height).grown(bleed)
    creep = max(place.creep for place, _ in found)
    stitching = stitching_of(part.job.binding, part.job.page.trim)
    binding = stitching.margin if stitching is not None and spine is not None else 0.0
    return PageZones(
        trim=trim,
        bleed=bleed,
        spine=spine,
        creep=creep if creep >= _LEAST_CREEP else 0.0,
        pushed_out=pushed_out if creep < _LEAST_CREEP <= pushed_out else 0.0,
        prints=_shared([clip for _, clip in found]).common(whole) or whole,
        binding=binding,
        text=_text_area(trim, spine, (creep, pushed_out, binding), part.job.shop.check.edge_detail),
        print_limit=_if_inside(_shared([place.safe for place, _ in found]), whole),
        careful=_if_inside(_shared([place.careful for place, _ in found]), whole),
        tracks=_distinct(place.track for place, _ in found),
    )


def _text_area(trim: Size, spine: PageEdge | None, taken: tuple[float, float, float], margin: float) -> Box:
    """Return the trim less a margin, and less what creep and binding take.

    `taken` is creep at the spine, what is trimmed across from it because creep was left out, and a stitch's margin.
    """
    creep, pushed_out, binding = taken
    across: dict[PageEdge, PageEdge] = {"left": "right", "right": "left", "head": "foot", "foot": "head"}
    inset: dict[PageEdge, float] = dict.fromkeys(across, margin)
    if spine is not None:
        inset[spine] = max(inset[spine] + creep, binding)
        inset[across[spine]] += pushed_out if creep < _LEAST_CREEP else 0.0
    width, height = trim.width - inset["left"] - inset["right"], trim.height - inset["head"] - inset["foot"]
    if width <= 0 or height <= 0:
        return Box.around(trim.width / 2, trim.height / 2, 0, 0)
    return Box.at(inset["left"], inset["foot"], width, height)


def _pushed_out(part: ImposedPart) -> dict[int, float]:
    """Return how far every page's leaf stands out beyond the outermost one, pressed flat, page by page."""
    booklet: Booklet = part.imposition.booklet
    caliper = part.job.sheet.paper.caliper
    return {
        page: leaf.depth * caliper
        for piece in booklet.pieces
        for leaf in piece.leaves
        for page in (leaf.front, leaf.back)
        if page is not None
    }


def _shared(boxes: Sequence[Box]) -> Box:
    """Return what lies in all boxes; they overlap, since each holds most of one page."""
    x0, y0 = max(box.x0 for box in boxes), max(box.y0 for box in boxes)
    x1, y1 = min(box.x1 for box in boxes), min(box.y1 for box in boxes)
    return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _if_inside(limit: Box, whole: Box) -> Box | None:
    """Return a limit as far as it lies on the page; None if the whole page keeps it."""
    if limit.contains(whole):
        return None
    return limit.common(whole) or Box(whole.x0, whole.y0, whole.x0, whole.y0)


def _distinct(boxes: Iterator[Box | None]) -> tuple[Box, ...]:
    found: dict[tuple[int, ...], Box] = {}
    for box in boxes:
        if box is not None:
            found.setdefault(_rounded(box), box)
    return tuple(box for _, box in sorted(found.items()))


def _rounded(box: Box) -> tuple[int, ...]:
    return tuple(round(edge / SAME_WITHIN) for edge in (box.x0, box.y0, box.x1, box.y1))
