"""Which page each delivered file is, once its ink is known: all names of all inks are numbered by one rule.

What counts versions, layers or exports is told from page numbers by holding the names against each other; words for
covers are placed round the rest. Whatever could be read in two ways becomes a question.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Sequence

from imposer.intake.answers import inks_of_pages, named_in_short, offered
from imposer.intake.contested import keep_unclaimed
from imposer.intake.counts import doubt_of_count, two_counts
from imposer.intake.covers import counted_cover, place_covers
from imposer.intake.model import Cell, Question
from imposer.intake.named import Named, Numbers
from imposer.intake.several_pages import many_pages, of_one_length, without_a_first_page
from imposer.intake.versions import bare_name, count_only_versions, counted_in_brackets
from imposer.pages.names import HIGHEST, from_zero, number_names, without_versions

_LETTER = re.compile(r"(?<![^\W\d_])([a-z])(?![^\W\d_])", re.IGNORECASE)
#: Fewer pages may well be those that an ink is on. Our own choice.
_FEWEST_OF_A_RUN = 3
#: So many versions of one page are proposed one by one.
_MOST_VERSIONS = 4
_NUMBER = re.compile(r"\d+")


def number_pages(named: Sequence[Named], inks: Sequence[str] = ()) -> Numbers:
    """Return which page of which ink every file is; `inks` are the shop's, for proposals."""
    found = Numbers()
    single = [each for each in named if len(each.art.pages) == 1]
    claims: list[Cell] = []
    for ink in dict.fromkeys(each.ink for each in named):
        files = [each for each in named if each.ink == ink and len(each.art.pages) > 1]
        beside = [each for each in single if each.ink == ink]
        claims += many_pages(ink, files, beside, found)
        if files and beside:
            single = [each for each in single if each.ink != ink]
    claims += _single_pages(single, max((cell.page for cell in claims), default=0), found)
    claims = without_a_first_page(claims, named, found)
    keep_unclaimed(of_one_length(claims, named, found), named, inks, found)
    return found


def _single_pages(files: Sequence[Named], last: int, found: Numbers) -> list[Cell]:
    """Number files of one page each; `last` is the last page that other files hold, 0 if there are none."""
    covers = [each for each in files if each.clues.cover]
    rest = [each for each in files if not each.clues.cover]
    rest, unnumbered = _numbered_and_not(rest)
    numbers = _numbers(rest, found)
    if numbers is None:
        return []
    if numbers and _double(rest, numbers) and (doubt := counted_cover(rest, numbers)):
        found.unclear.append(doubt)
        return []
    if numbers and from_zero(numbers):
        if doubt := two_counts(rest, numbers):
            found.unclear.append(doubt)
            return []
        found.guesses.append("the numbers begin at 0, so 0 is taken as page 1, 1 as page 2, and so on")
        numbers = tuple(number + 1 for number in numbers)
    doubt = doubt_of_count(rest, numbers, last, aside=bool(covers or unnumbered))
    if doubt:
        found.unclear.append(doubt)
        return []
    placed = place_covers(covers, rest, numbers, last, found)
    if placed is None:
        return []
    pairs = [*zip(rest, numbers, strict=True), *placed]
    if unnumbered:
        found.unclear.append(_in_the_holes(pairs, unnumbered))
        if _may_come_first(pairs, unnumbered):
            return []
    return [Cell(page=number, ink=each.ink, art=each.art) for each, number in pairs]


def _numbered_and_not(files: Sequence[Named]) -> tuple[list[Named], list[Named]]:
    """Part files by whether their names hold a number, if those that do are more than a few, and more than the rest."""
    parted: tuple[list[Named], list[Named]] = ([], [])
    for each in files:
        names = without_versions(" ".join((*each.folders, each.stem)))
        parted[not any(letter.isdigit() for letter in names)].append(each)
    numbered, unnumbered = parted
    return parted if len(numbered) > max(len(unnumbered), _FEWEST_OF_A_RUN) else (list(files), [])


def _may_come_first(pairs: Sequence[tuple[Named, int]], unnumbered: Sequence[Named]) -> bool:
    """Tell whether files without a number may come before all others, since these count from 1 and lack none."""
    taken = {number for _, number in pairs}
    return 1 in taken and len({each.ink for each in unnumbered}) * (max(taken) - len(taken)) < len(unnumbered)


def _in_the_holes(pairs: Sequence[tuple[Named, int]], unnumbered: Sequence[Named]) -> Question:
    """Ask which pages files without a number are: those that are missing, or the last, in the order of their names."""
    names = named_in_short(each.art.shown for each in unnumbered)
    taken = {number for _, number in pairs}
    free = [page for page in range(1, max(taken) + len(unnumbered) + 1) if page not in taken]
    counted = _counted(unnumbered)
    placed = [*pairs, *((each, free[count - 1]) for each, count in counted)]
    before: list[tuple[Named, int]] = []
    if _may_come_first(pairs, unnumbered):
        most = max(count for _, count in counted)
        before = [*counted, *((each, number + most) for each, number in pairs)]
    one = len(unnumbered) == 1
    which = "has no number, but other files do: which page is it?" if one else "have no number: which pages are they?"
    return Question(f"{names} {which}", offered(inks_of_pages(before), inks_of_pages(placed), inks_of_pages(pairs)))


def _numbers(files: Sequence[Named], found: Numbers) -> tuple[int, ...] | None:
    """Return the page of every file by one rule for all; None where only a person knows."""
    if not files:
        return ()
    stems = [each.stem for each in files]
    if count_only_versions(stems):
        counted = counted_in_brackets(stems)
        if counted:
            found.guesses.append("the numbers in brackets count all files from 1 on, so they are taken as pages")
            return counted
        stems = [without_versions(stem) for stem in stems]
    # With an ending, for a dot in a name is no ending: "p.1".
    numbered = number_names([f"{stem}.art" for stem in stems], covers=False)
    by_name = numbered.numbers if numbered.by == "name" and not _one_alone(stems) else None
    if by_name and _count_something_else(files, by_name):
        by_name = None
    by_folder = _by_folders([each.folders for each in files])
    if by_name and by_folder and by_name != by_folder and not _double(files, by_folder):
        if not _double(files, by_name):
            found.unclear.append(_names_or_folders(files, by_name, by_folder))
            return None
        by_name = None
    if by_name:
        found.said.append("page numbers are read from the files' names")
        return by_name
    if by_folder:
        found.said.append("page numbers are read from the folders' names")
        return by_folder
    return _by_column(files, stems, found) or _by_letters(stems, found) or _all_one_page(files, stems, found)


def _by_folders(paths: Sequence[Sequence[str]]) -> tuple[int, ...] | None:
    """Read the numbers of folders, the nearest first that count something."""
    for level in range(1, min(map(len, paths)) + 1):
        numbered = number_names([f"{path[-level]}.art" for path in paths], covers=False)
        if numbered.by == "name" and len(set(numbered.numbers)) > 1:
            return numbered.numbers
    return None


def _count_something_else(files: Sequence[Named], numbers: Sequence[int]) -> bool:
    """Tell whether many files of an ink have one number while others have one of their own: no pages are sent so."""
    claims = Counter((each.ink, number) for each, number in zip(files, numbers, strict=True))
    return max(claims.values()) >= _FEWEST_OF_A_RUN and min(claims.values()) == 1


def _double(files: Sequence[Named], numbers: Sequence[int]) -> bool:
    """Tell whether two files of an ink have one number."""
    return len({(each.ink, number) for each, number in zip(files, numbers, strict=True)}) < len(files)


def _names_or_folders(files: Sequence[Named], by_name: Sequence[int], by_folder: Sequence[int]) -> Question:
    other = next(at for at in range(len(files)) if by_name[at] != by_folder[at])
    shown = files[other].art.shown
    asks = f"{shown} is page {by_name[other]} by its name and {by_folder[other]} by its folder: which one counts pages?"
    ways = (inks_of_pages(zip(files, numbers, strict=True)) for numbers in (by_folder, by_name))
    return Question(asks, offered(*ways))


def _one_alone(stems: Sequence[str]) -> bool:
    """Tell whether all names are one and the same, which numbers nothing."""
    return (
        len(stems) > 1 and len({" ".join(stem.split()) for stem in stems}) == 1 and not any(map(str.isdigit, stems[0]))
    )


def _by_column(files: Sequence[Named], stems: Sequence[str], found: Numbers) -> tuple[int, ...] | None:
    """Take the one number of each name that is not the same in all files of each ink: "1_yellow_3" is page 3."""
    rows = [[int(digits) for digits in _NUMBER.findall(stem)] for stem in stems]
    by_ink: defaultdict[str, list[list[int]]] = defaultdict(list)
    for each, row in zip(files, rows, strict=True):
        by_ink[each.ink].append(row)
    if len(by_ink) < 2 or len({len(row) for row in rows}) != 1 or max(map(len, by_ink.values())) < _FEWEST_OF_A_RUN:
        return None
    varying = [
        column
        for column in range(len(rows[0]))
        if any(len({row[column] for row in own}) > 1 for own in by_ink.values())
    ]
    if len(varying) != 1 or any(row[varying[0]] > HIGHEST for row in rows):
        return None
    found.guesses.append("numbers that are the same in all files of an ink are taken as no page numbers")
    return tuple(row[varying[0]] for row in rows)


def _by_letters(stems: Sequence[str], found: Numbers) -> tuple[int, ...] | None:
    letters = [_LETTER.findall(stem) for stem in stems]
    if any(len(each) != 1 for each in letters) or any(char.isdigit() for stem in stems for char in stem):
        return None
    pages = tuple(ord(each[0].lower()) - ord("a") + 1 for each in letters)
    if len(set(pages)) < 2 or sorted(set(pages)) != list(range(1, max(pages) + 1)):
        return None
    found.guesses.append("the letters in the names are taken as pages: a is page 1, b is page 2, and so on")
    return pages


def _all_one_page(files: Sequence[Named], stems: Sequence[str], found: Numbers) -> tuple[int, ...] | None:
    """Take files that differ in nothing but their ink as one page; ask about all others."""
    alike = {bare_name(stem) for stem in stems}
    # A number of a folder that is none of a version may be the page's: "2/black.png".
    named = (*stems, *(without_versions(folder) for each in files for folder in each.folders))
    digits = any(char.isdigit() for name in named for char in name)
    once_each = len({each.ink for each in files}) == len(files)
    if len(alike) == 1 and once_each and not digits:
        found.said.append("the files differ in nothing but their ink: they are one page")
        return tuple(1 for _ in files)
    names = named_in_short(each.art.shown for each in files)
    in_order = _in_order(files)
    if len(alike) == 1 and len({each.folders for each in files}) == 1:
        asks = f"{names} differ only in what counts versions or dates: are they pages, or versions of one page?"
        found.unclear.append(Question(asks, offered(*_one_version_each(files), in_order)))
    else:
        asks = f"page numbers are not clear from the names ({names}): which page is which?"
        found.unclear.append(Question(asks, offered(_each_ink_by_its_names(files, stems), in_order)))
    return None


def _each_ink_by_its_names(files: Sequence[Named], stems: Sequence[str]) -> str:
    """Return the lines for each ink numbered by its own names, if these all tell; "" if they do not."""
    numbers: dict[int, int] = {}
    for ink in dict.fromkeys(each.ink for each in files):
        own = [at for at, each in enumerate(files) if each.ink == ink]
        numbered = number_names([f"{stems[at]}.art" for at in own], covers=False)
        if numbered.by != "name" or min(numbered.numbers) < 1:
            return ""
        numbers |= dict(zip(own, numbered.numbers, strict=True))
    return inks_of_pages((each, numbers[at]) for at, each in enumerate(files))


def _in_order(files: Sequence[Named]) -> str:
    """Return the lines that take every ink's files in the order of their names, one proposal for all inks."""
    return inks_of_pages(_counted(files))


def _counted(files: Sequence[Named]) -> list[tuple[Named, int]]:
    """Return each file with the count of it among those of its ink, from 1."""
    counts: Counter[str] = Counter()
    counted = []
    for each in files:
        counts[each.ink] += 1
        counted.append((each, counts[each.ink]))
    return counted


def _one_version_each(files: Sequence[Named]) -> list[str]:
    """Return the lines for one page in each version, where there are few."""
    by_ink: defaultdict[str, list[Named]] = defaultdict(list)
    for each in files:
        by_ink[each.ink].append(each)
    most = max(map(len, by_ink.values()))
    if most > _MOST_VERSIONS:
        return []
    return [inks_of_pages((own[min(at, len(own) - 1)], 1) for own in by_ink.values()) for at in range(most)]
