"""Which pages a file of several pages holds, as its name states them: "3-5", "pages 1 and 8". Strings alone."""

from __future__ import annotations

import re

from imposer.pages.names import HIGHEST, without_versions

_RANGE = re.compile(r"(?<!\d)(\d{1,3})\s*(?:-|–|—|_to_|\bto\b|\bbis\b)\s*(?:p\.?\s*)?(\d{1,3})(?!\d)", re.IGNORECASE)
_LIST = re.compile(
    r"(?<!\d)\d{1,3}(?:\s*(?:,|\+|&|\band\b|\bund\b|\bu\.|\bet\b|\by\b|\be\b|\ben\b)\s*(?:p\.?\s*)?\d{1,3})+(?!\d)",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"\d+")


def stated_places(name: str, count: int) -> tuple[int, ...] | None:
    """Return the pages of a booklet that a file of `count` pages holds, in order; None if its name does not tell.

    A range or a list counts only if it has as many pages as the file.

    >>> stated_places("marigold 3-5", 3), stated_places("pages 1 and 8", 2)
    ((3, 4, 5), (1, 8))
    >>> stated_places("marigold 3-5", 8) is None
    True
    """
    text = without_versions(name)
    found = {
        tuple(range(int(first), int(last) + 1))
        for first, last in _RANGE.findall(text)
        if 1 <= int(first) < int(last) <= HIGHEST
    }
    found |= {tuple(map(int, _NUMBER.findall(listed[0]))) for listed in _LIST.finditer(text)}
    fitting = [pages for pages in found if len(pages) == count and list(pages) == sorted(set(pages)) and pages[0] >= 1]
    return fitting[0] if len(fitting) == 1 else None


def states_others(name: str, count: int) -> bool:
    """Tell whether a name states a range that is not that of a file of `count` pages from the first on."""
    ranges = [(int(first), int(last)) for first, last in _RANGE.findall(without_versions(name))]
    return any(0 < first < last <= HIGHEST and (first, last) != (1, count) for first, last in ranges)
