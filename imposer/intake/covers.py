"""Pages of a cover, told by words such as "front" and "U4": placed round the numbered pages, or asked about."""

from __future__ import annotations

import re
from collections.abc import Sequence

from imposer.intake.answers import inks_of_pages, named_in_short, offered
from imposer.intake.model import Question
from imposer.intake.named import Named, Numbers
from imposer.intake.vocabulary import Place
from imposer.pages.cover_words import cover_page
from imposer.words import runs_of

#: Outside and inside, in front and at the back.
_PAGES_OF_A_COVER = 4


def place_covers(
    covers: Sequence[Named], rest: Sequence[Named], numbers: Sequence[int], last: int, found: Numbers
) -> list[tuple[Named, int]] | None:
    """Place the pages of a cover round the others; None if only a person knows, and then the others are in doubt too.

    Args:
        covers: the files named by words for a cover.
        rest: the files with numbers.
        numbers: theirs.
        last: the last page that files of several pages hold, 0 if there are none.
        found: what must be said; added to.
    """
    if not covers:
        return []
    places = {each.clues.cover for each in covers if each.clues.cover}
    # Beside files that hold the whole booklet in another ink, a cover is its first and last pages.
    whole: dict[Place, int] = {"front": 1, "inside front": 2, "inside back": last - 1, "back": last}
    pages = whole if last >= max([4, *numbers]) else _cover_pages(places, numbers)
    if pages is None:
        found.unclear.append(_flat_or_folded(covers) if not numbers else _inside_from_one(covers, rest, numbers))
        return None
    words = ", ".join(f"{place} is page {pages[place]}" for place in pages if place in places)
    found.guesses.append(f"words for covers are placed round the rest: {words}")
    return [(each, pages[each.clues.cover]) for each in covers if each.clues.cover]


#: A word for the cover, and its number right after it.
_WITH_A_WORD = re.compile(r"([^\W\d_]+)[\s._·-]*([2-4])(?!\d)")


def counted_with_a_word(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask about "cover 2" and the like: the inside of the cover, its back, or page 2."""
    said = (match for each in files for match in _WITH_A_WORD.finditer(each.stem))
    if not any(cover_page(match[1]) == 1 and says_cover(match[1]) for match in said):
        return None
    return counted_cover(files, numbers) or _alone(files, numbers)


def _alone(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask about a counted cover beside files of several pages."""
    pairs = list(zip(files, numbers, strict=True))
    asks = f"{files[0].art.shown} and others are counted by a word for the cover: which pages are they?"
    return Question(asks, offered(inks_of_pages(pairs)))


def counted_cover(files: Sequence[Named], numbers: Sequence[int]) -> Question | None:
    """Ask where a cover lies whose pages are counted beside others: "cover/1", "inside/1"."""
    pairs = list(zip(files, numbers, strict=True))
    cover = [(each, number) for each, number in pairs if says_cover(each.art.shown)]
    inside = [(each, number) for each, number in pairs if not says_cover(each.art.shown)]
    if not cover or not inside or max(number for _, number in cover) > _PAGES_OF_A_COVER:
        return None
    half = 1 if max(number for _, number in cover) <= _PAGES_OF_A_COVER // 2 else 2
    first = min(number for _, number in inside)
    moved = half if first == 1 else 0
    # Where the inside counts on from a cover of four pages, one that has only two of them has no inside.
    last = max(number for _, number in inside) + moved + (half == 1 and first == _PAGES_OF_A_COVER // 2 + 1)
    around = [(each, number if number <= half else last + number - half) for each, number in cover]
    way = inks_of_pages([*around, *((each, number + moved) for each, number in inside)])
    as_numbered = inks_of_pages(pairs)
    before = max(number for _, number in cover) if first == 1 else 0
    all_before = inks_of_pages([*cover, *((each, number + before) for each, number in inside)])
    asks = (
        f"{cover[0][0].art.shown} and {inside[0][0].art.shown} are both counted: does the cover lie around the other "
        "pages, its first half before them and its second after them?"
    )
    return Question(asks, offered(way, all_before, as_numbered))


def says_cover(path: str) -> bool:
    """Tell whether the name of a file or of one of its folders says that it is of a cover, and not which page."""
    words = "".join(letter if letter.isalpha() else " " for letter in path)
    # What says "front" is the opposite of a back, and not of a cover's back.
    return cover_page(words) == 1 and cover_page(f"{words} back") == -1


def _cover_pages(places: set[Place], numbers: Sequence[int]) -> dict[Place, int] | None:
    """Return the page of every place of a cover; None where the inside may count from 1, or may not be there at all."""
    front: dict[Place, int] = {"front": 1, "inside front": 2}
    if not numbers:
        alone = "back" in places and not places & {"inside front", "inside back"}
        return None if alone else {**front, "inside back": 3, "back": 4}
    if any(front[place] in numbers for place in places if place in front):
        return None
    last = max(numbers)
    if "inside back" in places:
        return {**front, "inside back": last + 1, "back": last + 2}
    if "back" not in places:
        return front
    # A booklet has a multiple of four pages: that tells whether the inside of the back cover is blank.
    return next(({**front, "back": back} for back in (last + 1, last + 2) if back % 4 == 0), None)


def _flat_or_folded(covers: Sequence[Named]) -> Question:
    names = named_in_short(each.art.shown for each in covers)
    asks = f"{names}: are they the two sides of a flat sheet, or the outside of a cover whose inside is blank?"
    ways = [inks_of_pages((each, 1 if each.clues.cover == "front" else back) for each in covers) for back in (2, 4)]
    return Question(asks, offered(*ways))


def _inside_from_one(covers: Sequence[Named], rest: Sequence[Named], numbers: Sequence[int]) -> Question:
    names = named_in_short(each.art.shown for each in covers)
    inside = runs_of(sorted(set(numbers)))
    asks = f"{names} and pages {inside}: does the inside count from 1, or is the cover page 1?"
    return Question(asks, _cover_answers(covers, rest, numbers))


def _cover_answers(covers: Sequence[Named], rest: Sequence[Named], numbers: Sequence[int]) -> tuple[str, ...]:
    """Return the lines for an inside that counts from 1, laid inside its cover, whose inside may be blank.

    Last come the lines for pages that are as their numbers say, with those of the cover that are none of them.
    """
    places = {each.clues.cover for each in covers}
    before = 2 if places & {"inside front"} else 1
    answers = []
    for moved in dict.fromkeys((before, 2)):
        last = max(numbers) + moved
        back = next(page for page in range(last + 1, last + 5) if page % 4 == 0)
        at = {"front": 1, "inside front": 2, "inside back": back - 1, "back": back}
        moved_on = [(each, number + moved) for each, number in zip(rest, numbers, strict=True)]
        answers.append(inks_of_pages([*moved_on, *((each, at[each.clues.cover or "front"]) for each in covers)]))
    as_numbered = list(zip(rest, numbers, strict=True))
    taken = {(each.ink, number) for each, number in as_numbered}
    first = {"front": 1, "inside front": 2}
    if max(numbers) % _PAGES_OF_A_COVER == 0:
        first |= {"inside back": max(numbers) - 1, "back": max(numbers)}
    more = [(each, first[each.clues.cover]) for each in covers if each.clues.cover in first]
    answers.append(inks_of_pages([*as_numbered, *((one, page) for one, page in more if (one.ink, page) not in taken)]))
    return offered(*answers)
