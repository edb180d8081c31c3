"""Cells that several files claim: never picked, but asked about, one by one or all at once."""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence

from imposer.intake.answers import ART, ink_of_pages, inks_of_pages, offered, one_of_inks_of_pages, quoted
from imposer.intake.clues import plain_word
from imposer.intake.model import Cell, Question
from imposer.intake.named import Named, Numbers
from imposer.intake.versions import kind_of
from imposer.intake.vocabulary import USUAL_WORDS
from imposer.pages.cover_words import cover_page
from imposer.words import runs_of

#: Pages that two files claim are asked about one by one up to so many.
_MOST_ASKED = 2
#: A number of a part before that of the page.
_CHAPTER = re.compile(
    r"(?<![^\W\d_])(?:ch|chap|chapter|part|kap|kapitel|teil|chapitre|cap|kapitola|rozdz)[\s._-]*\d", re.IGNORECASE
)
_LAST_NUMBER = re.compile(r"\d+(?=\D*$)")
_FIRST_NUMBER = re.compile(r"^(\D*)\d+")
#: More sorts of names than inks are ever sent in are titles of pages.
_MOST_SORTS, _FEWEST_OF_A_SORT = 4, 2
_SIDES = {1, -1}
_LEFT = frozenset({"left", "l", "links", "gauche", "izquierda", "sinistra", "leva", "lewa"})
_RIGHT = frozenset({"right", "r", "rechts", "droite", "derecha", "destra", "prava", "prawa"})
_NO_SORT = USUAL_WORDS | _LEFT | _RIGHT
_IN_WORDS = {2: "two", 3: "three", 4: "four"}


def keep_unclaimed(claims: Sequence[Cell], named: Sequence[Named], inks: Sequence[str], found: Numbers) -> None:
    """Keep cells that one file claims; several for one cell are a question, and one for all where there are many.

    Args:
        claims: every page of every file with the cell it would be.
        named: the files.
        inks: the shop's inks.
        found: added to.
    """
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
    if contested and (sides := _fronts_and_backs(claims, named) or _lefts_and_rights(claims, named)):
        found.questions.append(sides)
        found.contested += found.cells
        found.cells.clear()
        return
    if not contested and (sorts := _taking_turns(claims, named, inks)):
        found.questions.append(sorts)
        found.cells.clear()
        return
    for ink, pages in contested.items():
        if len(pages) <= _MOST_ASKED and not _never_named(ink, named):
            found.questions += map(_contested, pages)
            continue
        sure = {cell.page: cell.place for cell in found.cells if cell.ink == ink}
        plate = next(each.plate for each in named if each.ink == ink)
        others = [ink, *(other for other in inks if other != ink)]
        found.questions.append(_many_contested(others, pages, sure, plate, unnamed=_never_named(ink, named)))


def _taking_turns(claims: Sequence[Cell], named: Sequence[Named], inks: Sequence[str]) -> Question | None:
    """Ask about files of no named ink whose names are of a few sorts that take turns: each may be an ink."""
    if any(each.by or each.plate for each in named) or any(len(cell.art.pages) > 1 for cell in claims):
        return None
    sorts: dict[tuple[str, ...], dict[int, str]] = {}
    for cell in sorted(claims, key=lambda one: one.page):
        words = tuple(word for word in plain_word(_letters(cell.art.shown)).split() if word not in _NO_SORT)
        sorts.setdefault(words, {})[cell.page] = cell.place
    in_turn = list(sorts.values())
    if not 1 < len(in_turn) <= min(_MOST_SORTS, len(inks)) or min(map(len, in_turn)) < _FEWEST_OF_A_SORT:
        return None
    if all(max(one) < min(other) for one, other in itertools.pairwise(in_turn)):
        return None
    ink = claims[0].ink
    order = [ink, *(other for other in inks if other != ink)]
    apart = "\n".join(one_of_inks_of_pages([*order[at:], *order[:at]], held) for at, held in enumerate(in_turn))
    together = ink_of_pages(ink, {cell.page: cell.place for cell in claims})
    names = " and ".join(next(iter(held.values())) for held in in_turn)
    return Question(f"{names} and others name no ink: are they all one ink, or an ink each?", (together, apart))


def _never_named(ink: str, named: Sequence[Named]) -> bool:
    return any(each.ink == ink and each.by is None and each.plate is None for each in named)


def _fronts_and_backs(claims: Sequence[Cell], named: Sequence[Named]) -> Question | None:
    """Ask whether each number is a sheet with a front and a back, if names say so; None if they do not."""
    sided = _sided(claims, named, lambda letters: side if (side := _side(letters)) in _SIDES else None)
    if sided is None:
        return None
    first = next(cell for cell in claims if sum(c.page == cell.page and c.ink == cell.ink for c in claims) > 1)
    asks = (
        f"{first.art.shown} and others are fronts and backs of one number: are they sheets, so that the front of 1 is "
        "page 1 and its back page 2, and so on?"
    )
    return Question(asks, (inks_of_pages((each, 2 * sheet - (side == 1)) for (sheet, _, side), each in sided.items()),))


def _lefts_and_rights(claims: Sequence[Cell], named: Sequence[Named]) -> Question | None:
    """Ask whether each number is a spread, if all names say left or right; None if they do not."""
    sided = _sided(claims, named, _left_or_right)
    if sided is None:
        return None
    shown = next(each.art.shown for each in sided.values())
    asks = (
        f"{shown} and others are left and right pages of one number: are they spreads, and is the first right one "
        "page 1, or the first left one?"
    )
    first = min(number for number, *_ in sided)
    ways = (
        inks_of_pages((each, 2 * (number - first) + (side == 1) + before) for (number, _, side), each in sided.items())
        for before in _first_pages(sided, first)
    )
    return Question(asks, offered(*ways))


def _sided(
    claims: Sequence[Cell], named: Sequence[Named], side_of: Callable[[str], int | None]
) -> dict[tuple[int, str, int], Named] | None:
    """Return the files by number, ink and side; None if a name tells no side, or two files are one."""
    by_file = {each.art.shown: each for each in named}
    sided: dict[tuple[int, str, int], Named] = {}
    for cell in claims:
        side = side_of(_letters(cell.art.shown))
        if side is None or (cell.page, cell.ink, side) in sided:
            return None
        sided[cell.page, cell.ink, side] = by_file[cell.art.shown]
    return sided


def _first_pages(sided: Mapping[tuple[int, str, int], Named], first: int) -> tuple[int, ...]:
    """Return the pages that a left page of the first number may be; 0 if it is not there."""
    return (1, 2) if any(number == first and side == -1 for number, _, side in sided) else (0, 2)


def _left_or_right(letters: str) -> int | None:
    """Return -1 for a left page, 1 for a right one; None if a name says neither or both."""
    words = set(plain_word(letters).split())
    left, right = bool(words & _LEFT), bool(words & _RIGHT)
    return None if left == right else -1 if left else 1


def _side(letters: str) -> int | None:
    """Return 1 for a front, -1 for a back, by words or the letters a and b; None for anything else."""
    words = set(plain_word(letters).split())
    for front, back in (("recto", "verso"), ("vorderseite", "ruckseite"), ("a", "b")):
        if (front in words) != (back in words):
            return 1 if front in words else -1
    return cover_page(letters)


def _letters(path: str) -> str:
    return "".join(letter if letter.isalpha() else " " for letter in path.rpartition(".")[0])


def _contested(cells: Sequence[Cell]) -> Question:
    page, ink = cells[0].page, cells[0].ink
    names = " and ".join(cell.place for cell in cells)
    asks = f"{names} are both page {page} in {ink}: which one is right?"
    return Question(asks, tuple(line_of(cell, cells) for cell in cells))


def line_of(cell: Cell, among: Sequence[Cell]) -> str:
    """Return the line that makes one of several files the page, for the ink's table of pages."""
    return f"{cell.page} = {quoted(f'{ART}/{cell.place}')}   # in [ink.pages] of {cell.ink}; one of {len(among)}"


def _many_contested(
    inks: Sequence[str], pages: Sequence[Sequence[Cell]], sure: Mapping[int, str], plate: str | None, *, unnamed: bool
) -> Question:
    """Ask about many pages at once; `inks` are the shop's, the one in question first, `sure` its other pages."""
    ink, first = inks[0], pages[0]
    names = " and ".join(cell.place for cell in first)
    numbers = [cells[0].page for cells in pages]
    many = _IN_WORDS.get(max(map(len, pages)), "several")
    both = "both" if len(first) == 2 else "all"
    such = f"{both} page {first[0].page} in {ink}: are they {many} inks, or {many} versions?"
    if len(numbers) > 1:
        asks = f"pages {runs_of(numbers)} of {ink} have {many} files each, such as {names}, {such}"
    else:
        asks = f"{names} are {such}"
    kinds = _kinds(pages)
    versions = tuple(ink_of_pages(ink, {**sure, **places}, plate) for places in kinds)
    # The first set of files stays with the ink; each further one may be any other.
    apart = "\n".join(
        one_of_inks_of_pages([*inks[at:], *inks[:at]], {**(sure if at == 0 else {}), **places}, plate)
        for at, places in enumerate(kinds[: len(inks)])
    )
    as_inks = apart if len(kinds) > 1 else ""
    follow = _one_after_another(kinds) if not sure else {}
    if follow:
        asks = asks.removesuffix("?") + ", or do they follow one another?"
        versions = (*versions, ink_of_pages(ink, follow, plate))
    return Question(asks, offered(as_inks, *versions) if unnamed else offered(*versions, as_inks))


def _one_after_another(kinds: Sequence[Mapping[int, str]]) -> dict[int, str]:
    """Return the pages of sets in folders of their own, such as chapters, counted on; nothing if it is not this."""
    folders = [{place.rpartition("/")[0] for place in places.values()} for places in kinds]
    own = all(len(each) == 1 for each in folders) and len(set().union(*folders)) == len(kinds)
    if len(kinds) < 2 or not (own or all(_CHAPTER.search(place) for places in kinds for place in places.values())):
        return {}
    count = len(kinds[0])
    if any(set(places) != set(range(1, count + 1)) for places in kinds):
        return {}
    return {count * at + page: place for at, places in enumerate(kinds) for page, place in places.items()}


def _kinds(pages: Sequence[Sequence[Cell]]) -> list[dict[int, str]]:
    """Return the files that claim the pages, by what their names share, page by page; only sets with every page."""
    ways: tuple[Callable[[str], str], ...] = (
        lambda path: path.rpartition("/")[0] + kind_of(path.rpartition("/")[2]),
        kind_of,
        # Of two numbers the one that is no page's tells: "ch2_p03", "page3-2".
        lambda path: _LAST_NUMBER.sub("", path.rpartition(".")[0]),
        lambda path: _FIRST_NUMBER.sub(r"\1", path),
    )
    return next((kinds for way in ways if (kinds := _kinds_by(way, pages))), [])


def _kinds_by(kind: Callable[[str], str], pages: Sequence[Sequence[Cell]]) -> list[dict[int, str]]:
    kinds: dict[str, dict[int, str]] = {}
    for cells in pages:
        for cell in cells:
            places = kinds.setdefault(kind(cell.art.shown), {})
            if cell.page in places:
                return []
            places[cell.page] = cell.place
    whole = [places for places in kinds.values() if len(places) == len(pages)]
    if len(whole) == 1 and all(len(cells) == 2 for cells in pages):
        # What is named like none of the others stands against the one set that is whole.
        whole.append({cell.page: cell.place for cells in pages for cell in cells if cell.place != whole[0][cell.page]})
    return whole
