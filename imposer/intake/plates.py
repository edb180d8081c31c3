"""Files in process or spot colours: which ink of the shop each of their plates may stand for. A person must agree.

A file whose plates stand for inks and a picture in full colour look alike, so the mapping is written into the job and
asked about. Black is the shop's black or its darkest ink; the other process colours, and spot colours called by a plain
colour, are the inks that come nearest; a spot colour of another name is a question of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from imposer.intake.answers import one_of_inks, quoted
from imposer.intake.clues import Clues, InkClue, InkNames, read_clues
from imposer.intake.delivery import Delivered
from imposer.intake.ink_meaning import darkest_of, meaning_of
from imposer.intake.model import Question
from imposer.intake.named import Inks, Named
from imposer.job.model import Ink
from imposer.pages.plates import BLACK, PROCESS, joined


def name_plates(art: Sequence[tuple[Delivered, Clues]], inks: Sequence[Ink], names: InkNames, found: Inks) -> None:
    """Take every file once for each of its plates.

    Args:
        art: the files, each in process or spot colours, and what their paths say.
        inks: the shop's inks.
        names: what each ink is called, as for `clues.read_clues`.
        found: the inks so far, and what must be said; added to.
    """
    files = [each for each, _ in art]
    plates = joined(plate for each in files for plate in each.plates)
    more = f" and {len(art) - 1} more" if len(art) > 1 else ""
    what = f"{files[0].shown}{more}"
    meaning = {plate: _meaning(plate, inks, names) for plate in plates}
    by_ink: dict[str, list[str]] = {}
    for plate, (ink, _) in meaning.items():
        by_ink.setdefault(ink, []).append(plate)
    told = []
    for plate, (ink, why) in meaning.items():
        if not ink or len(by_ink[ink]) > 1:
            because = why if not ink else f"{' and '.join(by_ink[ink])} both come nearest to {ink}"
            proposals = (one_of_inks([one.name for one in inks], files, f"plate = {quoted(plate)}"),) if inks else ()
            found.questions.append(Question(f"which ink is plate {plate} of {what}? {because}", proposals))
            continue
        told.append(f"{plate} for {ink}")
        found.guesses.append(f"plate {plate} is taken as {ink}: {why or 'it is called so'}")
        for each, clues in art:
            found.named.append(Named(_on_plate(each, plate), clues, None, ink, plate))
    stand = f", {', '.join(told)}" if told else ""
    asks = (
        f"{what} {'have' if len(art) > 1 else 'has'} plates {', '.join(plates)}: do they stand for inks{stand}? "
        "If not, it is a picture in full colour: ask for a gray file an ink"
    )
    found.questions.insert(0, Question(asks))


def name_lone_plates(found: Inks) -> None:
    """Take each ink by its plate whose files all carry the same one: a layer drawn in magenta is a layer."""
    for ink in dict.fromkeys(each.ink for each in found.named):
        own = [each for each in found.named if each.ink == ink]
        plates = {each.art.plates for each in own}
        if len(plates) != 1 or any(each.plate for each in own) or len(own[0].art.plates) != 1:
            continue
        (plate,) = own[0].art.plates
        if plate == BLACK:
            continue
        found.guesses.append(f"all art of {ink} is on plate {plate}: it is taken, so that it prints at full tone")
        found.named = [
            replace(each, art=_on_plate(each.art, plate), plate=plate) if each.ink == ink else each
            for each in found.named
        ]


def keep_one_plate_an_ink(found: Inks) -> None:
    """Ask about an ink that is a plate of some files and all of others: gray ones would be blank on it.

    Gray is on the plate of black alone, so black may be both.
    """
    for ink in dict.fromkeys(each.ink for each in found.named):
        plated = [each for each in found.named if each.ink == ink and each.plate]
        plain = [each for each in found.named if each.ink == ink and not each.plate]
        gray = all(set(each.art.plates) <= {BLACK} for each in plain)
        if not plated or not plain or (plated[0].plate == BLACK and gray):
            continue
        asks = (
            f"{ink} is plate {plated[0].plate} of {plated[0].art.shown} and all of {plain[0].art.shown}, but a job "
            "takes one plate of all files of an ink: ask for gray files of all its pages"
        )
        found.questions.append(Question(asks))
        found.named = [each for each in found.named if each not in plain]


def _on_plate(art: Delivered, plate: str) -> Delivered:
    """Return a file of which one plate counts."""
    return replace(art, pages=tuple(replace(page, plate=plate) for page in art.pages))


def _meaning(plate: str, inks: Sequence[Ink], names: InkNames) -> tuple[str, str]:
    """Return the ink a plate means, or "", and why."""
    if plate in PROCESS:
        ink, why = meaning_of(InkClue("colour", plate, plate, 0, 0, 0), inks)
        if not ink and plate == BLACK and inks:
            return darkest_of(inks), "it is the darkest of the shop"
        return ink, why
    clues = [clue for clue in read_clues(plate, names).inks if clue.kind != "layer"]
    meant = {ink: why for clue in clues for ink, why in [meaning_of(clue, inks)] if ink}
    if len(meant) == 1:
        return next(iter(meant.items()))
    return "", "its name tells several inks" if meant else "its name is none of the shop's"
