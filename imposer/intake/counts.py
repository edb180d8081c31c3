"""Whether numbers in names count pages at all: a program's, a camera's or a printer's count becomes a question."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from imposer.intake.answers import inks_of_pages, named_in_short, offered
from imposer.intake.covers import counted_with_a_word
from imposer.intake.model import Question
from imposer.intake.named import Named
from imposer.intake.vocabulary import PROGRAM_WORDS
from imposer.words import runs_of

#: From this number on, a count that no file begins is asked about: it may be a camera's, or hold an issue's number. A
#: cover that is still to come leaves out four pages at most. Our own choice.
_HIGH_COUNT = 6
#: A page this far beyond so many times the pages sent is asked about. Our own choice.
_FAR, _FAR_TIMES = 16, 4
#: Fewer pages may well be those that an ink is on. Our own choice.
_FEWEST_OF_A_RUN = 3
#: A booklet has a multiple of so many pages.
_PAGES_OF_A_SHEET = 4


def doubt_of_count(files: Sequence[Named], numbers: Sequence[int], last: int, *, aside: bool) -> Question | None:
    """Return what must be asked before numbers are taken as pages; None if nothing speaks against it.

    Args:
        files: the files, each of one page.
        numbers: theirs.
        last: the last page that files of several pages hold, 0 if there are none.
        aside: whether there are pages without a number, such as those of a cover, which may come before these.
    """
    if not numbers:
        return None
    return (
        counted_with_a_word(files, numbers)
        or _shifted(files, numbers)
        or _share_no_page(files, numbers)
        or (None if aside else _lone_number(files, numbers))
        or _no_number(files, last)
        or _high_count(files, numbers, last)
        or (None if aside or last else _of_a_program(files, numbers))
    )


def _by_ink(files: Sequence[Named], numbers: Sequence[int]) -> dict[str, list[int]]:
    """Return the numbers of each ink's files."""
    found: dict[str, list[int]] = {}
    for each, number in zip(files, numbers, strict=True):
        found.setdefault(each.ink, []).append(number)
    return found


def two_counts(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask if one ink begins at 0 and another, without a 0, goes beyond its last: each may have a count of its own."""
    by_ink = _by_ink(files, numbers)
    zeros = [ink for ink, own in by_ink.items() if 0 in own]
    last = max(max(by_ink[ink]) for ink in zeros)
    beyond = [ink for ink, own in by_ink.items() if 0 not in own and max(own) > last]
    if not beyond:
        return None
    asks = (
        f"{zeros[0]} is numbered {runs_of(sorted(by_ink[zeros[0]]))} and {beyond[0]} "
        f"{runs_of(sorted(by_ink[beyond[0]]))}: does each count its pages in its own way, or all from 0?"
    )
    pairs = list(zip(files, numbers, strict=True))
    own_way = inks_of_pages((each, number + (each.ink in zeros)) for each, number in pairs)
    return Question(asks, offered(own_way, inks_of_pages((each, number + 1) for each, number in pairs)))


def _share_no_page(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask if no two inks meet on any page: then the numbers may count something else."""
    by_ink = _by_ink(files, numbers)
    every = [number for own in by_ink.values() for number in set(own)]
    if len(by_ink) < 2 or len(every) > len(set(every)):
        return None
    words = "; ".join(f"{ink} has {runs_of(sorted(own))}" for ink, own in by_ink.items())
    asks = f"the inks share no page ({words}): do the numbers count pages, or files, or the order of printing?"
    return Question(asks, _from_one_or_as_numbered(files, numbers))


def _from_one_or_as_numbered(files: Sequence[Named], numbers: Sequence[int]) -> tuple[str, ...]:
    """Return the lines for each ink counted from page 1 on, and for pages as they are numbered."""
    ranks = {ink: sorted(set(own)) for ink, own in _by_ink(files, numbers).items()}
    pairs = list(zip(files, numbers, strict=True))
    each_from_one = inks_of_pages((each, ranks[each.ink].index(number) + 1) for each, number in pairs)
    return offered(each_from_one, inks_of_pages(pairs))


def _shifted(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask if two inks have equally many pages without a gap, but from another number on: a scanner may have counted."""
    by_ink = {ink: sorted(own) for ink, own in _by_ink(files, numbers).items()}
    runs = {ink: own for ink, own in by_ink.items() if own == list(range(own[0], own[0] + len(own)))}
    for one, other in itertools.combinations(runs, 2):
        if len(runs[one]) == len(runs[other]) >= _FEWEST_OF_A_RUN and runs[one] != runs[other]:
            words = f"{one} has {runs_of(runs[one])}, {other} {runs_of(runs[other])}"
            asks = f"two inks have equally many files from different numbers on ({words}): do the numbers count pages?"
            return Question(asks, _from_one_or_as_numbered(files, numbers))
    return None


def _lone_number(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    if len(set(numbers)) != 1 or numbers[0] == 1:
        return None
    shown = files[0].art.shown
    asks = f"{shown} would be page {numbers[0]}, and no file another: is that its page, or does it count versions?"
    as_first, as_numbered = (inks_of_pages((each, page) for each in files) for page in (1, numbers[0]))
    return Question(asks, offered(as_first, as_numbered))


def _high_count(files: Sequence[Named], numbers: Sequence[int], last: int) -> Question | None:
    """Ask about a count that begins late, a camera's or one with an issue's number, or that runs far beyond."""
    if not numbers or last:
        return None
    first, shown = min(numbers), runs_of(sorted(set(numbers)))
    if first >= _HIGH_COUNT:
        asks = f"the names number {shown}, and no file is page 1: is {first} the first page?"
        pairs = list(zip(files, numbers, strict=True))
        shifted = inks_of_pages((each, number - first + 1) for each, number in pairs)
        return Question(asks, offered(shifted, _ranked(files, numbers), inks_of_pages(pairs)))
    if max(numbers) > _FAR + _FAR_TIMES * len(set(numbers)):
        asks = f"the names number {shown}, far more than there are files: do the numbers count pages?"
        return Question(asks, _from_one_or_as_numbered(files, numbers))
    return None


def _no_number(files: Sequence[Named], last: int) -> Question | None:
    """Ask which page a file is that has no number where those of other inks hold a whole booklet."""
    if last <= 1 or any(char.isdigit() for each in files for char in (*each.stem, *"".join(each.folders))):
        return None
    names = named_in_short(each.art.shown for each in files)
    asks = f"{names}: which of the {last} pages is it? Its name has no number"
    return Question(asks, offered(*(inks_of_pages((each, page) for each in files) for page in (1, last))))


def _of_a_program(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask about a count that leaves out page 1, or many pages, or any if it is one of a program: "Untitled-3"."""
    distinct = set(numbers)
    missing = max(numbers) - len(distinct)
    if not missing or len(distinct) <= _FEWEST_OF_A_RUN:
        return None
    whole = 1 not in distinct and len(distinct) % _PAGES_OF_A_SHEET == 0 and missing == min(numbers) - 1
    by_program = all(set(each.clues.other_words) & PROGRAM_WORDS for each in files)
    if not (whole or by_program or missing > len(distinct)):
        return None
    shown = runs_of(sorted(distinct))
    asks = f"the names number {shown}, and no file is page {runs_of(_holes(distinct))}: do the numbers count pages?"
    return Question(asks, offered(_ranked(files, numbers), *_from_one_or_as_numbered(files, numbers)))


def _holes(numbers: set[int]) -> list[int]:
    return [page for page in range(1, max(numbers)) if page not in numbers]


def _ranked(files: Sequence[Named], numbers: Sequence[int]) -> str:
    """Return the lines for files as pages in the order of their numbers, none left out."""
    ranks = sorted(set(numbers))
    return inks_of_pages((each, ranks.index(number) + 1) for each, number in zip(files, numbers, strict=True))
