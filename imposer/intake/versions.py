"""What counts versions and copies in names, which is no page. Strings alone; common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Sequence

from imposer.pages.names import HIGHEST, VERSION_WORDS, without_versions

_OF_A_VERSION = re.compile(
    rf"(?<![^\W\d_])(?:{VERSION_WORDS}|finals|finale|old|new|alt|neu|real|last|corrected|fixed|korrigiert|korr)(?![^\W\d_])",
    re.IGNORECASE,
)
_COUNTED = re.compile(rf"(?<![^\W\d_])(?:{VERSION_WORDS}|take|try)[\s._-]*\d+|\(\d+\)", re.IGNORECASE)
_SPELT = str.maketrans("0123456789", "abcdefghij")
_IN_BRACKETS = re.compile(r"\((\d{1,3})\)")
_NUMBER = re.compile(r"\d+")
_WORD = re.compile(r"[^\W\d_]+|\d+")
#: Two files are a file and its copy; from three on that count from 1, brackets are a program's count of pages.
_FEWEST_COUNTED = 3


def bare_name(stem: str) -> str:
    """Return a name without what counts versions, as words.

    >>> bare_name("poster_v2 FINAL"), bare_name("p3 (1)")
    ('poster', 'p 3')
    """
    return " ".join(_WORD.findall(_OF_A_VERSION.sub(" ", without_versions(stem)).casefold()))


def count_only_versions(stems: Sequence[str]) -> bool:
    """Tell whether the numbers of names are all of versions: "black v1", "black v2"."""
    return any(map(_holds_number, stems)) and not any(_holds_number(without_versions(stem)) for stem in stems)


def counted_in_brackets(stems: Sequence[str]) -> tuple[int, ...] | None:
    """Return the numbers in brackets if they count all files from 1 on, as a program does that renames many."""
    numbers = [_IN_BRACKETS.findall(stem) for stem in stems]
    if any(len(found) != 1 for found in numbers) or len({bare_name(stem) for stem in stems}) != 1:
        return None
    pages = tuple(int(found[0]) for found in numbers)
    every = set(pages)
    return pages if len(every) >= _FEWEST_COUNTED and every == set(range(1, len(every) + 1)) else None


def kind_of(path: str) -> str:
    """Return a path without its numbers but those of versions: what files of one kind, a page each, share.

    >>> kind_of("v1/black 3.png") == kind_of("v1/black 12.png"), kind_of("v1/black 3.png") == kind_of("v2/black 3.png")
    (True, False)
    """
    spelt = _COUNTED.sub(lambda match: match.group().translate(_SPELT), path)
    return "".join(letter for letter in spelt if not letter.isdigit())


def _holds_number(text: str) -> bool:
    return any(
        int(digits) <= HIGHEST for digits in _NUMBER.findall(text) if len(digits.lstrip("0")) <= len(str(HIGHEST))
    )
