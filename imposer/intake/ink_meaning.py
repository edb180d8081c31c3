"""Which ink of a shop a word of a path, or the name of a plate, means; "" and why, where only a person knows."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

from imposer.intake.clues import InkClue, plain_word
from imposer.intake.vocabulary import COLOUR_WORDS, PLAIN
from imposer.job.model import Ink
from imposer.nearest import nearest, plain

#: An ink further from a named colour than this is not that colour; one that another comes this near to is not clearly
#: the one (CIEDE2000; set by trying the plain colours on shops of six to ten inks).
FAR, NEAR = 40.0, 5.0


_NO_SUCH_SHADE = "no ink of the shop is called so, and this one has its colour"


def meaning_of(clue: InkClue, inks: Sequence[Ink]) -> tuple[str, str]:
    """Return the ink a clue means, or "", and why."""
    if clue.kind == "ink":
        return clue.value, _NO_SUCH_SHADE if clue.shade else ""
    if clue.kind == "layer":
        return "", "its name has only a number"
    if clue.kind == "colour":
        same = [ink.name for ink in inks if _says(ink, clue.value)]
        if len(same) == 1 and clue.shade:
            return same[0], _NO_SUCH_SHADE
        if len(same) == 1:
            return same[0], "" if plain(clue.written) == plain(clue.value) else f"it is a word for {clue.value}"
        if len(same) > 1:
            return "", f"the shop has {', '.join(same)}"
    colour = clue.value if clue.kind == "hex" else PLAIN[clue.value]
    return _nearest(colour, inks, clue)


def _says(ink: Ink, colour: str) -> bool:
    """Tell whether one of an ink's names holds a word for a colour."""
    words = [word for name in (ink.name, *ink.also) for word in plain_word(name).replace("-", " ").split()]
    return any(COLOUR_WORDS.get(word) == colour for word in words)


def _nearest(colour: str, inks: Sequence[Ink], clue: InkClue) -> tuple[str, str]:
    ranked = sorted((_difference(colour, ink.colour), ink.name) for ink in inks)
    if not ranked or ranked[0][0] > FAR:
        return "", "no ink of the shop comes near that colour"
    if len(ranked) > 1 and ranked[1][0] - ranked[0][0] < NEAR:
        return "", f"{ranked[0][1]} and {ranked[1][1]} are about as near to that colour"
    nearest = f"of the shop's inks it comes nearest to {clue.value}"
    return ranked[0][1], f"it stands for {clue.value}, and {nearest}" if clue.kind == "plate" else nearest


def _difference(one: str, other: str) -> float:
    from imposer.ink.colour import Colour, lab_from_rec2020
    from imposer.ink.difference import delta_e

    first, second = (lab_from_rec2020(Colour.from_hex(code).rec2020) for code in (one, other))
    return float(delta_e(first, second))


def darkest_of(inks: Sequence[Ink]) -> str:
    """Return the name of the darkest of some inks, at least one."""
    return min(inks, key=lambda ink: _lightness(ink.colour)).name


def _lightness(colour: str) -> float:
    from imposer.ink.colour import Colour, lab_from_rec2020

    return float(lab_from_rec2020(Colour.from_hex(colour).rec2020)[0])


def likely_first(inks: Sequence[Ink], words: Iterable[str], taken: Container[str]) -> list[str]:
    """Return the names of inks: that which is spelt most like a word comes first, then those no other file is for."""
    by_name = {plain_word(name): ink.name for ink in inks for name in (ink.name, *ink.also)}
    likely = [by_name[found] for word in words if (found := nearest(word, by_name))]
    free = [ink.name for ink in inks if ink.name not in taken]
    return list(dict.fromkeys([*likely, *free, *(ink.name for ink in inks)]))
