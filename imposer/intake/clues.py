"""What one file's path says: words for inks, words for covers, and what is left to be numbered. Strings alone.

A path is read in components, the file's name last; each component in words, split at separators, at the borders of
letters and digits, and where a capital follows a small letter.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Literal

from imposer.intake.vocabulary import COLOUR_WORDS, LAYER_WORDS, NOT_GLUED, PLATE_LETTERS, SHADES, USUAL_WORDS, Place
from imposer.pages.cover_words import cover_page
from imposer.pages.names import without_versions

Kind = Literal["ink", "colour", "plate", "hex", "layer"]
#: What a shop's inks are called, as plain words that follow one another, and the ink each means.
InkNames = dict[tuple[str, ...], str]

_WORD = re.compile(r"#[0-9a-fA-F]{6}(?![0-9a-fA-F])|[^\W\d_]+|\d+")
#: A cover whose pages are counted: outside front, inside front, inside back, outside back.
_COUNTED_COVER = re.compile(
    r"(?<![^\W\d_])(?:cvr|u|umschlag|couv|couverture)[\s._-]*([1-4])(?!\d)"
    r"|(?<!\d)([1-4])[\s._-]?(?:ère|ere|re|ème|eme|e|nde|de)[\s._-]+(?:de[\s._-]+)?couv(?:erture)?(?![^\W\d_])",
    re.IGNORECASE,
)
_COVER_PLACES: dict[int, Place] = {1: "front", 2: "inside front", -2: "inside back", -1: "back"}
#: Letters whose mark Unicode does not take apart.
_WHOLE_LETTERS = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "ı": "i", "æ": "ae", "œ": "oe"})
#: Words for colours that are told from the end or the beginning of another.
_LONG_COLOURS = frozenset(word for word in COLOUR_WORDS if len(word) >= 4)
#: Shorter colours are never grown onto another word, nor are those of three letters onto a short one.
_SHORTEST_GLUED, _LONG_NOUN = 3, 5
#: Usual words that make a title of a colour before them.
_TITLES = frozenset({"zine"})
#: A shorter word is no title, but "v" or "nr".
_SHORTEST_OF_A_TITLE = 3
#: Where a capital follows a small letter, and where a word in small letters follows one in capitals.
_CAMEL = re.compile(r"(?<=[a-zà-ÿ])(?=[A-ZÀ-Þ])|(?<=[A-ZÀ-Þ]{3})(?=[a-zà-ÿ]{3})")


@dataclass(frozen=True, slots=True)
class InkClue:
    """A word of a path that may name an ink."""

    kind: Kind
    #: What is compared between files: the shop's ink, the plain colour, the hex colour, the number of the layer.
    value: str
    #: As it is written.
    written: str
    #: Which component of the path, from 0, and where in it.
    component: int
    start: int
    end: int
    #: A word such as "light" beside it: "light blue" and "dark blue" are two layers.
    shade: str = ""

    @property
    def label(self) -> tuple[str, str]:
        """What tells one group of files from another."""
        return (self.kind, f"{self.shade} {self.value}".strip())


@dataclass(frozen=True, slots=True)
class Clues:
    """What a path says."""

    shown: str
    components: tuple[str, ...]
    inks: tuple[InkClue, ...]
    cover: Place | None

    def without(self, clue: InkClue | None) -> tuple[str, ...]:
        """Return the components with the word for the ink taken out, so that its digits number nothing."""
        if clue is None:
            return self.components
        parts = list(self.components)
        part = parts[clue.component]
        # A sign stays in its place, so that "final black 3" does not become the version "final 3".
        parts[clue.component] = f"{part[: clue.start]} · {part[clue.end :]}"
        return tuple(parts)

    @property
    def other_words(self) -> tuple[str, ...]:
        """The words of the file's name but letters, as plain words."""
        return tuple(word for word, *_ in _words(self.components[-1]) if not word.isdecimal() and len(word) > 1)


def plain_word(word: str) -> str:
    """Return a word in lower case without accents.

    >>> plain_word("Página"), plain_word("GRÜN"), plain_word("żółty")
    ('pagina', 'grun', 'zolty')
    """
    flat = unicodedata.normalize("NFKD", word.casefold().translate(_WHOLE_LETTERS))
    return "".join(letter for letter in flat if not unicodedata.combining(letter))


def read_clues(shown: str, ink_names: InkNames, read: str = "") -> Clues:
    """Read a path below the delivery's folder.

    Args:
        shown: the path, with "/" between folders.
        ink_names: the shop's names of inks, as plain words that follow one another, and the ink each means.
        read: the path without what counts no pages, such as dates; the path itself if left out.
    """
    path = PurePosixPath(unicodedata.normalize("NFC", read or shown))
    components = (*path.parent.parts, path.stem)
    inks: list[InkClue] = []
    cover: Place | None = None
    for number, component in enumerate(components):
        words = _words(component)
        taken, found = _ink_clues(
            words, number, ink_names, lone=number < len(components) - 1 or _holds_digit(components[:-1])
        )
        inks += found
        if number == len(components) - 1:
            cover = _cover(_left(component, words, taken))
    return Clues(shown, components, tuple(inks), cover)


def _holds_digit(folders: Sequence[str]) -> bool:
    """Tell whether folders hold numbers: then files may be named by their plate alone, "page 3/K.png"."""
    return any(letter.isdigit() for folder in folders for letter in folder)


def words_beside(component: str, clue: InkClue) -> tuple[str, ...]:
    """Return the words beside the one for an ink that could be of a title: neither usual nor short.

    >>> red = InkClue("colour", "red", "red", 0, 8, 11)
    >>> words_beside("crow in red 1", red), words_beside("page 01 red 1", red)
    (('crow',), ())
    """
    rest = f"{component[: clue.start]} {component[clue.end :]}"
    # "Zine red" is a zine in red, but a "red zine" may be called so.
    after = [word for word, *_ in _words(component[clue.end :])][:1]
    usual = USUAL_WORDS - (_TITLES & set(after))
    return tuple(
        written
        for word, written, *_ in _words(rest)
        if len(word) >= _SHORTEST_OF_A_TITLE and word not in usual and word not in SHADES and word[0].isalpha()
    )


def _left(component: str, words: Sequence[_Placed], taken: set[int]) -> str:
    """Return a component without the words that name its ink."""
    letters = list(component)
    for i in taken:
        letters[words[i][2] : words[i][3]] = " " * (words[i][3] - words[i][2])
    return "".join(letters)


#: A plain word with its place.
_Placed = tuple[str, str, int, int]


def _words(component: str) -> list[_Placed]:
    found: list[_Placed] = []
    for match in _WORD.finditer(component):
        start = match.start()
        for piece in (part for split in _CAMEL.split(match.group()) for part in _unglued(split)):
            found.append((plain_word(piece), piece, start, start + len(piece)))
            start += len(piece)
    return found


def _unglued(written: str) -> tuple[str, ...]:
    """Return a word as it is, or the two it was made of if they are a colour and a usual one.

    >>> _unglued("blackpage"), _unglued("blackbird")
    (('black', 'page'), ('blackbird',))
    """
    word = plain_word(written)
    if word in COLOUR_WORDS or word in NOT_GLUED or len(word) != len(written):
        return (written,)
    for at in range(2, len(word)):
        first, second = word[:at], word[at:]
        if _are_glued(first, second):
            return written[:at], written[at:]
    return (written,)


def _are_glued(first: str, second: str) -> bool:
    """Tell whether one word is made of two such: "blackpage", "pageblack", "hellblau", "blackp" before a number."""
    if first in COLOUR_WORDS and len(first) >= _SHORTEST_GLUED:
        long = first in _LONG_COLOURS or len(second) >= _LONG_NOUN
        return second == "p" or (len(second) > 1 and second in USUAL_WORDS and long)
    if first in SHADES:
        return second in COLOUR_WORDS and len(second) >= _SHORTEST_GLUED
    return first in USUAL_WORDS and second in _LONG_COLOURS


def _ink_clues(
    words: Sequence[_Placed], component: int, ink_names: InkNames, *, lone: bool
) -> tuple[set[int], list[InkClue]]:
    """Return the clues of one component, and which of its words they take; `lone` lets a letter alone be a plate."""
    taken: set[int] = set()
    found: list[InkClue] = []

    def take(kind: Kind, value: str, first: int, last: int) -> None:
        shade = ""
        if kind in ("ink", "colour"):
            beside = [i for i in (first - 1, last + 1) if 0 <= i < len(words) and words[i][0] in SHADES]
            if beside and beside[0] not in taken:
                shade = words[beside[0]][0]
                first, last = min(first, beside[0]), max(last, beside[0])
        taken.update(range(first, last + 1))
        start, end = words[first][2], words[last][3]
        written = " ".join(words[i][1] for i in range(first, last + 1))
        found.append(InkClue(kind, value, written, component, start, end, shade))

    for length in sorted({len(name) for name in ink_names}, reverse=True):
        for first in range(len(words) - length + 1):
            span = range(first, first + length)
            name = tuple(words[i][0] for i in span)
            if name in ink_names and not taken & set(span) and (len(name[0]) > 1 or _stands_alone(words, first)):
                take("ink", ink_names[name], first, first + length - 1)
    for i in range(len(words)):
        clue = _single_clue(words, i, lone=lone) if i not in taken else None
        if clue is not None and not taken & set(range(i, clue[2] + 1)):
            take(clue[0], clue[1], i, clue[2])
    return taken, found


def _stands_alone(words: Sequence[_Placed], i: int) -> bool:
    """Tell whether a word has a sign or a space on both its sides: a letter beside a digit may mean anything."""
    before = i == 0 or words[i - 1][3] < words[i][2]
    return before and (i + 1 == len(words) or words[i][3] < words[i + 1][2])


def _single_clue(words: Sequence[_Placed], i: int, *, lone: bool) -> tuple[Kind, str, int] | None:
    """Return what a word says by itself or with the number after it: kind, value, its last word."""
    word, written = words[i][:2]
    following = words[i + 1][0] if i + 1 < len(words) else ""
    if word.startswith("#"):
        return "hex", word, i
    if word in LAYER_WORDS and following.isdecimal():
        return "layer", str(int(following)), i + 1
    if (len(word) > 1 or not word.isascii()) and word in COLOUR_WORDS:
        return "colour", COLOUR_WORDS[word], i
    if word in PLATE_LETTERS and written.isupper() and (lone or len(words) > 1):
        return "plate", PLATE_LETTERS[word], i
    return None


def _cover(text: str) -> Place | None:
    """Return which page of a cover a name stands for, if it says so and has no other number.

    >>> _cover("insideFront"), _cover("CVR_4"), _cover("U3 v2"), _cover("front 7")
    ('inside front', 'back', 'inside back', None)
    """
    counted = _COUNTED_COVER.search(text)
    rest = without_versions(_COUNTED_COVER.sub(" ", text))
    if re.search(r"(?<!\d)\d{1,3}(?!\d)", rest):
        return None
    if counted:
        return _COVER_PLACES[(1, 2, -2, -1)[int(counted[1] or counted[2]) - 1]]
    page = cover_page(_CAMEL.sub(" ", rest))
    return None if page is None else _COVER_PLACES[page]
