"""Masters in, the booklet they would make out, with whatever does not read 1 … N. Read this as the table of contents.

1. survey   every page of every file says what it is                        fold_back.survey
2. gather   one page for every master of one set, no more and none less     fold_back.gather
3. look     every panel rendered and held against its page                  fold_back.look
4. fold     sheets cut, folded, nested, gathered                            fold_back.paper
5. read     1 … N, heads up                                                 here
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.findings import Side
from imposer.fold_back.gather import Gathered, gather
from imposer.fold_back.paper import Face, Place, fold_part
from imposer.fold_back.printed import Look, OnPrinted, look_at_masters
from imposer.fold_back.record import PartRecord, RecordError
from imposer.fold_back.survey import survey_masters
from imposer.limits import LIMITS, Limits
from imposer.progress import Progress


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedPart:
    """One part of a booklet as it was folded."""

    part: PartRecord
    #: The pages of every copy in reading order; the first is the one to look at.
    copies: tuple[tuple[Place, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedBack:
    """What a set of masters would make."""

    title: str
    pages: int
    parts: tuple[FoldedPart, ...]
    #: The inks that were found on each page.
    inks: Mapping[int, tuple[str, ...]]
    #: What was found on every side that a master covers, panel by panel.
    faces: Mapping[tuple[int, Side], tuple[Face, ...]]
    #: Whatever is not as it should be; empty if the booklet reads 1 … N.
    faults: tuple[Fault, ...]
    #: Good to know, in words.
    notes: tuple[str, ...] = ()


def fold_back(
    out: Path,
    *,
    look: Look | None = None,
    on_printed: OnPrinted | None = None,
    progress: Progress | None = None,
    limits: Limits = LIMITS,
) -> FoldedBack:
    """Fold the masters of a folder back.

    Args:
        out: an output folder, or its folder of masters.
        look: looks at one panel besides; see `fold_back.artwork`.
        on_printed: is called with every rendered side, for pictures of it.
        progress: told how far it is.
        limits: what rendering a page may take.

    Raises:
        ImposerError: there are no masters, or one cannot be opened.
    """
    gathered = gather(survey_masters(out))
    seen = look_at_masters(gathered, look, on_printed, progress, limits)
    faults = [*gathered.faults, *seen.faults]
    parts = []
    for part in gathered.parts:
        try:
            copies = fold_part(part, seen.faces)
        except RecordError as error:
            faults.append(Fault(file=gathered.title, place=_part_words(gathered, part), problem=str(error)))
            continue
        folded = FoldedPart(part=part, copies=copies)
        parts.append(folded)
        faults += _misread(folded, gathered.title)
    return FoldedBack(
        title=gathered.title,
        pages=gathered.pages,
        parts=tuple(parts),
        inks=seen.inks,
        faces=seen.faces,
        faults=tuple(faults),
        notes=gathered.notes,
    )


def must_read(folded: FoldedBack) -> None:
    """Refuse what does not read 1 … N.

    Raises:
        ImposerError: the first of its faults, a line each.
    """
    if folded.faults:
        raise ImposerError(folded.faults[:_TOLD])


#: No more faults than this are told where masters are refused.
_TOLD = 12


def _part_words(gathered: Gathered, part: PartRecord) -> str:
    if len(gathered.parts) == 1:
        return ""
    return f"part {part.name}" if part.name else f"part {part.number}"


def _misread(folded: FoldedPart, shown: str) -> Iterator[Fault]:
    """Yield what a reader of the folded part would stumble over."""
    part = folded.part
    for copy, places in enumerate(folded.copies, 1):
        of_copy = f"copy {copy}, " if len(folded.copies) > 1 else ""
        if len(places) != len(part.pages):
            problem = f"folds to {len(places)} pages, but has {len(part.pages)}"
            yield Fault(file=shown, place=of_copy.rstrip(", "), problem=problem)
        for place, wanted in zip(places, part.pages, strict=False):
            problem = misread(part, place, wanted)
            if problem:
                yield Fault(file=shown, place=f"{of_copy}page {wanted} of the booklet", problem=problem)


def misread(part: PartRecord, place: Place, wanted: int) -> str:
    """Return what is wrong where a reader should meet a page, in words; empty if nothing is."""
    if place.face is None or place.face.bare:
        return "" if wanted in part.bare else "does not read: no ink of it is there"
    if place.face.page is None:
        return "does not read: what comes there is no page of it"
    if place.face.page != wanted:
        return f"does not read: page {place.face.page} comes there"
    return "" if place.head == "up" else f"lies with its head {place.head}"
