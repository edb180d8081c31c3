"""A job laid on its sheets before anything is printed, and if need be before there is any artwork.

A job and perhaps a page count in, one imposition a part out. It is a module of its own because dummy and page guides
need the sheets and nothing of tones, passes or masters.
"""

from __future__ import annotations

from dataclasses import dataclass

from imposer.errors import Fault, ImposerError
from imposer.job.model import Job
from imposer.pages.find import find_pages
from imposer.sheet.impose import impose
from imposer.sheet.model import Imposition

#: More pages than this are a slip of the pen.
MOST_PAGES = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class UnprintedPart:
    """One part of a job on its sheets."""

    #: The part as a job of its own.
    job: Job
    imposition: Imposition
    #: What the part is called; empty if the job has one part.
    name: str = ""


def lay_out(job: Job, pages: int | None = None) -> tuple[UnprintedPart, ...]:
    """Lay every part of a job on its sheets.

    Args:
        job: the job.
        pages: how many pages it has; None counts the pages of its artwork.

    Raises:
        ImposerError: the artwork cannot be counted, or nothing fits the sheet.
    """
    count = _count(job) if pages is None else pages
    return (UnprintedPart(job=job, imposition=impose(job, count)),)


def _count(job: Job) -> int:
    try:
        pages = find_pages(job).pages
    except ImposerError as error:
        offer = Fault(file=job.file, problem="the pages cannot be counted yet", mend="say how many with --pages N")
        raise ImposerError((*error.faults, offer)) from error
    if pages < 1:
        raise ImposerError(
            Fault(file=job.file, problem="no page was found in any ink", mend="say how many with --pages N")
        )
    return pages
