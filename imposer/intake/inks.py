"""Which ink each delivered file is for: the words of all paths held against each other and against the shop's inks.

A word that every path holds tells nothing if others differ: it is the title. Of those that differ one must be left in
each path. Plain colours, plates and codes are looked up among the shop's inks, by name first, then by colour; whatever
is not plain becomes a question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from imposer.intake.answers import one_of_inks
from imposer.intake.clues import Clues, InkClue, plain_word, read_clues
from imposer.intake.delivery import Delivered
from imposer.intake.ink_meaning import darkest_of, meaning_of
from imposer.intake.model import Question
from imposer.intake.named import Inks, Named
from imposer.intake.plates import name_plates
from imposer.job.model import Ink


def name_inks(art: Sequence[Delivered], inks: Sequence[Ink]) -> Inks:
    """Return which ink every file is for."""
    names = {
        tuple(plain_word(name).replace("-", " ").split()): ink.name for ink in inks for name in (ink.name, *ink.also)
    }
    found = Inks()
    plated = [each for each in art if len(each.plates) > 1]
    if plated:
        name_plates(plated, inks, names, found)
        art = [each for each in art if len(each.plates) <= 1]
    clues = [read_clues(each.shown, names) for each in art]
    chosen = _choose(clues)
    if not any(chosen):
        _unnamed(art, clues, inks, found)
        return found
    meaning = _meanings(art, chosen, inks, found)
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
    """Drop the number of a layer where the ink itself is named, and a letter where a word names it."""
    found = tuple(clues)
    worded = tuple(c for c in found if c.kind in ("ink", "colour", "hex"))
    return worded or tuple(c for c in found if c.kind != "layer") or found


def _meanings(
    art: Sequence[Delivered], chosen: Sequence[tuple[InkClue, ...]], inks: Sequence[Ink], found: Inks
) -> dict[tuple[str, str], str]:
    """Return the shop's ink that each label of the files' chosen clues means; "" where only a person knows."""
    labels: Mapping[tuple[str, str], InkClue] = {clue.label: clue for clues_of in chosen for clue in clues_of}
    meaning: dict[tuple[str, str], str] = {}
    for label, clue in labels.items():
        ink, why = meaning_of(clue, inks)
        meaning[label] = ink
        if not ink:
            own = [each for each, clues_of in zip(art, chosen, strict=True) if label in {c.label for c in clues_of}]
            asks = f"which ink is “{clue.written}”? {why}"
            found.questions.append(Question(asks, (one_of_inks(inks, own),) if inks else ()))
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
        what = "is a picture in colours, not the layer" if len(coloured) == 1 else "are pictures in colours, not layers"
        asks = f"{coloured[0]}{more} {what} of one ink: ask for a gray file an ink"
        found.questions.append(Question(asks))
        return
    if not art or not inks:
        return
    darkest = darkest_of(inks)
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
