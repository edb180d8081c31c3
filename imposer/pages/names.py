"""Page numbers from file names.

Names go in, a number for each comes out, with a finding wherever a person should look. No file is touched: this is a
matter of strings, and of what artists and their programs put into them.

A number here is a run of digits worth 0 … 999. Higher ones are years, dates and camera counters; colours such as
`#d04a6a` are no numbers at all. The first of these rules that gives every name one number, and not one number to all,
decides:

1. every name has exactly one number;
2. every name has exactly one number after a word for page (`p01`, `page 1`, `Seite 3`, `pág. 2`);
3. every name has exactly one number once those that count versions and copies are left out (`v3`, `final2`, `copy 2`,
   `(1)`);
4. all names have equally many numbers, and exactly one of them varies (`myzine2_p01`, `myzine2_p02`: the second).

Otherwise the files are taken in natural order (2 before 10), and a finding says so. Where all files have the same name,
the folders' names are read instead (`page01/blue.png`). A single name is judged by rules 1 to 3 alone: nothing varies.

Names without a number that hold a word for a page of the cover (`front`, `inside back`, `U4`) mean that page, if all
other names are numbered by the rules. The back is counted from the end: -1 is the last page, which only the whole table
knows.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Literal

from imposer.errors import one_line
from imposer.findings import Finding
from imposer.pages.cover_words import cover_page

#: Higher numbers are no page numbers: no booklet that is printed this way has a thousand pages. Common practice.
HIGHEST = 999

_DIGITS = re.compile(r"\d+")
_RUN = re.compile(r"(\d+)")
_SUFFIX = re.compile(r"(?<=[^/])\.[^./]*$")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}(?![0-9a-fA-F])")
#: Words for page in the languages that art was seen in; "p" only where it stands alone before its number.
_PAGE_WORD = re.compile(
    r"(?<![^\W\d_])(?:pages?|pgs?|p|pp|seite|página|pagina|pág|pag|paginas|páginas|bladzijde|blz|side|sida|strona|str)"
    r"[\s._-]*(\d+)",
    re.IGNORECASE,
)
#: Words whose number counts versions and copies, as a pattern chooses among them.
VERSION_WORDS = "v|ver|vers|version|rev|final|draft|copy|copia|kopie|copie|kopia"
_VERSION = re.compile(rf"(?<![^\W\d_])(?:{VERSION_WORDS})[\s._-]*\d+|\(\d+\)", re.IGNORECASE)
_NOT_LETTERS = re.compile(r"[\W\d_]+")


@dataclass(frozen=True, slots=True)
class Numbering:
    """The page number of each name, in the order the names were given."""

    numbers: tuple[int, ...]
    #: Whether the names gave the numbers, or the order of the names did.
    by: Literal["name", "order"]
    #: What a person should know about it; page and ink are not filled in.
    findings: tuple[Finding, ...] = ()


def natural_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return the key that sorts names as people count: 2 before 10, without regard to case.

    >>> sorted(["10.png", "b2.png", "2.png", "B1.png"], key=natural_key)
    ['2.png', '10.png', 'B1.png', 'b2.png']
    """
    stem = _SUFFIX.sub("", unicodedata.normalize("NFC", name).casefold())
    key = [_sort_part(part) for part in _RUN.split(stem) if part]
    # What ends here comes before what goes on; the name itself makes the order one and the same.
    return (*key, (-1, 0, name))


def _sort_part(part: str) -> tuple[int, int, str]:
    """Return what sorts a run of digits by its worth, before all text; a run may be too long to be made a number."""
    digits = _bare(part)
    return (0, len(digits), digits) if digits else (1, 0, part)


def number_names(names: Sequence[str], *, covers: bool = True) -> Numbering:
    """Return the page numbers of one ink's files; -1 and -2 are the last page and the last but one.

    Args:
        names: Paths below the job's folder with "/" between folders, in the order that counts if the names do not tell.
        covers: Whether words for covers tell pages.

    >>> number_names(["black/p01.png", "black/p03.png"]).numbers
    (1, 3)
    >>> number_names(["myzine2_01.png", "myzine2_02.png"]).numbers
    (1, 2)
    >>> number_names(["front.png", "02.png", "03.png", "back.png"]).numbers
    (1, 2, 3, -1)
    >>> number_names(["a.png", "b.png"]).by
    'order'
    """
    stems = tuple(_stem(name) for name in names)
    with_covers = _with_covers(stems) if covers else None
    if with_covers:
        return Numbering(with_covers, "name")
    for texts in (_folders_of_alike(names, stems), stems):
        for rule in _RULES:
            found = rule(texts) if texts else None
            # A number after a word for page is one, even if every name has the same: then all claim that page.
            stated = rule is _BY_PAGE_WORD
            if found is not None and (stated or len(found) == 1 or len(set(found)) > 1 or _alike(texts)):
                return Numbering(found, "name")
    return Numbering(tuple(range(1, len(names) + 1)), "order", _order_findings(names, stems))


def _with_covers(stems: Sequence[str]) -> tuple[int, ...] | None:
    """Return the numbers of names of which some mean pages of the cover; None if none does, or not all are told."""
    covers = {place: page for place, stem in enumerate(stems) if (page := _cover_page(stem)) is not None}
    others = [stem for place, stem in enumerate(stems) if place not in covers]
    if not covers:
        return None
    told = number_names(others, covers=False)
    # Where a count begins at zero, that page is the cover: the words and the numbers do not go together.
    if others and (told.by == "order" or from_zero(told.numbers)):
        return None
    numbers = iter(told.numbers)
    return tuple(covers[place] if place in covers else next(numbers) for place in range(len(stems)))


def _cover_page(stem: str) -> int | None:
    """Return the page of the cover that a name means, if it holds no page number beside the words."""
    page = cover_page(stem)
    rest = re.sub(r"(?<![^\W_])u[1-4](?![^\W_])", " ", _without_colours(_VERSION.sub(" ", stem)), flags=re.IGNORECASE)
    return None if _all_numbers(rest) else page


def from_zero(numbers: Sequence[int]) -> bool:
    """Tell whether the count begins at zero, so that every number means the page after it.

    >>> from_zero([0, 1, 2]), from_zero([1, 2])
    (True, False)
    """
    return 0 in numbers


def stated_range(name: str) -> tuple[int, int] | None:
    """Return the first and last page that a file of several pages states in its name, if it states just these two.

    >>> stated_range("inside 08-24.pdf"), stated_range("inside.pdf")
    ((8, 24), None)
    """
    numbers = _all_numbers(_stem(name))
    return (numbers[0], numbers[1]) if len(numbers) == 2 and numbers[0] < numbers[1] else None


def twin_names(names: Sequence[str]) -> tuple[str, str] | None:
    """Return the first two names that differ in nothing but case and ending; None if there are none.

    >>> twin_names(["moth.png", "BLUE.png", "blue.tif"])
    ('BLUE.png', 'blue.tif')
    """
    seen: dict[str, str] = {}
    for name in names:
        stem = _SUFFIX.sub("", unicodedata.normalize("NFC", name).casefold())
        if stem in seen:
            return seen[stem], name
        seen[stem] = name
    return None


def stated_pages(name: str) -> tuple[int, ...]:
    """Return the one or two pages that a file of single pages and spreads states; nothing if it is not clear.

    >>> stated_pages("02-03_blue.png"), stated_pages("04.png"), stated_pages("zine 2 p 5.png")
    ((2, 3), (4,), ())
    """
    numbers = _all_numbers(_stem(name))
    follow = len(numbers) == 2 and numbers[1] == numbers[0] + 1
    return numbers if len(numbers) == 1 or follow else ()


def _stem(name: str) -> str:
    return unicodedata.normalize("NFC", PurePosixPath(name).stem)


def _folders_of_alike(names: Sequence[str], stems: Sequence[str]) -> tuple[str, ...]:
    """Return the names of the folders if they must tell the pages, for all files have one name; else nothing.

    The folder of a single file tells only what it states in words: `page02/red.png` is page 2, `2/red.png` is not.
    """
    if len({stem.casefold() for stem in stems}) > 1:
        return ()
    folders = tuple(unicodedata.normalize("NFC", PurePosixPath(name).parent.name) for name in names)
    if len(names) == 1:
        return folders if not _all_numbers(stems[0]) and len(_after_page_words(folders[0])) == 1 else ()
    return folders if len(set(folders)) == len(names) else ()


def _without_colours(text: str) -> str:
    return _COLOUR.sub(" ", text)


def _bare(text: str) -> str:
    """Return digits without leading zeros ("0" for zero); empty if the text is not digits."""
    return (text.lstrip("0") or "0") if text.isdecimal() else ""


def _all_numbers(text: str) -> tuple[int, ...]:
    """Return the numbers of a text that could be page numbers."""
    found = (_bare(digits) for digits in _DIGITS.findall(_without_colours(text)))
    return tuple(int(digits) for digits in found if len(digits) <= len(str(HIGHEST)))


def _after_page_words(text: str) -> tuple[int, ...]:
    return tuple(number for digits in _PAGE_WORD.findall(text) for number in _all_numbers(digits))


def without_versions(text: str) -> str:
    """Return a name without what counts versions and copies.

    >>> without_versions("moth v3 p2").split()
    ['moth', 'p2']
    """
    return _VERSION.sub(" ", text)


def _without_versions(text: str) -> tuple[int, ...]:
    return _all_numbers(without_versions(text))


def _one_each(numbers_of: Callable[[str], tuple[int, ...]]) -> Callable[[Sequence[str]], tuple[int, ...] | None]:
    """Make the rule that every text has exactly one number of a kind."""

    def rule(texts: Sequence[str]) -> tuple[int, ...] | None:
        found = [numbers_of(text) for text in texts]
        return tuple(numbers[0] for numbers in found) if all(len(numbers) == 1 for numbers in found) else None

    return rule


def _the_one_that_varies(texts: Sequence[str]) -> tuple[int, ...] | None:
    """Apply rule 4."""
    for numbers_of in (_all_numbers, _without_versions):
        found = [numbers_of(text) for text in texts]
        if len({len(numbers) for numbers in found}) != 1:
            continue
        columns = list(zip(*found, strict=True))
        varying = [column for column in columns if len(set(column)) > 1]
        if len(varying) == 1:
            return varying[0]
    return None


_BY_PAGE_WORD = _one_each(_after_page_words)
_RULES: tuple[Callable[[Sequence[str]], tuple[int, ...] | None], ...] = (
    _one_each(_all_numbers),
    _BY_PAGE_WORD,
    _one_each(_without_versions),
    _the_one_that_varies,
)


def _letters(text: str) -> str:
    """Return the letters of a text alone: what is left to tell two names with the same numbers apart."""
    return _NOT_LETTERS.sub("", text).casefold()


def _alike(texts: Sequence[str]) -> bool:
    """Tell whether names differ in nothing but case, zeros and separators: then they claim the same page."""
    return len({_letters(text) for text in texts}) == 1


def _order_findings(names: Sequence[str], texts: Sequence[str]) -> tuple[Finding, ...]:
    """Return the finding that the order of the names decided, and why their numbers did not."""
    if len(names) < 2:
        return ()
    numbers = [_all_numbers(text) for text in texts]
    without = [name for name, found in zip(names, numbers, strict=True) if not found]
    if len(without) == len(names):
        why, level = "no name holds a page number", "note"
    elif without:
        why, level = f"{_some(without)} hold{'s' if len(without) == 1 else ''} none", "warning"
    else:
        why, level = "the names hold several numbers, or all the same one", "warning"
    return (
        Finding(
            rule="page-order",
            level="note" if level == "note" else "warning",
            message=f"page numbers are not clear from the names ({why}); files are taken in this order: {_some(names)}",
            mend="give every file its page number, such as p01, or list the files in order in the job file",
        ),
    )


def _some(names: Sequence[str]) -> str:
    """Write the first names of many."""
    shown = ", ".join(one_line(PurePosixPath(name).name) for name in names[:3])
    return f"{shown} and {len(names) - 3} more" if len(names) > 3 else shown
