"""Impose: a booklet's pieces on press sheets. The job and its page count in, every panel of every side out."""

from __future__ import annotations

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.fold.booklet import fold_booklet
from imposer.fold.model import Booklet
from imposer.job.model import Job
from imposer.sheet.creep import creep_step, deepest_leaf, worth_it
from imposer.sheet.layout import choose_layout, piece_of
from imposer.sheet.model import Imposition, PressSheet
from imposer.sheet.panels import side_of_sheet
from imposer.sheet.stacking import stack_pieces
from imposer.units import show


def impose(job: Job, pages: int) -> Imposition:
    """Fold `pages` pages as the job binds them and lay the pieces on press sheets.

    Raises:
        ImposerError: there are no pages, or nothing fits the sheet.
    """
    if pages < 1:
        raise ImposerError(
            Fault(file=job.file, problem="no page was found in any ink", mend="see [[ink]] pages in the job")
        )
    booklet = fold_booklet(
        pages,
        scheme=job.binding.scheme,
        pieces_per_signature=None if job.binding.style == "saddle" else job.binding.pieces_per_signature or 1,
        right_to_left=job.binding.reading == "right-to-left",
    )
    layout, tight = choose_layout(job, booklet.scheme)
    flat = piece_of(job, job.page.trim, booklet.scheme)
    step, total, said = _creep(job, booklet)
    stacking = stack_pieces(len(booklet.pieces), len(layout.slots))
    by_number = {piece.number: piece for piece in booklet.pieces}
    sheets = []
    for number, row in enumerate(stacking.sheets, 1):
        slots = tuple((by_number[piece] if piece else None, copy) for piece, copy in row)
        front = side_of_sheet("front", slots, layout, flat, step)
        back = side_of_sheet("back", slots, layout, flat, step)
        sheets.append(PressSheet(number, front, back))
    return Imposition(
        booklet=booklet,
        layout=layout,
        sheets=tuple(sheets),
        copies_per_set=stacking.copies_per_set,
        creep=total,
        findings=tight + said,
    )


def _creep(job: Job, booklet: Booklet) -> tuple[float, float, tuple[Finding, ...]]:
    """Return creep from leaf to leaf, its total as compensated, and what must be said about it."""
    deepest = deepest_leaf(booklet)
    step = creep_step(job.binding.creep, job.sheet.paper.caliper, deepest)
    total = step * deepest
    if total == 0 or worth_it(total):
        return step, total, ()
    left_out = Finding(
        rule="creep-left-out",
        level="note",
        message=f"creep is {show(total)} mm in all and is left out: the machine's register is coarser",
        measured=f"{show(total)} mm",
        limit="0.05 mm",
    )
    return 0.0, 0.0, (left_out,)
