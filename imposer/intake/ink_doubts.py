"""Questions of which ink some files are for, with answers that hold their pages, as far as these are sure."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.intake.answers import ink_of_files, ink_of_pages, offered, or_others
from imposer.intake.model import Cell, Question
from imposer.intake.named import InkDoubt, Inks, Named
from imposer.intake.numbers import number_pages


def doubts_of_inks(found: Inks, inks: Sequence[str]) -> list[Question]:
    """Return the questions; `inks` are the shop's."""
    return [
        Question(doubt.asks, offered(*(_lines(way, doubt, found.named, inks) for way in doubt.ways if way)))
        for doubt in found.doubts
    ]


def _lines(way: Sequence[Named], doubt: InkDoubt, sure: Sequence[Named], inks: Sequence[str]) -> str:
    """Return the lines of the files as they would be numbered with all others; as a list where that is in doubt."""
    own = {each.art.shown for each in way}
    numbered = number_pages([*sure, *way], inks)
    cells = [cell for cell in numbered.cells if cell.art.shown in own]
    told = not numbered.questions and not numbered.unclear and len(cells) == sum(len(each.art.pages) for each in way)
    by_ink: dict[str, list[Named]] = {}
    for each in way:
        by_ink.setdefault(each.ink, []).append(each)
    lines = "\n".join(
        ink_of_pages(ink, _places(cells, ink)) if told else ink_of_files(ink, [each.art for each in files])
        for ink, files in by_ink.items()
    )
    return or_others(lines, [*by_ink, *doubt.others]) if len(by_ink) == 1 else lines


def _places(cells: Sequence[Cell], ink: str) -> dict[int, str]:
    return {cell.page: cell.place for cell in cells if cell.ink == ink}
