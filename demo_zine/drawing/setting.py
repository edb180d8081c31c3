"""Words set in type: columns of text, and the number at the foot of a page."""

from __future__ import annotations

from collections.abc import Sequence

from drawing.hand import Dice
from drawing.letters import hand
from drawing.plates import WIDTH, Plate, measure


def lines(words: str, width: float, size: float, bold: bool = False) -> list[str]:
    """Break words into lines no wider than `width` mm."""
    broken, line = [], ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and measure(longer, size, bold) > width:
            broken.append(line)
            line = word
        else:
            line = longer
    return [*broken, line]


def column(
    plate: Plate, x: float, y: float, width: float, paragraphs: Sequence[str], size: float = 9.2, leading: float = 4.7
) -> float:
    """Set paragraphs ragged right from the base line at `y` down; return the base line after the last."""
    for paragraph in paragraphs:
        for line in lines(paragraph, width, size):
            plate.text(x, y, line, size)
            y -= leading
        y -= leading * 0.45
    return y


def folio(plate: Plate, number: int) -> None:
    """Write the page's number at the outer corner of the foot."""
    outer = 10.5 if number % 2 == 0 else WIDTH - 10.5
    hand(plate, outer, 8.6, str(number), 3, Dice(number), align=0.0 if number % 2 == 0 else 1.0)
