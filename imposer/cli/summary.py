"""The few lines a person wants after a build: what was made, how much of everything, what to look at."""

from __future__ import annotations

from pathlib import Path

from imposer.cli.words import columns, finding_lines, tally
from imposer.prepared import Prepared
from imposer.words import number_of


def summary_lines(prepared: Prepared, folder: Path) -> list[str]:
    """Return the summary of a finished build."""
    (part,) = prepared.parts
    job, counts = part.job, part.plan.counts
    layout = part.imposition.layout
    booklet = part.imposition.booklet
    blanks = f", {len(booklet.blanks)} of them blank" if booklet.blanks else ""
    where = str(folder)
    rows = [
        ("booklet", f"{booklet.pages} pages{blanks}, {job.binding.style}, {job.copies} copies"),
        (
            "sheets",
            (
                f"{counts.good_sheets} good + {counts.overs} overs of {layout.stock.name} {job.sheet.paper.name}, "
                f"{counts.sheets_per_copy} a copy, {len(layout.slots)} pieces a side"
            ),
        ),
        ("masters", f"{counts.masters}, in {number_of(counts.passes, 'pass', 'passes')} of the stack"),
        ("drums", f"{number_of(counts.drum_changes, 'change', 'changes')} of ink after the first are in"),
        ("findings", tally(prepared.findings)),
        ("files", where),
    ]
    lines = [job.title, *columns(rows)]
    important = [finding for finding in prepared.findings if finding.level != "note"]
    return lines + (["", *finding_lines(important)] if important else [])
