"""Which pages share a guide, which spreads do, and what the files are called. Zones in, groups out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from imposer.units import close
from imposer.words import number_of, runs_of
from imposer.write.page_guide.zones import GuidedPage, PageZones

#: Names of files stay shorter than this, so that any disk takes them.
_LONGEST = 48


@dataclass(frozen=True, slots=True, kw_only=True)
class PageGroup:
    """Pages whose zones are the same."""

    pages: tuple[GuidedPage, ...]
    #: What its files are called, without ending.
    name: str

    @property
    def zones(self) -> PageZones:
        """The zones of them all."""
        return self.pages[0].zones

    @property
    def numbers(self) -> tuple[int, ...]:
        """The pages, in order."""
        return tuple(each.page for each in self.pages)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadGroup:
    """Spreads whose two pages have the same zones each."""

    #: (left, right) as the open booklet shows them.
    spreads: tuple[tuple[GuidedPage, GuidedPage], ...]
    name: str

    @property
    def left(self) -> PageZones:
        """The zones of every left page."""
        return self.spreads[0][0].zones

    @property
    def right(self) -> PageZones:
        """The zones of every right page."""
        return self.spreads[0][1].zones

    @property
    def numbers(self) -> tuple[tuple[int, int], ...]:
        """The pages, left and right."""
        return tuple((left.page, right.page) for left, right in self.spreads)


def page_groups(pages: Iterable[GuidedPage]) -> tuple[PageGroup, ...]:
    """Put pages with the same zones together, in the order of their first pages."""
    found: dict[tuple[object, ...], list[GuidedPage]] = {}
    for each in pages:
        found.setdefault((each.part.name, *each.zones.key()), []).append(each)
    return tuple(
        PageGroup(pages=tuple(group), name=_page_name([each.page for each in group])) for group in found.values()
    )


def spread_groups(pages: Iterable[GuidedPage]) -> tuple[SpreadGroup, ...]:
    """Put spreads with the same zones together: an even page and the odd one after it whose spines meet."""
    by_number = {each.page: each for each in pages}
    found: dict[tuple[object, ...], list[tuple[GuidedPage, GuidedPage]]] = {}
    for number, page in by_number.items():
        following = by_number.get(number + 1)
        if number % 2 or following is None:
            continue
        facing = _facing(page, following)
        if facing is not None:
            left, right = facing
            key = (left.part.name, right.part.name, *left.zones.key(), *right.zones.key())
            found.setdefault(key, []).append(facing)
    return tuple(
        SpreadGroup(spreads=tuple(group), name=_spread_name([(a.page, b.page) for a, b in group]))
        for group in found.values()
    )


def _facing(page: GuidedPage, following: GuidedPage) -> tuple[GuidedPage, GuidedPage] | None:
    """Return two pages as left and right, if they face each other at their spines."""
    for left, right in ((page, following), (following, page)):
        if left.zones.spine == "right" and right.zones.spine == "left":
            alike = close(left.zones.trim.height, right.zones.trim.height)
            return (left, right) if alike else None
    return None


def _page_name(numbers: Sequence[int]) -> str:
    """Return the name of a group's files.

    >>> _page_name([3]), _page_name([1, 4, 5, 6]), _page_name(list(range(1, 90, 2)))
    ('page-3', 'pages-1_4-6', 'pages-1-and-44-more')
    """
    runs = runs_of(numbers).replace(", ", "_").replace("–", "-")
    name = f"page-{runs}" if len(numbers) == 1 else f"pages-{runs}"
    return name if len(name) <= _LONGEST else f"pages-{numbers[0]}-and-{len(numbers) - 1}-more"


def _spread_name(spreads: Sequence[tuple[int, int]]) -> str:
    """Return the name of a group of spreads.

    >>> _spread_name([(2, 3)]), _spread_name([(2, 3), (14, 15)])
    ('spread-2-3', 'spreads-2-3_14-15')
    """
    runs = "_".join(f"{min(pair)}-{max(pair)}" for pair in spreads)
    name = f"spread-{runs}" if len(spreads) == 1 else f"spreads-{runs}"
    first = f"{min(spreads[0])}-{max(spreads[0])}"
    return name if len(name) <= _LONGEST else f"spreads-{first}-and-{len(spreads) - 1}-more"


def in_words(group: PageGroup | SpreadGroup) -> str:
    """Name the pages of a group: "pages 1, 4–6", "spread 8–9"."""
    if isinstance(group, PageGroup):
        return f"{'page' if len(group.numbers) == 1 else 'pages'} {runs_of(group.numbers)}"
    pairs = ", ".join(f"{min(pair)}–{max(pair)}" for pair in group.numbers)
    return f"{'spread' if len(group.numbers) == 1 else 'spreads'} {pairs}"


def in_short(group: PageGroup | SpreadGroup, longest: int = 40) -> str:
    """Name the pages of a group, or the first and how many more there are."""
    words = in_words(group)
    if len(words) <= longest:
        return words
    more = len(group.numbers) - 1
    if isinstance(group, PageGroup):
        return f"page {group.numbers[0]} and {number_of(more, 'more', 'more')}"
    first = group.numbers[0]
    return f"spread {min(first)}–{max(first)} and {number_of(more, 'more', 'more')}"
