"""A job laid on its sheets before anything is printed, and if need be before there is any artwork.

A job and perhaps a page count in, its parts on their sheets out. It is a module of its own because dummy and page
guides need the sheets and nothing of tones, passes or masters.
"""

from __future__ import annotations

from imposer.errors import Fault, ImposerError
from imposer.impose_parts import ImposedPart, impose_parts, lay_parts
from imposer.job.model import Job
from imposer.pages.parts import parts_without_art

#: More pages than this are a slip of the pen.
MOST_PAGES = 5000


def lay_out(job: Job, pages: int | None = None) -> tuple[ImposedPart, ...]:
    """Lay every part of a job on its sheets.

    Args:
        job: the job.
        pages: how many pages it has; None counts the pages of its artwork.

    Raises:
        ImposerError: the artwork cannot be counted, or nothing fits the sheet.
    """
    if pages is not None:
        return lay_parts(job, parts_without_art(job, pages))
    try:
        return impose_parts(job)
    except ImposerError as error:
        offer = Fault(file=job.file, problem="it cannot be laid out yet", mend="before there is art, give --pages N")
        raise ImposerError((*error.faults, offer)) from error
