"""Which ink each delivered file is for: the words of all paths held against each other and against the shop's inks.

A word that every path holds tells nothing if others differ: it is the title. Of those that differ one must be left in
each path. Plain colours, plates and codes are looked up among the shop's inks, by name first, then by colour; whatever
is not plain becomes a question.
"""

from __future__ import annotations

import functools
import operator
from collections import Counter
from collections.abc import Mapping, Sequence

from imposer.intake.answers import ink_of_files, offered, one_of_inks
from imposer.intake.clues import Clues, InkClue, InkNames, plain_word, read_clues, words_beside
from imposer.intake.delivery import Delivered
from imposer.intake.ink_meaning import darkest_of, likely_first, meaning_of
from imposer.intake.model import Question
from imposer.intake.named import InkDoubt, Inks, Named, Title
from imposer.intake.not_pages import without_dates_and_sizes
from imposer.intake.plates import keep_one_plate_an_ink, name_lone_plates, name_plates
from imposer.intake.turns import two_inks_in_one
from imposer.job.model import Ink


def name_inks(art: Sequence[Delivered], inks: Sequence[Ink]) -> Inks:
    """Return which ink every file is for."""
    names: InkNames = {
        tuple(plain_word(name).replace("-", " ").split()): ink.name for ink in inks for name in (ink.name, *ink.also)
    }
    found = Inks()
    read = without_dates_and_sizes([each.shown for each in art])
    every = [(each, read_clues(each.shown, names, path)) for each, path in zip(art, read, strict=True)]
    plated = [pair for pair in every if len(pair[0].plates) > 1]
    if plated:
        name_plates(plated, inks, names, found)
        every = [pair for pair in every if len(pair[0].plates) <= 1]
    if not every:
        return found
    chosen = _by_one_component([clues for _, clues in every], found) or _choose([clues for _, clues in every])
    if not any(chosen):
        _unnamed(every, inks, found)
        return found
    meaning = _meanings([each for each, _ in every], chosen, inks, found)
    unnamed: dict[tuple[str, ...], list[tuple[Delivered, Clues]]] = {}
    doubtful: dict[tuple[str, ...], list[_Doubtful]] = {}
    for (each, said), labels in zip(every, chosen, strict=True):
        meant = tuple(dict.fromkeys(meaning[clue.label] for clue in labels if meaning[clue.label]))
        unclear = [clue for clue in labels if not meaning[clue.label]]
        if len(meant) == 1 and not unclear:
            found.named.append(Named(each, said, labels[-1], meant[0]))
        elif len(meant) > 1:
            doubtful.setdefault((*meant, each.shown) if len(each.pages) > 1 else meant, []).append((each, said, labels))
        elif not labels:
            unnamed.setdefault(said.other_words, []).append((each, said))
    several = [files[0] for files in doubtful.values() if len(files[0][0].pages) > 1]
    found.questions += [_taking_turns(art, labels, meaning) for art, _, labels in several]
    by_inks = [files for files in doubtful.values() if len(files[0][0].pages) == 1]
    single = [each for files in by_inks for each in files]
    if len({tuple(meaning[clue.label] for clue in labels) for *_, labels in single}) > 1:
        found.doubts.append(_first_or_last(single, meaning))
    else:
        found.doubts += [_two_inks(files, meaning) for files in by_inks]
    found.doubts += [_no_ink(files, words, inks, found) for words, files in unnamed.items()]
    _ask_about_a_title(every, chosen, inks, found)
    name_lone_plates(found)
    keep_one_plate_an_ink(found)
    return found


def _by_one_component(clues: Sequence[Clues], found: Inks) -> list[tuple[InkClue, ...]]:
    """Return the clues of the folders, or of the files' names, if these alone name one ink each in every path.

    Other words for colours are then of titles: "red/2 green wood.png", "black/2 green wood.png".
    """
    shallowest = min(len(each.components) for each in clues)
    # A file's name is counted from the end, folders from the delivery's.
    levels = [-1, *range(shallowest - 1)]
    named = {level: [_best(_at(each, level)) for each in clues] for level in levels}
    full = [
        level
        for level, own in named.items()
        if all(len(each) == 1 for each in own) and len({each[0].label for each in own}) > 1
    ]
    if len(full) != 1:
        return []
    (level,) = full
    chosen = named[level]
    inks_of: dict[tuple[str, ...], set[tuple[str, str]]] = {}
    titles: set[tuple[str, ...]] = set()
    for each, (ink,) in zip(clues, chosen, strict=True):
        beside = [clue for clue in each.inks if clue.component != ink.component]
        words = tuple(each.components[at] for at in sorted({clue.component for clue in beside}))
        inks_of.setdefault(words, set()).add(ink.label)
        if any(clue.label != ink.label for clue in beside):
            titles.add(words)
    # What stands in several inks is none itself.
    if not titles or any(len(inks_of[title]) == 1 for title in titles):
        return []
    told = ", ".join(f"“{title[-1]}”" for title in sorted(titles))
    where = "files" if level == -1 else "folders"
    found.guesses.append(f"the names of all {where} say the ink, so words for colours in {told} are taken as titles")
    return chosen


def _at(clues: Clues, level: int) -> tuple[InkClue, ...]:
    at = level % len(clues.components)
    return tuple(clue for clue in clues.inks if clue.component == at)


def _choose(clues: Sequence[Clues]) -> list[tuple[InkClue, ...]]:
    """Return the clues that count in each path, at most one of each label."""
    every = [Counter(clue.label for clue in each.inks) for each in clues]
    common = functools.reduce(operator.and_, every) if len(every) > 1 else Counter()
    differing = any(labels - common for labels in every)
    return [_best(_without_title(each.inks, common) if differing else each.inks) for each in clues]


def _without_title(clues: Sequence[InkClue], title: Counter[tuple[str, str]]) -> tuple[InkClue, ...]:
    """Leave out each word as often as all paths hold it: "black cat 1 black" is of black, "black cat 1 blue" is not."""
    left = list(clues)
    for label in title.elements():
        left.remove(next(clue for clue in left if clue.label == label))
    return tuple(left)


def _best(clues: Sequence[InkClue]) -> tuple[InkClue, ...]:
    """Drop the number of a layer where the ink itself is named, and a letter where a word names it."""
    found = tuple({clue.label: clue for clue in clues}.values())
    worded = tuple(c for c in found if c.kind in ("ink", "colour", "hex"))
    return worded or tuple(c for c in found if c.kind != "layer") or found


def _meanings(
    art: Sequence[Delivered], chosen: Sequence[tuple[InkClue, ...]], inks: Sequence[Ink], found: Inks
) -> dict[tuple[str, str], str]:
    """Return the shop's ink that each label of the files' chosen clues means; "" where only a person knows."""
    labels: Mapping[tuple[str, str], InkClue] = {clue.label: clue for clues_of in chosen for clue in clues_of}
    meaning: dict[tuple[str, str], str] = {}
    unclear: list[tuple[str, str]] = []
    for label, clue in labels.items():
        ink, why = meaning_of(clue, inks)
        meaning[label] = ink
        if not ink:
            own = [each for each, clues_of in zip(art, chosen, strict=True) if label in {c.label for c in clues_of}]
            asks = f"which ink is “{clue.written}”? {why}"
            # Another ink comes first for each, so that no two answers are the same one.
            at = len(unclear) % max(len(inks), 1)
            unclear.append(label)
            order = [one.name for one in (*inks[at:], *inks[:at])]
            found.questions.append(Question(asks, offered(one_of_inks(order, own))))
        elif why:
            found.guesses.append(f"“{clue.written}” is taken as {ink}: {why}")
    # Layers stand beside whatever they were named with; two words for one ink may be two layers.
    by_ink: dict[str, list[tuple[str, str]]] = {}
    for label, ink in meaning.items():
        if ink:
            by_ink.setdefault(ink, []).append(label)
    for ink, same in by_ink.items():
        if len(same) > 1 and not _one_word([labels[label] for label in same]):
            words = " and ".join(f"“{labels[label].written}”" for label in same)
            ways = [
                one_of_inks(
                    [ink, *(one.name for one in inks if one.name != ink)],
                    [each for each, clues_of in zip(art, chosen, strict=True) if label in {c.label for c in clues_of}],
                )
                for label in same
            ]
            found.questions.append(Question(f"{words} both come nearest to {ink}: which inks are they?", tuple(ways)))
            meaning |= dict.fromkeys(same, "")
    return meaning


def _one_word(clues: Sequence[InkClue]) -> bool:
    """Tell whether words are an ink's own name and its plain colour, in one shade, such as "black" and "K"."""
    values = {clue.value for clue in clues if clue.kind in ("colour", "plate")}
    shades = {clue.shade for clue in clues}
    return len(values) <= 1 and len(shades) == 1 and all(clue.kind in ("ink", "colour", "plate") for clue in clues)


def _some(files: Sequence[Delivered]) -> str:
    """Write a file, or the first of many."""
    return files[0].shown if len(files) == 1 else f"{files[0].shown} and {len(files) - 1} more"


#: A file of one page, what its path says, and the words that may name its ink.
_Doubtful = tuple[Delivered, Clues, tuple[InkClue, ...]]


def _in_order(labels: Sequence[InkClue]) -> list[InkClue]:
    """Return words in the order of the path."""
    return sorted(labels, key=lambda clue: (clue.component, clue.start))


def _said(labels: Sequence[InkClue]) -> str:
    return " and ".join(f"“{clue.written}”" for clue in _in_order(labels))


def _taking_turns(art: Delivered, labels: Sequence[InkClue], meaning: Mapping[tuple[str, str], str]) -> Question:
    """Ask about a file of several pages that names several inks."""
    meant = list(dict.fromkeys(meaning[clue.label] for clue in _in_order(labels) if meaning[clue.label]))
    return two_inks_in_one(art, meant, f"{art.shown} names {_said(labels)}: do its pages take turns?")


def _two_inks(files: Sequence[_Doubtful], meaning: Mapping[tuple[str, str], str]) -> InkDoubt:
    """Ask about files of one page that name the same inks."""
    labels = files[0][2]
    asks = (
        f"{_some([art for art, *_ in files])} name{'s' if len(files) == 1 else ''} two inks, {_said(labels)}: "
        "which is it for?"
    )
    words = {meaning[clue.label]: clue.label for clue in reversed(_in_order(labels)) if meaning[clue.label]}
    ways = tuple(
        tuple(Named(art, said, next(c for c in own if c.label == label), ink) for art, said, own in files)
        for ink, label in reversed(words.items())
    )
    return InkDoubt(asks, ways)


def _first_or_last(files: Sequence[_Doubtful], meaning: Mapping[tuple[str, str], str]) -> InkDoubt:
    """Ask about files of one page that each name several inks, not all the same: a page may have one in its title."""
    ways = []
    for at in (-1, 0):
        clues = [_in_order(labels)[at] for *_, labels in files]
        known = all(meaning[clue.label] for clue in clues)
        told = zip(files, clues, strict=True)
        ways.append(tuple(Named(art, said, clue, meaning[clue.label]) for (art, said, _), clue in told if known))
    asks = f"{_some([art for art, *_ in files])} name two inks each: is the last word for a colour the ink?"
    return InkDoubt(asks, tuple(ways))


def _no_ink(
    files: Sequence[tuple[Delivered, Clues]], words: Sequence[str], inks: Sequence[Ink], found: Inks
) -> InkDoubt:
    """Ask about files that name no ink while others do; the ink spelt most like a word of theirs comes first."""
    verb = "names" if len(files) == 1 else "name"
    art = [each for each, _ in files]
    asks = f"{_some(art)} {verb} no ink, but other files do: which ink is it for, if any?"
    likely = likely_first(inks, words, {each.ink for each in found.named})
    ways = tuple(tuple(Named(each, said, None, ink) for each, said in files) for ink in likely[:1])
    return InkDoubt(asks, ways, tuple(likely[1:]))


def _ask_about_a_title(
    every: Sequence[tuple[Delivered, Clues]], chosen: Sequence[tuple[InkClue, ...]], inks: Sequence[Ink], found: Inks
) -> None:
    """Ask whether the one word for an ink that all paths hold is of a title, such as "blue kite" and "heron in red"."""
    labels = {clue.label for clues in chosen for clue in clues}
    named = {each.ink for each in found.named}
    # Files that name no ink are taken as the darkest: then the word makes no difference.
    if not all(chosen) or len(labels) != 1 or len(named) != 1 or named == {darkest_of(inks)}:
        return
    told = zip([clues for _, clues in every], [labels[-1] for labels in chosen], strict=True)
    beside = [words_beside(clues.components[clue.component], clue) for clues, clue in told]
    common = [word for word in beside[0] if all(word in words for words in beside)]
    if not common:
        return
    clue, (ink,) = chosen[0][-1], named
    asks = f"every name says “{clue.written}” beside “{' '.join(common)}”: is it the ink, {ink}, or part of the title?"
    found.title = Title(asks, (ink, darkest_of(inks)))


def _unnamed(every: Sequence[tuple[Delivered, Clues]], inks: Sequence[Ink], found: Inks) -> None:
    """Judge a delivery in which no path names an ink."""
    art = [each for each, _ in every]
    coloured = [each.shown for each in art if _is_coloured(each)]
    if coloured:
        more = f" and {len(coloured) - 1} more" if len(coloured) > 1 else ""
        what = "is a picture in colours, not the layer" if len(coloured) == 1 else "are pictures in colours, not layers"
        asks = f"{coloured[0]}{more} {what} of one ink: ask for a gray file an ink"
        found.questions.append(Question(asks))
        return
    if not inks:
        return
    darkest = darkest_of(inks)
    several = [each for each in art if len(each.pages) > 1]
    if several:
        for each in several:
            found.questions.append(_lone_file(each, darkest, [ink.name for ink in inks if ink.name != darkest][:1]))
        return
    found.guesses.append(f"no file names an ink: all are taken as {darkest}, the darkest of the shop")
    found.named += [Named(each, said, None, darkest) for each, said in every]


def _is_coloured(each: Delivered) -> bool:
    return any(finding.rule == "coloured-layer" for page in each.pages for finding in page.findings)


def _lone_file(each: Delivered, darkest: str, second: Sequence[str]) -> Question:
    asks = (
        f"{each.shown} has {len(each.pages)} pages and names no ink: is it one ink, or two that take turns or "
        "follow each other?"
    )
    return Question(asks, (ink_of_files(darkest, [each]), *two_inks_in_one(each, (darkest, *second), "").proposals))
