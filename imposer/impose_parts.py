"""Every part of a job on its press sheets, numbered as the whole job counts. Art found in, impositions out.

A part's pages must fill its pieces wherever other pages follow: blanks in the middle of a book are for the artist to
place. Pages of an extra are numbered after the reader's last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from imposer.errors import Fault, ImposerError
from imposer.job.model import Job
from imposer.pages.model import PageTable
from imposer.pages.parts import PartArt, find_parts, moved_to
from imposer.sheet.impose import impose
from imposer.sheet.model import Imposition
from imposer.sheet.numbering import numbered_in_job
from imposer.words import number_of, runs_of


@dataclass(frozen=True, slots=True, kw_only=True)
class ImposedPart:
    """A part on its sheets."""

    name: str
    job: Job
    #: Its pages in order, blanks included.
    pages: tuple[int, ...]
    extra: bool
    art: PartArt
    table: PageTable
    imposition: Imposition


def impose_parts(job: Job) -> tuple[ImposedPart, ...]:
    """Find the art of a job and lay every part of it on sheets.

    Raises:
        ImposerError: art cannot be used, nothing fits a sheet, or blanks would fall between pages.
    """
    return lay_parts(job, find_parts(job))


def lay_parts(job: Job, found: tuple[PartArt, ...]) -> tuple[ImposedPart, ...]:
    """Lay the parts of a job on sheets, whether their art was found or only counted.

    Raises:
        ImposerError: nothing fits a sheet, or blanks would fall between pages.
    """
    found = _with_spines(found)
    wrapped = _wrapped_in(found)
    flat = [
        impose(part.job, len(part.pages), outside=wrapped if _is_nested(part) and not part.outer else 0.0)
        for part in found
    ]
    numbers = _numbered(job, found, [imposition.booklet.pages for imposition in flat])
    parts = []
    sheets = 0
    for part, imposition, pages in zip(found, flat, numbers, strict=True):
        table = moved_to(part.table, dict(zip(part.pages, pages, strict=False))) if part.extra else part.table
        parts.append(
            ImposedPart(
                name=part.name,
                job=part.job,
                pages=pages,
                extra=part.extra,
                art=part,
                table=table,
                imposition=numbered_in_job(imposition, pages, sheets),
            )
        )
        sheets += len(imposition.sheets)
    return tuple(parts)


def _with_spines(parts: tuple[PartArt, ...]) -> tuple[PartArt, ...]:
    """Make every spine that is as thick as what it wraps so thick: caliper × leaves of all that no reader skips."""
    block = sum(
        ceil(len(part.pages) / 2) * part.job.sheet.paper.caliper for part in parts if not part.extra and not part.outer
    )
    return tuple(
        replace(part, job=replace(part.job, binding=replace(part.job.binding, spine=block)))
        if part.job.binding.spine == "auto"
        else part
        for part in parts
    )


def _is_nested(part: PartArt) -> bool:
    return part.job.binding.style == "saddle"


def _wrapped_in(parts: Sequence[PartArt]) -> float:
    """Return how thick a saddle-stitched cover is around the rest, mm, on one side of its fold."""
    return sum(len(part.pages) / 4 * part.job.sheet.paper.caliper for part in parts if part.outer and _is_nested(part))


def _numbered(job: Job, parts: Sequence[PartArt], filled: Sequence[int]) -> list[tuple[int, ...]]:
    """Return the reader's number of every page of every part, blanks included."""
    last = max((part.pages[-1] for part in parts if not part.extra and part.pages), default=0)
    faults: list[Fault] = []
    numbers: list[tuple[int, ...]] = []
    following = last + max((f - len(p.pages) for p, f in zip(parts, filled, strict=True) if not p.extra), default=0)
    for number, (part, pages) in enumerate(zip(parts, filled, strict=True), start=1):
        blanks = pages - len(part.pages)
        if part.extra:
            numbers.append(tuple(range(following + 1, following + pages + 1)))
            following += pages
            continue
        if blanks and part.outer:
            faults.append(_unfilled_cover(job, number, part, pages))
        elif blanks and part.pages[-1] != last:
            at = part.pages[-1] + 1
            faults.append(
                Fault(
                    file=job.file,
                    place=f"part[{number}].pages",
                    problem=(
                        f"{part.name} has {number_of(len(part.pages), 'page')} ({runs_of(part.pages)}), which do not "
                        f"fill its pieces ({pages}), and page {at} follows"
                    ),
                    mend=f"leave {number_of(blanks, 'page')} blank before page {at}, and number on from there",
                )
            )
        numbers.append((*part.pages, *range(last + 1, last + blanks + 1)))
    if faults:
        raise ImposerError(faults)
    return numbers


def _unfilled_cover(job: Job, number: int, part: PartArt, pages: int) -> Fault:
    """Say of a cover that it is blanks inside it that would have to fill its pieces, one for each end of the book."""
    return Fault(
        file=job.file,
        place=f"part[{number}].pages",
        problem=(
            f"{part.name} has {number_of(len(part.pages), 'page')} ({runs_of(part.pages)}), which do not fill its "
            f"pieces ({pages}), and what is blank would lie inside it"
        ),
        mend=f'write "outer {pages}", and number the pages so that those inside the cover are blank',
    )
