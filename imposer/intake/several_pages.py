"""Files of several pages: which pages of the booklet they hold. One file alone is an ink's whole booklet in order.

What a name states ("3-5", "pages 1 and 8") is followed; a cover beside the inside, a page sent again and versions of
one file are told apart and proposed. Everything else is asked about.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence

from imposer.intake.answers import ink_of_files, ink_of_pages, offered, plate_lines
from imposer.intake.delivery import place_of
from imposer.intake.model import Cell, Question
from imposer.intake.named import Named, Numbers
from imposer.intake.ranges import stated_places, states_others
from imposer.intake.versions import bare_name
from imposer.pages.cover_words import cover_page
from imposer.pages.names import number_names
from imposer.words import pages_of, runs_of


def many_pages(ink: str, files: Sequence[Named], beside: Sequence[Named], found: Numbers) -> list[Cell]:
    """Number an ink's files of several pages, which may have single pages beside them."""
    if not files:
        return []
    stated = [stated_places(each.stem, len(each.art.pages)) for each in files]
    if not beside and all(stated):
        return _as_stated(ink, files, [pages or () for pages in stated], found)
    if len(files) == 1 and not beside and not states_others(files[0].stem, len(files[0].art.pages)):
        return [Cell(page=i + 1, ink=ink, art=files[0].art, index=i) for i in range(len(files[0].art.pages))]
    every = [*files, *beside]
    if len(every) == 1:
        held = len(every[0].art.pages)
        asks = f"{every[0].art.shown} has {held} pages and its name states others: which pages of {ink} are they?"
        found.unclear.append(Question(asks, (_from_the_first(every[0]),)))
        return []
    names = ", ".join(f"{each.art.shown} ({len(each.art.pages)})" for each in every)
    if _are_versions(files) and not beside:
        asks = f"{ink} comes in {names}, which differ only in what counts versions: which one is right?"
        found.questions.append(Question(asks, tuple(_whole(each) for each in every)))
        return []
    asks = f"{ink} comes in several files, {names}: in which order do their pages follow?"
    in_order = ink_of_files(ink, [each.art for each in every], *plate_lines(every[0].plate))
    ways = (_round_the_inside(files, beside), _sent_again(files, beside), _odd_and_even(files, beside), in_order)
    found.unclear.append(Question(asks, offered(*ways)))
    return []


def _as_stated(ink: str, files: Sequence[Named], stated: Sequence[tuple[int, ...]], found: Numbers) -> list[Cell]:
    for each, pages in zip(files, stated, strict=True):
        found.guesses.append(f"{each.art.shown} is taken as {pages_of(pages)} of {ink}, as its name states")
    return [
        Cell(page=page, ink=ink, art=each.art, index=index)
        for each, pages in zip(files, stated, strict=True)
        for index, page in enumerate(pages)
    ]


def _are_versions(files: Sequence[Named]) -> bool:
    return len({(bare_name(each.stem), len(each.art.pages)) for each in files}) == 1


def _round_the_inside(files: Sequence[Named], beside: Sequence[Named]) -> str:
    """Return the lines of one file as the cover round another; "" if it is not this."""
    covers = [each for each in files if cover_page(each.stem) == 1]
    inside = [each for each in files if each not in covers]
    if len(covers) != 1 or len(inside) != 1 or beside or len(covers[0].art.pages) not in (2, 4):
        return ""
    half, held = len(covers[0].art.pages) // 2, len(inside[0].art.pages)
    last = held + 2 * half
    at = (*range(1, half + 1), *range(last - half + 1, last + 1))
    places = _as_pages(covers[0], at) | _as_pages(inside[0], range(half + 1, half + 1 + held))
    return ink_of_pages(covers[0].ink, places, covers[0].plate)


def _sent_again(files: Sequence[Named], beside: Sequence[Named]) -> str:
    """Return the lines of one file of which some pages were sent once more; "" if it is not this."""
    if len(files) != 1 or not beside:
        return ""
    numbered = number_names([f"{each.stem}.art" for each in beside], covers=False)
    count = len(files[0].art.pages)
    if (
        numbered.by != "name"
        or len(set(numbered.numbers)) < len(beside)
        or not all(1 <= n <= count for n in numbered.numbers)
    ):
        return ""
    places = _as_pages(files[0], range(1, count + 1))
    places |= {number: each.art.shown for number, each in zip(numbered.numbers, beside, strict=True)}
    return ink_of_pages(files[0].ink, places, files[0].plate)


#: Words for right-hand and left-hand pages.
_ODD = frozenset(["odd", "odds", "recto", "right", "rechts", "ungerade", "impair", "impaires", "impares", "dispari"])
_EVEN = frozenset(["even", "evens", "verso", "left", "links", "gerade", "pair", "paires", "pares", "pari"])


def _odd_and_even(files: Sequence[Named], beside: Sequence[Named]) -> str:
    """Return the lines of one file with all odd pages and one with all even ones; "" if it is not this."""
    words = [set(each.clues.other_words) for each in files]
    odd = [each for each, said in zip(files, words, strict=True) if said & _ODD]
    even = [each for each, said in zip(files, words, strict=True) if said & _EVEN]
    if beside or len(files) != 2 or len(odd) != 1 or len(even) != 1 or odd == even:
        return ""
    places = _as_pages(odd[0], itertools.count(1, 2)) | _as_pages(even[0], itertools.count(2, 2))
    return ink_of_pages(odd[0].ink, places, odd[0].plate)


def without_a_first_page(claims: Sequence[Cell], named: Sequence[Named], found: Numbers) -> list[Cell]:
    """Ask about files whose names state pages if no file is page 1: the numbers may be a date's or an issue's."""
    first = min((cell.page for cell in claims), default=1)
    several = [cell for cell in claims if len(cell.art.pages) > 1]
    if first == 1 or not several:
        return list(claims)
    shown = runs_of(sorted({cell.page for cell in claims}))
    asks = f"the names state pages {shown}, and no file is page 1: is {first} the first page that was sent, or page 1?"
    found.questions.append(Question(asks, (_cells_as(claims, named, 0), _cells_as(claims, named, 1 - first))))
    return []


def _cells_as(claims: Sequence[Cell], named: Sequence[Named], moved: int) -> str:
    plates = {each.ink: each.plate for each in named}
    by_ink: dict[str, dict[int, str]] = {}
    for cell in claims:
        by_ink.setdefault(cell.ink, {})[cell.page + moved] = cell.place
    return "\n".join(ink_of_pages(ink, places, plates[ink]) for ink, places in by_ink.items())


def of_one_length(claims: Sequence[Cell], named: Sequence[Named], found: Numbers) -> list[Cell]:
    """Ask which pages the one file of an ink holds if it has fewer than the booklet and its name states none."""
    last = max((cell.page for cell in claims), default=0)
    asked: set[str] = set()
    for ink in dict.fromkeys(each.ink for each in named):
        own = [cell for cell in claims if cell.ink == ink]
        files = {cell.art.shown for cell in own}
        if len(files) != 1 or len(own) < 2 or [cell.page for cell in own] != [cell.index + 1 for cell in own]:
            continue
        each = next(one for one in named if one.ink == ink and one.art.shown == own[0].art.shown)
        if len(own) == last or stated_places(each.stem, len(own)) is not None:
            found.said.append(f"{each.art.shown} holds all pages of {ink}, in order")
            continue
        asked.add(ink)
        asks = f"{each.art.shown} has {len(own)} pages, but the booklet has {last}: which pages of {ink} are they?"
        found.unclear.append(Question(asks, tuple(_ways_to_place(each, last))))
    return [cell for cell in claims if cell.ink not in asked]


def _ways_to_place(each: Named, last: int) -> Iterator[str]:
    """Give the likely places of a file with fewer pages than the booklet: from the first on; as its cover."""
    count = len(each.art.pages)
    yield _from_the_first(each)
    covers = {2: (1, last), 4: (1, 2, last - 1, last)}
    if count in covers and count < last:
        yield ink_of_pages(each.ink, _as_pages(each, covers[count]), each.plate)


def _from_the_first(each: Named) -> str:
    return ink_of_pages(each.ink, _as_pages(each, itertools.count(1)), each.plate)


def _as_pages(each: Named, pages: Iterable[int]) -> dict[int, str]:
    """Return the places of a file's pages in order, by the pages of the booklet that they are."""
    return {page: place_of(each.art, index) for index, page in zip(range(len(each.art.pages)), pages, strict=False)}


def _whole(each: Named) -> str:
    return ink_of_files(each.ink, [each.art], *plate_lines(each.plate))
