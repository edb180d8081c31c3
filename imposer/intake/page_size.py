"""The finished page of a delivery, from the sizes its files state. Sizes in; trim, bleed and what must be said out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from imposer.data.papers import name_of
from imposer.geometry import Size
from imposer.intake.answers import quoted
from imposer.intake.delivery import Delivered
from imposer.intake.model import Question
from imposer.pages.model import ArtSource
from imposer.units import show

#: Sizes this near each other are one, mm: the same as art may be off its page.
_NEAR = 0.5
#: Pages this many times as wide as high may be two upright ones side by side. A working value of our own.
_LYING = 1.15
#: Usual bleeds, mm: 3 and 5 mm, an eighth of an inch. Common practice, no source.
_BLEEDS = (3.0, 3.175, 5.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSize:
    """What the pages seem to be."""

    trim: Size | None
    bleed: float = 0.0
    #: Whether some or all pages are two side by side.
    doubles: bool = False
    #: What all pages may be two of side by side, if they lie on their side, and its bleed.
    half: Size | None = None
    half_bleed: float = 0.0
    said: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()


def find_page_size(art: Sequence[Delivered], stated: Size | None = None) -> PageSize:
    """Return the finished page. `stated` is the trim that a person has given, which is not judged."""
    sizes = [size for each in art for page in each.pages if (size := _size(page))]
    if stated is not None:
        doubles = any(_close(size.width, 2 * stated.width) and _close(size.height, stated.height) for size in sizes)
        return PageSize(trim=stated, bleed=_bleed_of(sizes, stated), doubles=doubles)
    if not sizes:
        asks = "no file states its size: how large is the finished page?"
        return PageSize(trim=None, questions=(Question(asks, ('[page]\ntrim = "A6"',)),))
    counted = Counter(_rounded(size) for size in sizes)
    halves = {size for size in counted if _doubles_of(size) & counted.keys()}
    if len(halves) == 1:
        trim, bleed, said = _trim_and_bleed(next(iter(halves)))
        said = f"some pages are two side by side; one is {said}"
        return PageSize(trim=trim, bleed=bleed, doubles=True, guesses=(said,))
    if with_and_without := _with_and_without_bleed(counted):
        return with_and_without
    most, times = counted.most_common(1)[0]
    trim, bleed, said = _trim_and_bleed(most)
    questions: tuple[Question, ...] = ()
    if times < len(sizes):
        other = next(size for size in counted if size != most)
        others = len(sizes) - times
        asks = (
            f"most pages are {size_in_words(most)}, but {others} {'is' if others == 1 else 'are'} not "
            f"({size_in_words(other)}): which size is right?"
        )
        page = f"[page]\ntrim = {trim_value(trim)}\nbleed = {show(bleed)}\n"
        ways = (
            page + 'fit = "scale"   # the others are made larger or smaller',
            page + 'fit = "centre"   # or as they are',
        )
        questions = (Question(asks, ways),)
    if most.width > _LYING * most.height:
        half, half_bleed = _half_of(most)
    else:
        half, half_bleed = None, 0.0
    return PageSize(
        trim=trim,
        bleed=bleed,
        half=half,
        half_bleed=half_bleed,
        guesses=(f"the finished page is {said}",),
        questions=questions,
    )


def _with_and_without_bleed(counted: Counter[Size]) -> PageSize | None:
    """Return the page if all art is either it or it with one bleed; a job takes both side by side."""
    named = {_named(size) for size in counted}
    bleeds = {found[1] for found in named if found}
    trims = {found[0] for found in named if found}
    if None in named or len(trims) != 1 or len(bleeds) != 2 or 0.0 not in bleeds:
        return None
    trim, bleed = trims.pop(), max(bleeds)
    bare = sum(times for size, times in counted.items() if size.close_to(trim, _NEAR))
    pages = "1 page has" if bare == 1 else f"{bare} pages have"
    said = f"the finished page is {name_of(trim)} with {show(bleed)} mm of bleed; {pages} none"
    return PageSize(trim=trim, bleed=bleed, guesses=(said,))


def _doubles_of(size: Size) -> set[Size]:
    """Return the sizes of two such pages side by side: each with its bleed, or one bleed around both."""
    named = _named(size)
    around = [Size(2 * size.width - 2 * named[1], size.height)] if named and named[1] else []
    return {_rounded(each) for each in (Size(2 * size.width, size.height), *around)}


def _half_of(size: Size) -> tuple[Size, float]:
    """Return one of two pages side by side and its bleed: of a named size, or else half of what is there."""
    return _named(size, 2) or (Size(size.width / 2, size.height), 0.0)


def _named(size: Size, beside: int = 1) -> tuple[Size, float] | None:
    """Return the page of a named size, and its bleed, of which so many lie side by side in a size; None if none do."""
    for bleed in (0.0, *_BLEEDS):
        page = Size((size.width - 2 * bleed) / beside, size.height - 2 * bleed)
        if page.width > 0 and page.height > 0 and name_of(page):
            return page, bleed
    return None


def _size(page: ArtSource) -> Size | None:
    return page.trim.size if page.trim is not None else page.size


def _trim_and_bleed(size: Size) -> tuple[Size, float, str]:
    """Return trim, bleed and words for a size that is either a named one, or one with bleed, or neither."""
    trim, bleed = _named(size) or (size, 0.0)
    if bleed:
        return trim, bleed, f"{name_of(trim)} with {show(bleed)} mm of bleed, since the art is {size_in_words(size)}"
    name = name_of(trim)
    words = f"{name}, {size_in_words(size)}" if name else f"{size_in_words(size)} without bleed, as the art is"
    return trim, bleed, words


def _bleed_of(sizes: Sequence[Size], trim: Size) -> float:
    """Return how far most art goes beyond a trim, mm."""
    counted = Counter(round((size.height - trim.height) / 2, 2) for size in sizes)
    bleed = counted.most_common(1)[0][0] if counted else 0.0
    # What is off by less comes of pixels that fill no whole number of mm.
    return bleed if _NEAR / 2 < bleed <= 20 else 0.0


def _rounded(size: Size) -> Size:
    return Size(round(size.width * 2) / 2, round(size.height * 2) / 2)


def _close(one: float, other: float) -> bool:
    return abs(one - other) <= 2 * _NEAR + 20


def trim_value(trim: Size) -> str:
    """Return a size as a job file has it: by its name if that is what it is, to the digit."""
    name = name_of(trim)
    if name and trim.width <= trim.height:
        return quoted(name)
    return f"[{trim.width:.6g}, {trim.height:.6g}]"


def size_in_words(size: Size) -> str:
    """Return a size as it is told to people."""
    return f"{show(size.width)} × {show(size.height)} mm"
