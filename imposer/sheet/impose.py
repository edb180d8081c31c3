"""Impose: a booklet's pieces on press sheets. The job and its page count in, every panel of every side out."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.fold.leaflets import joined_strip
from imposer.fold.model import Booklet
from imposer.job.booklet import booklet_of
from imposer.job.model import Job
from imposer.sheet.creep import Creep, creep_of, deepest_leaf, worth_it
from imposer.sheet.joining import glue_findings
from imposer.sheet.layout import choose_layout, piece_of
from imposer.sheet.model import Imposition, Layout, PressSheet
from imposer.sheet.panels import side_of_sheet
from imposer.sheet.stacking import stack_pieces
from imposer.units import show


def impose(job: Job, pages: int, *, outside: float = 0.0) -> Imposition:
    """Fold `pages` pages as the job binds them and lay the pieces on press sheets.

    Args:
        job: the job, or a part of one.
        pages: how many pages it has.
        outside: how thick the leaves of other parts are that lie around these, mm; they push out all of these.

    Raises:
        ImposerError: there are no pages, or nothing fits the sheet.
    """
    if pages < 1:
        raise ImposerError(
            Fault(file=job.file, problem="no page was found in any ink", mend="see [[ink]] pages in the job")
        )
    booklet, layout, tight = _laid_out(job, booklet_of(job, pages))
    flat = piece_of(job, job.page.trim, booklet.scheme, booklet.joined)
    creep, said = _creep(job, booklet, outside)
    stacking = stack_pieces(len(booklet.pieces), len(layout.slots), repeat=job.sheet.layout == "repeat")
    by_number = {piece.number: piece for piece in booklet.pieces}
    sheets = []
    for number, row in enumerate(stacking.sheets, 1):
        slots = tuple((by_number[piece] if piece else None, copy) for piece, copy in row)
        front = side_of_sheet("front", slots, layout, flat, creep)
        back = side_of_sheet("back", slots, layout, flat, creep)
        sheets.append(PressSheet(number, front, back))
    return Imposition(
        booklet=booklet,
        layout=layout,
        sheets=tuple(sheets),
        copies_per_set=stacking.copies_per_set,
        creep=creep.of(deepest_leaf(booklet)),
        findings=tight + said,
    )


def _laid_out(job: Job, booklet: Booklet) -> tuple[Booklet, Layout, tuple[Finding, ...]]:
    """Return the layout; of an accordion too long for the sheet, also the pieces it is joined from."""
    try:
        return booklet, *choose_layout(job, booklet.scheme)
    except ImposerError as error:
        if job.binding.style != "accordion":
            raise
        if booklet.pieces[0].poster is not None:
            mend = (
                "the back is one poster, so the strip cannot be joined from several sheets: fewer panels, or no poster"
            )
            raise ImposerError([replace(fault, mend=f"{fault.mend}; {mend}") for fault in error.faults]) from error
        too_long = booklet.scheme.columns
        for columns in range(too_long - 1, 0, -1):
            try:
                layout, tight = choose_layout(job, booklet.scheme, columns)
            except ImposerError:
                continue
            # No more pieces than it takes, but as even as they can be.
            even = ceil(too_long / ceil(too_long / columns))
            layout, tight = choose_layout(job, booklet.scheme, even)
            joined = joined_strip(booklet, even)
            return joined, layout, (*tight, *glue_findings(job, joined))
        raise


def _creep(job: Job, booklet: Booklet, outside: float) -> tuple[Creep, tuple[Finding, ...]]:
    """Return the creep that is compensated, and what must be said about it."""
    deepest = deepest_leaf(booklet)
    creep = creep_of(job.binding.creep, job.sheet.paper.caliper, deepest, outside)
    total = creep.of(deepest)
    if total == 0 or worth_it(total):
        return creep, ()
    left_out = Finding(
        rule="creep-left-out",
        level="note",
        message=f"creep is {show(total)} mm in all and is left out: the machine's register is coarser",
        measured=f"{show(total)} mm",
        limit="0.05 mm",
    )
    return Creep(), (left_out,)
