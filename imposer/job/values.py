"""Parsers of single values: what TOML holds in, numbers, lengths, sizes, colours and names out.

Each maker returns a parser that takes any TOML value and raises `BadValue` in words for people. Lengths come out in mm.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from typing import Literal, TypeVar

from imposer.data.paper_weights import grades, grams
from imposer.data.papers import nearest_size_name, paper_size
from imposer.geometry import Size
from imposer.nearest import did_you_mean
from imposer.units import parse_length, show

Number = TypeVar("Number", int, float)
Choice = TypeVar("Choice", bound=str)

#: The longest name that a paper, an ink or a part may have, signs. A working value of our own.
LONGEST_NAME = 80
_LONGEST_SHOWN = 60
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_NUMBER = r"[0-9]{1,12}(?:\.[0-9]{0,30})?|\.[0-9]{1,30}"
_LENGTH = re.compile(rf"\s*(-?)\s*({_NUMBER})\s*([a-z]*|\")\s*", re.IGNORECASE)
_PERCENT = re.compile(rf"\s*({_NUMBER})\s*%?\s*")
_POUNDS = re.compile(rf"\s*({_NUMBER})\s*(?:lbs?|#)\.?\s+([a-z]+)\s*", re.IGNORECASE)
_GRAMS = re.compile(rf"\s*({_NUMBER})\s*(?:gsm|g(?:\s*/\s*m(?:²|2))?)\s*", re.IGNORECASE)
_TURNED = re.compile(r"(.*\S)\s+(portrait|landscape)\s*", re.IGNORECASE)

_LENGTH_MEND = 'give mm, or a number with its unit such as "3 mm", "0.125 in" or "9 pt"'
_SIZE_MEND = 'give a name such as "A5" or "letter", a pair in mm such as [140, 200], or "5.5 x 8.5 in"'


class BadValue(ValueError):  # noqa: N818 - it reads as what it is: a value, and bad
    """A value that cannot be used: what is wrong with it, and the mend."""

    def __init__(self, problem: str, mend: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.mend = mend


def shown(value: object) -> str:
    """Write any TOML value for people, as it stands in the file and never long.

    >>> shown("A5"), shown(True), shown([140, 200]), shown({"a": 1}), shown(10**80)
    ('"A5"', 'true', '[140, 200]', 'a table', 'a number of more than 60 digits')
    """
    match value:
        case str():
            cut = value if len(value) <= _LONGEST_SHOWN else value[:_LONGEST_SHOWN] + "…"
            return f'"{cut}"'
        case bool():
            return str(value).lower()
        case int():
            # Python refuses to write whole numbers of thousands of digits.
            return str(value) if abs(value) < 10**_LONGEST_SHOWN else f"a number of more than {_LONGEST_SHOWN} digits"
        case dict():
            return "a table"
        case list():
            simple = len(value) <= 4 and not any(isinstance(item, list | dict) for item in value)
            written = f"[{', '.join(map(shown, value))}]" if simple else ""
            return written if 0 < len(written) <= _LONGEST_SHOWN else "a list" if value else "[]"
        case _:
            return str(value)[:_LONGEST_SHOWN]


def flag(value: object) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise BadValue(f"{shown(value)} is neither true nor false", "write true or false without quotes")
    return value


def text(longest: int) -> Callable[[object], str]:
    """Make the parser of a line of text that can be seen, of at most so many letters; outer spaces are dropped."""

    def parse(value: object) -> str:
        if not isinstance(value, str):
            raise BadValue(f"{shown(value)} is not text", "put text in quotes")
        if any(unicodedata.category(letter) in {"Cc", "Zl", "Zp"} for letter in value):
            raise BadValue(f"{shown(value)} holds a control character or a line break", "write one plain line")
        if not any(letter.isprintable() and not letter.isspace() for letter in value):
            raise BadValue(f"{shown(value)} is empty", "write at least one letter")
        if len(value) > longest:
            raise BadValue(f"{shown(value)} has {len(value)} letters", f"write at most {longest}")
        return value.strip()

    return parse


def one_of(choices: tuple[Choice, ...]) -> Callable[[object], Choice]:
    """Make the parser of one word of a few; case does not matter."""
    listed = ", ".join(f'"{choice}"' for choice in choices)

    def parse(value: object) -> Choice:
        if isinstance(value, str):
            for choice in choices:
                if value.strip().casefold() == choice:
                    return choice
            raise BadValue(f"{shown(value)} is none of {listed}", did_you_mean(value, choices, "write one of them"))
        raise BadValue(f"{shown(value)} is none of {listed}", "write one of them, in quotes")

    return parse


def whole(least: int, most: int) -> Callable[[object], int]:
    """Make the parser of a whole number in a range; true and false are no numbers."""

    def parse(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise BadValue(f"{shown(value)} is not a whole number", f"give one from {least} to {most}, without quotes")
        return _within(value, least, most, shown(value))

    return parse


def number(least: float, most: float, unit: str = "") -> Callable[[object], float]:
    """Make the parser of a finite number in a range; `unit` is only for the words."""

    def parse(value: object) -> float:
        return _within(_finite(value, "give a number, without quotes"), least, most, shown(value), unit)

    return parse


def percent(value: object) -> float:
    """Read a percentage: `3` or `"3 %"`; 0 … 100."""
    mend = 'give per cent, such as 3 or "3 %"'
    if isinstance(value, str):
        match = _PERCENT.fullmatch(value)
        if not match:
            raise BadValue(f"{shown(value)} is not a percentage", mend)
        return _within(float(match[1]), 0, 100, shown(value), "%")
    return _within(_finite(value, mend), 0, 100, shown(value), "%")


def length(least: float, most: float) -> Callable[[object], float]:
    """Make the parser of a length in a range, mm: a number of mm, or a string with its unit."""

    def parse(value: object) -> float:
        if isinstance(value, str):
            return _within(_length(value), least, most, shown(value), "mm")
        return _within(_finite(value, _LENGTH_MEND), least, most, f"{shown(value)} mm", "mm")

    return parse


def size(least: float, most: float) -> Callable[[object], Size]:
    """Make the parser of a width and height, each in a range of mm, in the direction given; names are portrait."""

    def parse(value: object) -> Size:
        if isinstance(value, str):
            found = parse_size(value)
        elif isinstance(value, list) and len(value) == 2:
            found = Size(*(length(0, math.inf)(side) for side in value))
        else:
            raise BadValue(f"{shown(value)} is not a size", _SIZE_MEND)
        for side in (found.width, found.height):
            mend = "a size without a unit is in mm" if side < least else ""
            _within(side, least, most, f"{show(side)} mm of {shown(value)}", "mm", mend)
        return found

    return parse


def parse_size(text: str) -> Size:
    """Read a size in words: a name, which is portrait unless "landscape" follows it, or two lengths with × or x.

    >>> parse_size("A5 landscape"), parse_size("5.5 x 8.5 in")
    (Size(width=210.0, height=148.0), Size(width=139.7, height=215.9))

    Raises:
        BadValue: the text is not a size.
    """
    named = paper_size(text)
    if named:
        return named
    turned = _TURNED.fullmatch(text[:100])
    if turned and (named := paper_size(turned[1])):
        lying = named.landscape
        return lying if turned[2].casefold() == "landscape" else lying.turned
    sides = re.split(r"[x×]", text.casefold())
    if len(sides) == 2 and all(re.search(r"\d", side) for side in sides):
        return _pair(sides[0], sides[1], text)
    near = nearest_size_name(turned[1] if turned else text)
    raise BadValue(f"{shown(text)} is not a size known here", f'did you mean "{near}"?' if near else _SIZE_MEND)


def colour(value: object) -> str:
    """Read a colour, `#rrggbb`; lower case comes out."""
    if not isinstance(value, str) or not _COLOUR.fullmatch(value.strip()):
        raise BadValue(f"{shown(value)} is not a colour", 'write # and six digits of 0-9 a-f, such as "#2a2a2e"')
    return value.strip().lower()


def weight(value: object) -> float:
    """Read a paper's weight, g/m²: a number, or a string such as "60 lb text" or "90 g/m²"."""
    mend = 'give g/m², or pounds with the grade such as "60 lb text", "20 lb bond", "80 lb cover"'
    if isinstance(value, str):
        if found := _GRAMS.fullmatch(value):
            exact = float(found[1])
        elif found := _POUNDS.fullmatch(value):
            if found[2].casefold() not in grades():
                known = f"the grades known here are {', '.join(grades())}"
                raise BadValue(f"{shown(value)}: no grade {shown(found[2])}", did_you_mean(found[2], grades(), known))
            exact = grams(Fraction(found[1]), found[2])
        else:
            raise BadValue(f"{shown(value)} is not a weight", mend)
        return _within(exact, 20, 600, shown(value), "g/m²")
    return _within(_finite(value, mend), 20, 600, f"{shown(value)} g/m²", "g/m²")


def spine(value: object) -> float | Literal["auto"]:
    """Read the width of a spine: a length, or "auto"."""
    if isinstance(value, str) and value.strip().casefold() == "auto":
        return "auto"
    try:
        return length(0.3, 80)(value)
    except BadValue as bad:
        raise BadValue(bad.problem, 'give a length such as "4 mm", or "auto"') from None


def creep(value: object) -> Literal["flat", "round", "none"] | float:
    """Read a model of push-out by name, or its total for the whole booklet as a length, mm."""
    models: tuple[Literal["flat", "round", "none"], ...] = ("flat", "round", "none")
    if isinstance(value, str) and not re.match(r"\s*[-.\d]", value):
        return one_of(models)(value)
    return length(0, 50)(value)


def _length(written: str) -> float:
    match = _LENGTH.fullmatch(written)
    if not match:
        raise BadValue(f"{shown(written)} is not a length", _LENGTH_MEND)
    sign, amount, unit = match.groups()
    try:
        mm = parse_length(f"{amount} {unit}")
    except ValueError:
        raise BadValue(f"{shown(written)} has no unit of length known here (mm, cm, in, pt)", _LENGTH_MEND) from None
    return -mm if sign else mm


def _pair(first: str, second: str, written: str) -> Size:
    """Read two lengths of which the second may lend the first its unit."""
    unit = re.search(r"[a-z\"]+\s*$", second)
    if not re.search(r"[a-z\"]\s*$", first):
        first = f"{first} {unit[0] if unit else 'mm'}"
    elif not unit:
        raise BadValue(f"{shown(written)} states no unit for its second length", "write the unit at the end")
    try:
        return Size(_length(first), _length(second))
    except BadValue:
        raise BadValue(f"{shown(written)} is not a size", _SIZE_MEND) from None


def _finite(value: object, mend: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadValue(f"{shown(value)} is not a number", mend)
    try:
        exact = float(value)
    except OverflowError:
        exact = math.inf
    if not math.isfinite(exact):
        raise BadValue(f"{shown(value)} is not a number that can be measured", mend)
    # Minus nought is nought, and would look odd in what is written.
    return exact + 0.0


def _within(value: Number, least: float, most: float, written: str, unit: str = "", mend: str = "") -> Number:
    if value < least:
        raise BadValue(f"{written} is too small: the least is {_limit(least, unit)}", mend)
    if value > most:
        raise BadValue(f"{written} is too large: the most is {_limit(most, unit)}", mend)
    return value


def _limit(limit: float, unit: str) -> str:
    return f"{show(limit)} {unit}".rstrip()


def lab(value: object) -> tuple[float, float, float]:
    """Read a measured colour, CIE Lab under D50.

    >>> lab([52.1, 60, 8.5])
    (52.1, 60.0, 8.5)
    """
    if not isinstance(value, list) or len(value) != 3:
        raise BadValue(
            f"{shown(value)} is not a measured colour", "give L*, a* and b* (D50), such as [52.1, 60.0, 8.5]"
        )
    return number(0, 100)(value[0]), number(-150, 150)(value[1]), number(-150, 150)(value[2])
