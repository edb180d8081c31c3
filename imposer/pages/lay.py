"""Pages that lie two and two in their art: a reader's spreads, or a printer's pairs. Sources in, single pages out.

Each half becomes a source of its own whose trim box is that half; the art itself stays one and uncut. Which is a
double page is told from its width: a page of a single width among spreads is a page by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from imposer.errors import Fault, ImposerError
from imposer.geometry import Box, Size
from imposer.job.model import PageSpec, Reading
from imposer.pages.model import ArtSource
from imposer.pages.place import SAME_SIZE, with_bleed
from imposer.units import show

#: Sources with the reader's page of each.
Numbered = tuple[tuple[ArtSource, ...], tuple[int, ...]]


def split_spreads(sources: Sequence[ArtSource], page: PageSpec, reading: Reading) -> Numbered:
    """Split spreads, in reading order, into pages.

    A single page first is page 1. A double one first is the cover, open: its halves are the first page and the last.

    Raises:
        ImposerError: a page of the art is neither one page wide nor two.
    """
    doubles = [_is_double(source, page) for source in sources]
    first, second = _sides(reading)
    pages: list[ArtSource] = []
    back: ArtSource | None = None
    for number, (source, double) in enumerate(zip(sources, doubles, strict=True)):
        if not double:
            pages.append(source)
        elif number == 0:
            # Seen open from outside, the front cover lies where a reader meets the second page of a spread.
            pages.append(half(source, page, second))
            back = half(source, page, first)
        else:
            pages += [half(source, page, first), half(source, page, second)]
    if back is not None:
        pages.append(back)
    return tuple(pages), tuple(range(1, len(pages) + 1))


def split_stated(
    sources: Sequence[ArtSource], stated: Sequence[tuple[int, ...]], page: PageSpec, reading: Reading
) -> Numbered:
    """Split spreads whose pages are stated, one or two for each source.

    Raises:
        ImposerError: a page of the art is not as wide as the pages it states.
    """
    pages: list[ArtSource] = []
    for source, numbers in zip(sources, stated, strict=True):
        double = _is_double(source, page)
        if double != (len(numbers) == 2):
            told = " and ".join(map(str, numbers))
            problem = f"is {'two pages' if double else 'one page'} wide, but its name says {told}"
            raise ImposerError(Fault(file=source.shown, problem=problem, mend="name it after the pages it holds"))
        pages += [half(source, page, side) for side in _sides(reading)] if double else [source]
    return tuple(pages), tuple(number for numbers in stated for number in numbers)


def split_pairs(sources: Sequence[ArtSource], page: PageSpec, reading: Reading) -> Numbered:
    """Put a saddle-stitched booklet's printer's pairs back into pages: outside and inside of each piece, in turn.

    Raises:
        ImposerError: a page of the art is not two pages wide.
    """
    single = [source for source in sources if not _is_double(source, page)]
    if single:
        raise ImposerError(
            Fault(
                file=single[0].shown,
                place=f"page {single[0].index + 1}",
                problem="is one page wide, but printer's pairs are two",
                mend='leave art out, or set art = "spreads"',
            )
        )
    last = 2 * len(sources)
    first, second = _sides(reading)
    pages: list[ArtSource] = []
    numbers: list[int] = []
    for number, source in enumerate(sources):
        # Outside of a piece: a late page, then an early one; inside: an early one, then a late one (a four-page fold).
        early, late = number + 1, last - number
        numbers += [late, early] if number % 2 == 0 else [early, late]
        pages += [half(source, page, first), half(source, page, second)]
    return tuple(pages), tuple(numbers)


def half(source: ArtSource, page: PageSpec, side: Literal["left", "right"]) -> ArtSource:
    """Return one half of a double page as a source of its own."""
    size = source.size or _double(with_bleed(page), page)
    whole = source.trim or Box.around(size.width / 2, size.height / 2, 2 * page.trim.width, page.trim.height)
    middle = (whole.x0 + whole.x1) / 2
    trim = Box(whole.x0, whole.y0, middle, whole.y1) if side == "left" else Box(middle, whole.y0, whole.x1, whole.y1)
    return replace(source, size=size, trim=trim, half=side)


def _sides(reading: Reading) -> tuple[Literal["left", "right"], Literal["left", "right"]]:
    """Return which half of a spread is read first, and which second."""
    return ("left", "right") if reading == "left-to-right" else ("right", "left")


def _double(single: Size, page: PageSpec) -> Size:
    """Return the size of two pages side by side, of one with or without bleed."""
    return Size(single.width + page.trim.width, single.height)


def _is_double(source: ArtSource, page: PageSpec) -> bool:
    """Tell whether art is two pages wide.

    Raises:
        ImposerError: it is neither one nor two pages wide.
    """
    if source.size is None and source.pixels:
        wide, high = source.pixels
        ratio = wide / high
        one, two = page.trim.width / page.trim.height, 2 * page.trim.width / page.trim.height
        return abs(ratio - two) < abs(ratio - one)
    size = source.trim.size if source.trim else source.size
    if size is None:
        raise ValueError(f"{source.place} has neither a size nor pixels")
    singles = (page.trim, with_bleed(page))
    if any(size.close_to(single, SAME_SIZE) for single in singles):
        return False
    if any(size.close_to(_double(single, page), 2 * SAME_SIZE) for single in singles):
        return True
    raise ImposerError(
        Fault(
            file=source.shown,
            place=f"page {source.index + 1}" if source.of > 1 else "",
            problem=(
                f"is {show(size.width)} × {show(size.height)} mm, neither one page of "
                f"{show(page.trim.width)} × {show(page.trim.height)} mm nor two side by side"
            ),
            mend="export it at 1:1, as pages or as spreads",
        )
    )
