"""Text for people: lines broken to a width, and numbers in words. Strings in, strings out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from imposer.data.fonts import SANS
from imposer.write.drawing import printable
from imposer.write.guide.pen import text_width


def wrap(text: str, width: float, size: float, font: str = SANS) -> tuple[str, ...]:
    """Break text into lines no wider than `width` mm at `size` points; a word that is too long is broken too.

    >>> wrap("sheets and masters", 20, 9.5)
    ('sheets and', 'masters')
    """
    lines: list[str] = []
    line = ""
    for word in _parts(printable(text).split(), width, size, font):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size, font) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return (*lines, line)


def _parts(words: Iterable[str], width: float, size: float, font: str) -> Iterator[str]:
    """Give the words, those wider than a line cut: after a hyphen or slash if there is one, else at the line's end."""
    for whole in words:
        word = whole
        while text_width(word, size, font) > width and len(word) > 1:
            end = max(1, _longest_start(word, width, size, font))
            kind = max(word.rfind(sign, 0, end) for sign in "-/_")
            end = kind + 1 if kind > 0 else end
            yield word[:end]
            word = word[end:]
        yield word


def _longest_start(word: str, width: float, size: float, font: str) -> int:
    """Return how many signs of a word fit in `width` mm."""
    low, high = 0, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if text_width(word[:middle], size, font) <= width else (low, middle - 1)
    return low


def in_series(parts: Iterable[str]) -> str:
    """Return parts as a series in a sentence.

    >>> in_series(["black", "red", "blue"]), in_series(["black"])
    ('black, red and blue', 'black')
    """
    *first, last = parts
    return f"{', '.join(first)} and {last}" if first else last


def letters(index: int) -> str:
    """Return the letter of a stack, from 0: A … Z, AA ….

    >>> letters(0), letters(25), letters(26)
    ('A', 'Z', 'AA')
    """
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(ord("A") + rest) + name
    return name
