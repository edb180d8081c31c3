"""A delivery read: inks, pages and the size of the page, with all that was guessed and asked. Nothing is written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from imposer.data.papers import name_of
from imposer.geometry import Size
from imposer.intake.answers import ink_of_files, ink_of_pages, offered, plate_lines
from imposer.intake.delivery import Delivery
from imposer.intake.ink_doubts import doubts_of_inks
from imposer.intake.inks import name_inks
from imposer.intake.model import Cell, Question, Understood
from imposer.intake.named import Named, Title
from imposer.intake.numbers import number_pages
from imposer.intake.page_size import find_page_size, size_in_words
from imposer.intake.vocabulary import Place
from imposer.job.model import Ink
from imposer.units import show
from imposer.words import pages_of


def understand(delivery: Delivery, inks: Sequence[Ink], trim: Size | None = None) -> Understood:
    """Return what a delivery holds as far as it can be told.

    Args:
        delivery: what was sent.
        inks: the shop's inks.
        trim: the finished page, if a person has said it.
    """
    named = name_inks(delivery.art, inks)
    numbered = number_pages(named.named, [ink.name for ink in inks])
    size = find_page_size(delivery.art, trim)
    two_by_two = size.doubles or bool(size.half and _stated_pairs(named.named))
    doubts = doubts_of_inks(named, [ink.name for ink in inks])
    questions = [
        *named.questions,
        *doubts,
        *numbered.questions,
        *size.questions,
        *([] if two_by_two else numbered.unclear),
    ]
    if size.doubles:
        questions.append(_doubles(delivery, named.named))
    if size.half:
        questions.append(_lying(size.half, size.half_bleed, named.named))
    questions += _not_read(delivery)
    order = [ink.name for ink in inks]
    cells = sorted(numbered.cells, key=lambda cell: (cell.page, order.index(cell.ink)))
    if named.title and not size.doubles:
        questions.append(Question(named.title.asks, _either_ink(named.title, cells)))
    if size.doubles or named.title:
        # How double pages split, or which ink all pages are in, is for the job to say.
        cells = []
    placed = {cell.art.shown for cell in (*cells, *numbered.contested)}
    understood = Understood(
        inks=tuple(ink for ink in order if any(each.ink == ink for each in named.named)),
        cells=tuple(cells),
        trim=size.trim,
        bleed=size.bleed,
        said=(*named.said, *(() if size.doubles else numbered.said), *size.said),
        guesses=(*named.guesses, *numbered.guesses, *size.guesses),
        questions=tuple(dict.fromkeys(questions)),
        left_out=delivery.left_out,
        contested=tuple(numbered.contested),
        unplaced=tuple(each for each in delivery.art if each.shown not in placed),
    )
    lacking = {ink: understood.lacks(ink) for ink in understood.inks if any(cell.ink == ink for cell in cells)}
    told = tuple(
        f"{ink} has no file for {pages_of(pages)}: nothing of it prints there"
        for ink, pages in lacking.items()
        if pages
    )
    return replace(understood, guesses=(*understood.guesses, *told))


def _not_read(delivery: Delivery) -> list[Question]:
    """Ask about files that cannot be read, once for all of one kind."""
    by_why: dict[str, list[str]] = {}
    for each in delivery.left_out:
        if each.asks:
            by_why.setdefault(each.why, []).append(each.shown)
    return [
        Question(f"{names[0]} {why}" if len(names) == 1 else f"{names[0]} and {len(names) - 1} more: each {why}")
        for why, names in by_why.items()
    ]


def _either_ink(title: Title, cells: Sequence[Cell]) -> tuple[str, ...]:
    """Return the lines of all pages in the one ink or the other."""
    places = {cell.page: cell.place for cell in cells}
    return offered(*(ink_of_pages(ink, places, cells[0].plate) for ink in title.inks if places))


#: How pages may lie two side by side, as a job says it.
_LAYS = ("spreads", "printer's pairs")
_NUMBER = re.compile(r"(?<!\d)\d{1,3}(?!\d)")


def _doubles(delivery: Delivery, named: Sequence[Named]) -> Question:
    double = max(delivery.art, key=lambda each: max((page.size.width if page.size else 0) for page in each.pages))
    asks = f"{double.shown} holds pages two side by side: are they a reader's spreads, or printer's pairs?"
    return Question(asks, tuple(_laid(named, lay) for lay in _lays(named)))


def _lying(half: Size, bleed: float, named: Sequence[Named]) -> Question:
    """Ask whether pages that lie on their side are two pages side by side."""
    name = name_of(half)
    with_bleed = f" with {show(bleed)} mm of bleed" if bleed else ""
    asks = (
        f"pages lie on their side: are they landscape pages, or two pages of {name or size_in_words(half)} side by side"
        f"{with_bleed}, a reader's spreads or printer's pairs? If landscape, only take this question out"
    )
    trim = f'"{name}"' if name else f"[{show(half.width)}, {show(half.height)}]"
    page = f"[page]\ntrim = {trim}\nbleed = {show(bleed)}\n"
    return Question(asks, tuple(page + _laid(named, lay) for lay in _lays(named)))


def _lays(named: Sequence[Named]) -> tuple[str, ...]:
    """Return how pages may lie, the likelier first: printer's pairs have one sum, such as "8-1" and "2-7"."""
    sums = {sum(pair) for pair in _stated_pairs(named)}
    return tuple(reversed(_LAYS)) if len(sums) == 1 and len(named) > 1 else _LAYS


def _stated_pairs(named: Sequence[Named]) -> list[tuple[int, int]]:
    """Return the two pages that each file states; nothing if some state others."""
    found = _stated_numbers(named)
    return [(first, second) for first, second in found] if all(len(pair) == 2 for pair in found) else []


def _stated_numbers(named: Sequence[Named]) -> list[list[int]]:
    """Return the numbers in each file's name."""
    return [[int(digits) for digits in _NUMBER.findall(each.stem)] for each in named]


def _laid(named: Sequence[Named], lay: str) -> str:
    """Return the lines of all inks with their files as they were named, laid so."""
    files: dict[str, list[Named]] = {}
    for each in named:
        files.setdefault(each.ink, []).append(each)
    return "\n".join(
        ink_of_files(ink, [each.art for each in _in_order(own)], *plate_lines(own[0].plate), f'art = "{lay}"')
        for ink, own in files.items()
    )


def _in_order(files: Sequence[Named]) -> list[Named]:
    """Return files of double pages, or of double ones and single ones, in their likely order."""
    pairs = _stated_pairs(files)
    if pairs:
        order = [min(pair) for pair in pairs]
    elif gap := _gap(files):
        order = gap
    else:
        order = [_COVERS_LAST.get(each.clues.cover, 0) for each in files]
    return [each for _, each in sorted(zip(order, files, strict=True), key=lambda placed: placed[0])]


def _gap(files: Sequence[Named]) -> list[int]:
    """Return the first page of each file where one of them has no number and just two pages are missing."""
    found = _stated_numbers(files)
    numbers = sorted(own[0] for own in found if len(own) == 1)
    missing = sorted(set(range(1, max(numbers, default=0))) - set(numbers))
    if sum(not own for own in found) != 1 or len(numbers) != len(files) - 1 or len(missing) != 2:
        return []
    return [own[0] if own else missing[0] for own in found] if missing[1] == missing[0] + 1 else []


#: Where files named by words for a cover stand among the others, whose place is 0.
_COVERS_LAST: dict[Place | None, int] = {"front": -2, "inside front": -1, "inside back": 1, "back": 2}
