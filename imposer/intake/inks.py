"""Which ink each delivered file is for: the words of all paths held against each other and against the shop's inks.

A word that every path holds tells nothing if others differ: it is the title. Of those that differ one must be left in
each path. Plain colours, plates and codes are looked up among the shop's inks, by name first, then by colour; whatever
is not plain becomes a question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from imposer.intake.clues import Clues, InkClue, plain_word, read_clues
from imposer.intake.delivery import Delivered
from imposer.intake.model import Question
from imposer.intake.vocabulary import COLOUR_WORDS, PLAIN
from imposer.job.model import Ink
from imposer.nearest import plain

#: An ink further from a named colour than this is not that colour; one that another comes this near to is not clearly
#: the one (CIEDE2000; set by trying the plain colours on shops of six to ten inks).
FAR, NEAR = 40.0, 5.0


@dataclass(frozen=True, slots=True)
class Named:
    """A file with the ink it is for."""

    art: Delivered
    clues: Clues
    #: The word that told; None where the ink was not told by a word.
    by: InkClue | None
    ink: str


@dataclass(slots=True)
class Inks:
    """The files by ink, and what must be said."""

    named: list[Named] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    guesses: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def name_inks(art: Sequence[Delivered], inks: Sequence[Ink]) -> Inks:
    """Return which ink every file is for."""
    names = {
        tuple(plain_word(name).replace("-", " ").split()): ink.name for ink in inks for name in (ink.name, *ink.also)
    }
    clues = [read_clues(each.shown, names) for each in art]
    chosen = _choose(clues)
    found = Inks()
    if not any(chosen):
        _unnamed(art, clues, inks, found)
        return found
    meaning = _meanings({clue.label: clue for clues_of in chosen for clue in clues_of}, inks, found)
    for each, said, labels in zip(art, clues, chosen, strict=True):
        meant = dict.fromkeys(meaning[clue.label] for clue in labels if meaning[clue.label])
        unclear = [clue for clue in labels if not meaning[clue.label]]
        if len(meant) == 1 and not unclear:
            found.named.append(Named(each, said, labels[-1], next(iter(meant))))
        elif len(meant) > 1:
            found.questions.append(_two_inks(each, labels, list(meant)))
        elif not labels:
            found.questions.append(Question(f"{each.shown} names no ink, but other files do: which ink is it for?"))
    return found


def _choose(clues: Sequence[Clues]) -> list[tuple[InkClue, ...]]:
    """Return the clues that count in each path, at most one of each label."""
    every = [{clue.label for clue in each.inks} for each in clues]
    common = set.intersection(*every) if len(every) > 1 else set()
    differing = any(labels - common for labels in every)
    return [_best({c.label: c for c in each.inks if not differing or c.label not in common}.values()) for each in clues]


def _best(clues: Iterable[InkClue]) -> tuple[InkClue, ...]:
    """Drop the number of a layer where the ink itself is named."""
    found = tuple(clues)
    return tuple(c for c in found if c.kind != "layer") or found


def _meanings(
    labels: Mapping[tuple[str, str], InkClue], inks: Sequence[Ink], found: Inks
) -> dict[tuple[str, str], str]:
    """Return the shop's ink that each label means; "" where only a person knows."""
    meaning: dict[tuple[str, str], str] = {}
    for label, clue in labels.items():
        ink, why = _meaning(clue, inks)
        meaning[label] = ink
        if not ink:
            proposals = tuple(f'name = "{each.name}"' for each in inks)
            found.questions.append(Question(f"which ink is “{clue.written}”? {why}", proposals))
        elif why:
            found.guesses.append(f"“{clue.written}” is taken as {ink}: {why}")
    # Layers stand beside whatever they were named with; two words for one ink may be two layers.
    by_ink: dict[str, list[tuple[str, str]]] = {}
    for label, ink in meaning.items():
        if ink:
            by_ink.setdefault(ink, []).append(label)
    for ink, same in by_ink.items():
        if len(same) > 1 and not _one_word(same, ink):
            words = " and ".join(f"“{labels[label].written}”" for label in same)
            found.questions.append(Question(f"{words} both come nearest to {ink}: which inks are they?"))
            meaning |= dict.fromkeys(same, "")
    return meaning


def _one_word(labels: Sequence[tuple[str, str]], ink: str) -> bool:
    """Tell whether labels are the ink's own name and its plain colour, such as "black" and "K"."""
    values = {value for kind, value in labels if kind in ("colour", "plate")}
    return len(values) <= 1 and all(kind in ("ink", "colour", "plate") for kind, _ in labels) and bool(ink)


def _meaning(clue: InkClue, inks: Sequence[Ink]) -> tuple[str, str]:
    """Return the ink a clue means, or "", and why."""
    if clue.kind == "ink":
        return clue.value, ""
    if clue.kind == "layer":
        return "", "its name has only a number"
    if clue.kind == "colour":
        same = [ink.name for ink in inks if _says(ink, clue.value)]
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
    what = {"plate": f"plate {clue.written} is {clue.value}", "hex": clue.value}.get(clue.kind, clue.value)
    return ranked[0][1], f"it comes nearest to {what} of the shop's inks"


def _difference(one: str, other: str) -> float:
    from imposer.ink.colour import Colour, lab_from_rec2020
    from imposer.ink.difference import delta_e

    first, second = (lab_from_rec2020(Colour.from_hex(code).rec2020) for code in (one, other))
    return float(delta_e(first, second))


def _two_inks(each: Delivered, labels: Sequence[InkClue], meant: Sequence[str]) -> Question:
    words = " and ".join(f"“{clue.written}”" for clue in labels)
    if len(each.pages) > 1:
        return two_inks_in_one(each, meant, f"{each.shown} names {words}: do its pages take turns?")
    return Question(f"{each.shown} names two inks, {words}: which is it for?")


def two_inks_in_one(each: Delivered, inks: Sequence[str], asks: str) -> Question:
    """Return the question how several inks lie in one file, with both usual answers."""
    count, number = len(each.pages), len(inks)
    turns = [
        f'[[ink]]\nname = "{ink}"\npages = "art/{each.shown}"\ntake = "every {number} from {i}"'
        for i, ink in enumerate(inks, 1)
    ]
    part = count // number
    halves = [
        f'[[ink]]\nname = "{ink}"\npages = "art/{each.shown}"\ntake = "{i * part + 1}-{(i + 1) * part}"'
        for i, ink in enumerate(inks)
    ]
    return Question(asks, ("\n".join(turns), *(["\n".join(halves)] if count % number == 0 else [])))


def _unnamed(art: Sequence[Delivered], clues: Sequence[Clues], inks: Sequence[Ink], found: Inks) -> None:
    """Judge a delivery in which no path names an ink."""
    coloured = [each.shown for each in art if _is_coloured(each)]
    if coloured:
        more = f" and {len(coloured) - 1} more" if len(coloured) > 1 else ""
        asks = f"{coloured[0]}{more} is a picture in colours, not the layer of one ink: ask for a gray file an ink"
        found.questions.append(Question(asks))
        return
    if not art or not inks:
        return
    darkest = min(inks, key=lambda ink: _lightness(ink.colour)).name
    several = [each for each in art if len(each.pages) > 1]
    if several:
        for each in several:
            found.questions.append(_lone_file(each, darkest, [ink.name for ink in inks if ink.name != darkest][:1]))
        return
    found.guesses.append(f"no file names an ink: all are taken as {darkest}, the darkest of the shop")
    found.named += [Named(each, said, None, darkest) for each, said in zip(art, clues, strict=True)]


def _is_coloured(each: Delivered) -> bool:
    return any(finding.rule == "coloured-layer" for page in each.pages for finding in page.findings)


def _lone_file(each: Delivered, darkest: str, second: Sequence[str]) -> Question:
    asks = (
        f"{each.shown} has {len(each.pages)} pages and names no ink: is it one ink, or two that take turns or "
        "follow each other?"
    )
    one = f'[[ink]]\nname = "{darkest}"\npages = "art/{each.shown}"'
    return Question(asks, (one, *two_inks_in_one(each, (darkest, *second), "").proposals))


def _lightness(colour: str) -> float:
    from imposer.ink.colour import Colour, lab_from_rec2020

    return float(lab_from_rec2020(Colour.from_hex(colour).rec2020)[0])
