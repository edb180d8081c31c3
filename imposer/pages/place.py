"""Where a page's art lies on the finished page: its size held against trim and bleed, and the map that follows.

Sizes in, a transform out; no file is touched. Art is centred on the page, its own trim box on the trim where it states
one, so that a bleed that is missing or left over is shared by opposite edges.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from imposer.geometry import Box, Size, Transform
from imposer.job.model import PageSpec
from imposer.pages.model import ArtSource
from imposer.units import show

#: Art this near a size is of that size, mm; or one pixel, if that is more.
SAME_SIZE = 0.5


class MisfitError(Exception):
    """Art is of another size: what is wrong with both sizes, and the mend."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.mend = mend


@dataclass(frozen=True, slots=True)
class Placed:
    """The art's size, mm, and the map from art space to page space."""

    size: Size
    to_page: Transform
    #: How much larger it is printed than it is; 1 for art at 1:1.
    scale: float = 1.0


def with_bleed(page: PageSpec) -> Size:
    """Return the size of trim plus bleed."""
    return Size(page.trim.width + 2 * page.bleed, page.trim.height + 2 * page.bleed)


def place_art(source: ArtSource, page: PageSpec) -> Placed:
    """Place a page's art.

    Raises:
        MisfitError: the art is of another size, and the job does not say how to fit it.
    """
    if source.size is None:
        return _place_unsized(source, page)
    size = source.size
    own_trim = _own_trim(source, size, page)
    if own_trim is None:
        own_trim = Box(0, 0, size.width, size.height)
        fits = _is_either(size, page, _tolerance(source))
    else:
        fits = own_trim.size.close_to(page.trim, _tolerance(source))
    if fits or page.fit == "centre":
        return Placed(size, _centred(own_trim, page.trim, 1.0))
    if page.fit == "scale":
        scale = min(page.trim.width / own_trim.width, page.trim.height / own_trim.height)
        return Placed(size, _centred(own_trim, page.trim, scale), scale)
    raise _misfit(source, own_trim.size, page)


def place_cut_art(source: ArtSource, full: PageSpec, own: PageSpec, cut_at: Literal["left", "right"]) -> Placed:
    """Place art of the full page on a narrower panel, cut at one side: the opposite edges lie on each other.

    Raises:
        MisfitError: the art is neither of the full page's size nor of the panel's.
    """
    try:
        placed = place_art(source, replace(full, fit="exact"))
    except MisfitError as error:
        size = _page_size(own)
        raise MisfitError(f"{error}, and this one, tucked in, {size}", error.mend) from None
    narrower = full.trim.width - own.trim.width
    shift = Transform.shift(-narrower if cut_at == "left" else 0.0, 0.0)
    return Placed(placed.size, placed.to_page.then(shift), placed.scale)


def _own_trim(source: ArtSource, size: Size, page: PageSpec) -> Box | None:
    """Return the trim box the art states, unless it is the whole art: many programs write that without meaning it."""
    if source.trim is None:
        return None
    whole = source.trim.size.close_to(size, SAME_SIZE)
    return None if whole and not source.trim.size.close_to(page.trim, SAME_SIZE) else source.trim


def _tolerance(source: ArtSource) -> float:
    """Return how far from a size the art may be, mm."""
    if source.pixels is None or source.size is None:
        return SAME_SIZE
    return max(SAME_SIZE, source.size.width / source.pixels[0], source.size.height / source.pixels[1])


def _is_either(size: Size, page: PageSpec, tolerance: float) -> bool:
    """Tell whether a size is that of the trim, or of trim plus bleed."""
    return size.close_to(page.trim, tolerance) or size.close_to(with_bleed(page), tolerance)


def _centred(own: Box, trim: Size, scale: float) -> Transform:
    """Return the map that brings the centre of `own` to the centre of the trim."""
    x, y = own.centre
    return Transform(scale, 0, 0, scale, trim.width / 2 - x * scale, trim.height / 2 - y * scale)


def _place_unsized(source: ArtSource, page: PageSpec) -> Placed:
    """Place an image that states no resolution: it fills trim plus bleed, or the trim, if its proportions are right."""
    if source.pixels is None:
        raise ValueError(f"{source.place} has neither a size nor pixels")
    for size in (with_bleed(page), page.trim):
        if _proportions_agree(source.pixels, size):
            whole = Box(0, 0, size.width, size.height)
            return Placed(size, _centred(whole, page.trim, 1.0))
    width, height = source.pixels
    if page.fit == "scale":
        scale = min(page.trim.width / width, page.trim.height / height)
        size = Size(width * scale, height * scale)
        return Placed(size, _centred(Box(0, 0, size.width, size.height), page.trim, 1.0))
    problem = (
        f"is {width} × {height} px without a resolution, which has not the proportions of a page, {_page_size(page)}"
    )
    for size in (with_bleed(page), page.trim):
        if _proportions_agree((height, width), size):
            raise MisfitError(f"{problem}: it lies on its side", "turn it by 90 degrees and export it again")
    raise MisfitError(problem, "export it at the size of the page, with its resolution")


def _proportions_agree(pixels: tuple[int, int], size: Size) -> bool:
    """Tell whether so many pixels fill a size to 0.5 mm or one pixel."""
    pixel = size.width / pixels[0]
    return abs(pixels[1] * pixel - size.height) <= max(SAME_SIZE, pixel)


def _misfit(source: ArtSource, size: Size, page: PageSpec) -> MisfitError:
    """Return what to say of art of another size; the two usual causes get their own mend."""
    what = "has a trim box of" if source.trim is not None and size != source.size else "is"
    problem = f"{what} {_millimetres(size)}, but a page is {_page_size(page)}"
    tolerance = _tolerance(source)
    if _is_either(size.turned, page, tolerance):
        return MisfitError(f"{problem}: it lies on its side", "turn it by 90 degrees and export it again")
    halves = (Size(size.width / 2, size.height), Size(size.width / 2 + page.bleed, size.height))
    if any(_is_either(half, page, tolerance) for half in halves):
        return MisfitError(f"{problem}: it seems to be a spread of two pages", "export single pages, not spreads")
    mend = 'export it at that size, or set [page] fit = "scale" or "centre"'
    return MisfitError(problem, mend)


def _page_size(page: PageSpec) -> str:
    """Write the sizes that art may have."""
    bleed = f" ({_millimetres(with_bleed(page))} with bleed)" if page.bleed else ""
    return f"{_millimetres(page.trim)}{bleed}"


def _millimetres(size: Size) -> str:
    return f"{show(size.width)} × {show(size.height)} mm"
