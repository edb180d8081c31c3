"""Which page each delivered file is, once its ink is known: all names of all inks are numbered by one rule.

What counts versions, layers or exports is told from page numbers by holding the names against each other; words for
covers are placed round the rest. Whatever could be read in two ways becomes a question.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from imposer.intake.model import Cell, Question
from imposer.intake.named import Named
from imposer.intake.vocabulary import Place
from imposer.pages.names import from_zero, number_names, stated_range
from imposer.words import runs_of

_LETTER = re.compile(r"(?<![^\W\d_])([a-z])(?![^\W\d_])", re.IGNORECASE)
_WORDS = re.compile(r"[^\W\d_]+")


@dataclass(slots=True)
class Numbers:
    """The cells that are sure, and what must be said."""

    cells: list[Cell] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def number_pages(named: Sequence[Named]) -> Numbers:
    """Return which page of which ink every file is."""
    found = Numbers()
    single = [each for each in named if len(each.art.pages) == 1]
    claims: list[Cell] = []
    for ink in dict.fromkeys(each.ink for each in named):
        files = [each for each in named if each.ink == ink and len(each.art.pages) > 1]
        beside = [each for each in single if each.ink == ink]
        claims += _many_pages(ink, files, beside, found)
        if files and beside:
            single = [each for each in single if each.ink != ink]
    claims += _single_pages(single, found)
    _keep_unclaimed(claims, found)
    return found


def _many_pages(ink: str, files: Sequence[Named], beside: Sequence[Named], found: Numbers) -> list[Cell]:
    """Number files of several pages: one is an ink's whole booklet; more must state their ranges."""
    if not files:
        return []
    if len(files) == 1 and not beside:
        found.said.append(f"{files[0].art.shown} holds all pages of {ink}, in order")
        return [Cell(page=i + 1, ink=ink, art=files[0].art, index=i) for i in range(len(files[0].art.pages))]
    ranges = [stated_range(each.clues.without(each.by)[-1]) for each in files]
    fitting = [r for r, each in zip(ranges, files, strict=True) if r and r[1] - r[0] + 1 == len(each.art.pages)]
    if len(fitting) == len(files) and not beside:
        found.said.append(f"the files of {ink} state which pages they hold")
        return [
            Cell(page=first + i, ink=ink, art=each.art, index=i)
            for each, (first, _) in zip(files, fitting, strict=True)
            for i in range(len(each.art.pages))
        ]
    names = ", ".join(f"{each.art.shown} ({len(each.art.pages)})" for each in (*files, *beside))
    listed = ", ".join(f'"art/{each.art.shown}"' for each in (*files, *beside))
    found.questions.append(
        Question(
            f"{ink} comes in several files, {names}: in which order do their pages follow?", (f"pages = [{listed}]",)
        )
    )
    return []


def _single_pages(files: Sequence[Named], found: Numbers) -> list[Cell]:
    covers = [each for each in files if each.clues.cover]
    rest = [each for each in files if not each.clues.cover]
    numbers = _numbers(rest, found)
    if numbers is None:
        return []
    if numbers and from_zero(numbers):
        found.guesses.append("the numbers begin at 0, so 0 is taken as page 1, 1 as page 2, and so on")
        numbers = tuple(number + 1 for number in numbers)
    if _share_no_page(rest, numbers):
        words = "; ".join(
            f"{ink} has {runs_of(n for each, n in zip(rest, numbers, strict=True) if each.ink == ink)}"
            for ink in dict.fromkeys(each.ink for each in rest)
        )
        asks = f"the inks share no page ({words}): do the numbers count pages, or files, or the order of printing?"
        found.questions.append(Question(asks))
        return []
    if numbers and len(set(numbers)) == 1 and numbers[0] != 1 and not covers:
        named = rest[0].art.shown
        asks = f"{named} would be page {numbers[0]}, and no file another: is that its page, or does it count versions?"
        found.questions.append(Question(asks))
        return []
    placed = _covers(covers, numbers, found)
    pairs = [*zip(rest, numbers, strict=True), *placed]
    return [Cell(page=number, ink=each.ink, art=each.art) for each, number in pairs]


def _share_no_page(files: Sequence[Named], numbers: Sequence[int]) -> bool:
    """Tell whether no two inks meet on any page: then the numbers may count something else."""
    pages: defaultdict[str, set[int]] = defaultdict(set)
    for each, number in zip(files, numbers, strict=True):
        pages[each.ink].add(number)
    every = [number for found in pages.values() for number in found]
    return len(pages) > 1 and len(every) == len(set(every))


def _numbers(files: Sequence[Named], found: Numbers) -> tuple[int, ...] | None:
    """Return the page of every file by one rule for all; None where only a person knows."""
    if not files:
        return ()
    stems = [each.clues.without(each.by)[-1] for each in files]
    folders = [(each.clues.without(each.by)[-2] if len(each.clues.components) > 1 else "") for each in files]
    numbered = number_names(stems, covers=False)
    if numbered.by == "name" and not _one_alone(stems):
        found.said.append("page numbers are read from the files' names")
        return numbered.numbers
    by_folder = number_names(folders, covers=False) if all(folders) else None
    if by_folder is not None and by_folder.by == "name" and len(set(folders)) > 1:
        found.said.append("page numbers are read from the folders' names")
        return by_folder.numbers
    return _by_letters(stems, found) or _all_one_page(files, stems, folders, found)


def _one_alone(stems: Sequence[str]) -> bool:
    """Tell whether all names are one and the same, which numbers nothing."""
    return (
        len(stems) > 1 and len({" ".join(stem.split()) for stem in stems}) == 1 and not any(map(str.isdigit, stems[0]))
    )


def _by_letters(stems: Sequence[str], found: Numbers) -> tuple[int, ...] | None:
    letters = [_LETTER.findall(stem) for stem in stems]
    if any(len(each) != 1 for each in letters) or any(char.isdigit() for stem in stems for char in stem):
        return None
    pages = tuple(ord(each[0].lower()) - ord("a") + 1 for each in letters)
    if len(set(pages)) < 2 or sorted(set(pages)) != list(range(1, max(pages) + 1)):
        return None
    found.guesses.append("the letters in the names are taken as pages: a is page 1, b is page 2, and so on")
    return pages


def _all_one_page(
    files: Sequence[Named], stems: Sequence[str], folders: Sequence[str], found: Numbers
) -> tuple[int, ...] | None:
    """Take files that differ in nothing but their ink as one page; ask about all others."""
    alike = {(" ".join(_WORDS.findall(stem.casefold()))) for stem in stems}
    digits = any(char.isdigit() for name in (*stems, *folders) for char in name)
    once_each = len({each.ink for each in files}) == len(files)
    if len(alike) == 1 and once_each and not digits and len(set(folders)) <= len(files):
        found.said.append("the files differ in nothing but their ink: they are one page")
        return tuple(1 for _ in files)
    names = ", ".join(each.art.shown for each in files[:4]) + (f" and {len(files) - 4} more" if len(files) > 4 else "")
    found.questions.append(Question(f"page numbers are not clear from the names ({names}): which page is which?"))
    return None


def _covers(covers: Sequence[Named], numbers: Sequence[int], found: Numbers) -> list[tuple[Named, int]]:
    """Place the pages of a cover round the others, or ask."""
    if not covers:
        return []
    places = {each.clues.cover for each in covers if each.clues.cover}
    pages = _cover_pages(places, numbers)
    if pages is None:
        names = ", ".join(each.art.shown for each in covers[:4])
        inside = runs_of(sorted(set(numbers)))
        asks = f"{names} and pages {inside}: does the inside count from 1, or is the cover page 1?"
        found.questions.append(Question(asks))
        return []
    words = ", ".join(f"{place} is page {pages[place]}" for place in pages if place in places)
    found.guesses.append(f"words for covers are placed round the rest: {words}")
    return [(each, pages[each.clues.cover]) for each in covers if each.clues.cover]


def _cover_pages(places: set[Place], numbers: Sequence[int]) -> dict[Place, int] | None:
    """Return the page of every place of a cover; None where the inside may count from 1."""
    front: dict[Place, int] = {"front": 1, "inside front": 2}
    if not numbers:
        return {**front, "inside back": 3, "back": 4}
    if any(front[place] in numbers for place in places if place in front):
        return None
    last = max(numbers)
    if "inside back" in places:
        return {**front, "inside back": last + 1, "back": last + 2}
    if "back" not in places:
        return front
    # A booklet has a multiple of four pages: that tells whether the inside of the back cover is blank.
    return next(({**front, "back": back} for back in (last + 1, last + 2) if back % 4 == 0), None)


def _keep_unclaimed(claims: Sequence[Cell], found: Numbers) -> None:
    """Keep cells that one file claims; two for one cell are a question."""
    by_cell: defaultdict[tuple[int, str], list[Cell]] = defaultdict(list)
    for cell in claims:
        by_cell[cell.page, cell.ink].append(cell)
    for (page, ink), cells in sorted(by_cell.items()):
        if len(cells) == 1:
            found.cells.append(cells[0])
        else:
            names = " and ".join(cell.place for cell in cells)
            found.questions.append(Question(f"{names} are both page {page} in {ink}: which one is right?"))
