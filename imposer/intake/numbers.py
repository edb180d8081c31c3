"""Which page each delivered file is, once its ink is known: all names of all inks are numbered by one rule.

What counts versions, layers or exports is told from page numbers by holding the names against each other; words for
covers are placed round the rest. Whatever could be read in two ways becomes a question.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from imposer.intake.answers import ART, ink_of_files, ink_of_pages, named_in_short, place_of, quoted
from imposer.intake.delivery import Delivered
from imposer.intake.model import Cell, Question
from imposer.intake.named import Named
from imposer.intake.ranges import stated_places, states_others
from imposer.intake.vocabulary import Place
from imposer.pages.names import from_zero, number_names
from imposer.words import runs_of

_LETTER = re.compile(r"(?<![^\W\d_])([a-z])(?![^\W\d_])", re.IGNORECASE)
#: Pages that two files claim are asked about one by one up to so many.
_MOST_ASKED = 2
#: From this number on, a count that no file begins is asked about: it may hold an issue's number. Our own choice.
_HIGH_COUNT = 20
_WORDS = re.compile(r"[^\W\d_]+")


@dataclass(slots=True)
class Numbers:
    """The cells that are sure, and what must be said."""

    cells: list[Cell] = field(default_factory=list)
    #: What several files claim.
    contested: list[Cell] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    #: The question which page is which, where each file is one: of no weight where it is two side by side.
    unclear: list[Question] = field(default_factory=list)


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
    claims += _single_pages(single, max((cell.page for cell in claims), default=0), found)
    _keep_unclaimed(_of_one_length(claims, named, found), found)
    return found


def _many_pages(ink: str, files: Sequence[Named], beside: Sequence[Named], found: Numbers) -> list[Cell]:
    """Number files of several pages: by the pages their names state; one alone may be an ink's whole booklet."""
    if not files:
        return []
    stems = [each.clues.without(each.by)[-1] for each in files]
    stated = [stated_places(stem, len(each.art.pages)) for stem, each in zip(stems, files, strict=True)]
    if not beside and all(stated):
        for each, pages in zip(files, stated, strict=True):
            found.guesses.append(f"{each.art.shown} is taken as {_pages(pages or ())} of {ink}, as its name states")
        return [
            Cell(page=page, ink=ink, art=each.art, index=index)
            for each, pages in zip(files, stated, strict=True)
            for index, page in enumerate(pages or ())
        ]
    if len(files) == 1 and not beside and not states_others(stems[0], len(files[0].art.pages)):
        return [Cell(page=i + 1, ink=ink, art=files[0].art, index=i) for i in range(len(files[0].art.pages))]
    every = [each.art for each in (*files, *beside)]
    if len(every) == 1:
        held = len(every[0].pages)
        asks = f"{every[0].shown} has {held} pages and its name states others: which pages of {ink} are they?"
        found.questions.append(Question(asks, (_from_the_first(ink, every[0]),)))
        return []
    names = ", ".join(f"{art.shown} ({len(art.pages)})" for art in every)
    asks = f"{ink} comes in several files, {names}: in which order do their pages follow?"
    found.questions.append(Question(asks, (ink_of_files(ink, every),)))
    return []


def _of_one_length(claims: Sequence[Cell], named: Sequence[Named], found: Numbers) -> list[Cell]:
    """Ask which pages the one file of an ink holds if it has fewer than the booklet and its name states none."""
    last = max((cell.page for cell in claims), default=0)
    asked: set[str] = set()
    for ink in dict.fromkeys(each.ink for each in named):
        own = [cell for cell in claims if cell.ink == ink]
        files = {cell.art.shown for cell in own}
        if len(files) != 1 or len(own) < 2 or [cell.page for cell in own] != [cell.index + 1 for cell in own]:
            continue
        art = own[0].art
        if len(own) == last or stated_places(_stem_of(art, named), len(own)) is not None:
            found.said.append(f"{art.shown} holds all pages of {ink}, in order")
            continue
        asked.add(ink)
        asks = f"{art.shown} has {len(own)} pages, but the booklet has {last}: which pages of {ink} are they?"
        found.questions.append(Question(asks, tuple(_ways_to_place(ink, art, last))))
    return [cell for cell in claims if cell.ink not in asked]


def _stem_of(art: Delivered, named: Sequence[Named]) -> str:
    return next(each.clues.without(each.by)[-1] for each in named if each.art.shown == art.shown)


def _ways_to_place(ink: str, art: Delivered, last: int) -> Iterator[str]:
    """Give the likely places of a file with fewer pages than the booklet: from the first on; as its cover."""
    count = len(art.pages)
    yield _from_the_first(ink, art)
    covers = {2: (1, last), 4: (1, 2, last - 1, last)}
    if count in covers and count < last:
        yield ink_of_pages(ink, {page: place_of(art, index) for index, page in enumerate(covers[count])})


def _from_the_first(ink: str, art: Delivered) -> str:
    return ink_of_pages(ink, {index + 1: place_of(art, index) for index in range(len(art.pages))})


def _pages(pages: Sequence[int]) -> str:
    return f"page{'s' if len(pages) > 1 else ''} {runs_of(pages)}"


def _single_pages(files: Sequence[Named], last: int, found: Numbers) -> list[Cell]:
    """Number files of one page each; `last` is the last page that other files hold, 0 if there are none."""
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
    if numbers and min(numbers) >= _HIGH_COUNT and min(numbers) > 2 * len(set(numbers)):
        asks = f"the names number {runs_of(numbers)}, and no file is page 1: is {min(numbers)} the first page?"
        shifted = {n - min(numbers) + 1: each.art.shown for each, n in zip(rest, numbers, strict=True)}
        one_ink = len({each.ink for each in rest}) == 1
        found.questions.append(Question(asks, (ink_of_pages(rest[0].ink, shifted),) if one_ink else ()))
        return []
    placed = _covers(covers, rest, numbers, last, found)
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
    # With an ending, for a dot in a name is no ending: "p.1".
    numbered = number_names([f"{stem}.art" for stem in stems], covers=False)
    if numbered.by == "name" and not _one_alone(stems):
        found.said.append("page numbers are read from the files' names")
        return numbered.numbers
    by_folder = number_names([f"{folder}.art" for folder in folders], covers=False) if all(folders) else None
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
    names = named_in_short(each.art.shown for each in files)
    asks = f"page numbers are not clear from the names ({names}): which page is which?"
    found.unclear.append(Question(asks, _in_order(files)))
    return None


def _in_order(files: Sequence[Named]) -> tuple[str, ...]:
    """Return the lines that take every ink's files in the order of their names, one proposal for all inks."""
    by_ink: defaultdict[str, dict[int, str]] = defaultdict(dict)
    for each in files:
        by_ink[each.ink][len(by_ink[each.ink]) + 1] = each.art.shown
    return ("\n".join(ink_of_pages(ink, places) for ink, places in by_ink.items()),)


def _covers(
    covers: Sequence[Named], rest: Sequence[Named], numbers: Sequence[int], last: int, found: Numbers
) -> list[tuple[Named, int]]:
    """Place the pages of a cover round the others, or ask."""
    if not covers:
        return []
    places = {each.clues.cover for each in covers if each.clues.cover}
    # Beside files that hold the whole booklet in another ink, a cover is its first and last pages.
    whole: dict[Place, int] = {"front": 1, "inside front": 2, "inside back": last - 1, "back": last}
    pages = whole if last >= max([4, *numbers]) else _cover_pages(places, numbers)
    if pages is None:
        names = named_in_short(each.art.shown for each in covers)
        inside = runs_of(sorted(set(numbers)))
        asks = f"{names} and pages {inside}: does the inside count from 1, or is the cover page 1?"
        found.questions.append(Question(asks, _cover_answers(covers, rest, numbers)))
        return []
    words = ", ".join(f"{place} is page {pages[place]}" for place in pages if place in places)
    found.guesses.append(f"words for covers are placed round the rest: {words}")
    return [(each, pages[each.clues.cover]) for each in covers if each.clues.cover]


def _cover_answers(covers: Sequence[Named], rest: Sequence[Named], numbers: Sequence[int]) -> tuple[str, ...]:
    """Return the lines for an inside that counts from 1, laid inside its cover, whose inside may be blank."""
    places = {each.clues.cover for each in covers}
    before = 2 if places & {"inside front"} else 1
    answers = []
    for moved in dict.fromkeys((before, 2)):
        last = max(numbers) + moved
        back = next(page for page in range(last + 1, last + 5) if page % 4 == 0)
        at = {"front": 1, "inside front": 2, "inside back": back - 1, "back": back}
        by_ink: defaultdict[str, dict[int, str]] = defaultdict(dict)
        for each, number in zip(rest, numbers, strict=True):
            by_ink[each.ink][number + moved] = each.art.shown
        for each in covers:
            by_ink[each.ink][at[each.clues.cover or "front"]] = each.art.shown
        answers.append("\n".join(ink_of_pages(ink, held) for ink, held in by_ink.items()))
    return tuple(answers)


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
    """Keep cells that one file claims; two for one cell are a question, and one for all where there are many."""
    by_cell: defaultdict[tuple[int, str], list[Cell]] = defaultdict(list)
    for cell in claims:
        by_cell[cell.page, cell.ink].append(cell)
    contested: defaultdict[str, list[list[Cell]]] = defaultdict(list)
    for (_, ink), cells in sorted(by_cell.items()):
        if len(cells) == 1:
            found.cells.append(cells[0])
        else:
            found.contested += cells
            contested[ink].append(cells)
    for ink, pages in contested.items():
        found.questions += [_many_contested(ink, pages)] if len(pages) > _MOST_ASKED else map(_contested, pages)


def _contested(cells: Sequence[Cell]) -> Question:
    page, ink = cells[0].page, cells[0].ink
    names = " and ".join(cell.place for cell in cells)
    lines = tuple(f'# of ink "{ink}":\n[ink.pages]\n{page} = {quoted(f"{ART}/{cell.place}")}' for cell in cells)
    return Question(f"{names} are both page {page} in {ink}: which one is right?", lines)


def _many_contested(ink: str, pages: Sequence[Sequence[Cell]]) -> Question:
    first = pages[0]
    names = " and ".join(cell.place for cell in first)
    numbers = runs_of(cells[0].page for cells in pages)
    asks = (
        f"pages {numbers} of {ink} have two files each, such as {names}, both page {first[0].page} in {ink}: "
        "are they two inks, or two versions?"
    )
    # Two cells at least claim each page.
    sides = [{cells[at].art.shown: cells[at].art for cells in pages} for at in (0, 1)]
    return Question(asks, tuple(ink_of_files(ink, list(files.values())) for files in sides))
