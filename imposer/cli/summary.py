"""The few lines a person wants after a build: what was made, how much of everything, what to look at."""

from __future__ import annotations

from pathlib import Path

from imposer.cli.words import columns, finding_lines, tally
from imposer.errors import one_line
from imposer.plan.counts import totals
from imposer.prepared import Prepared, PreparedPart
from imposer.words import number_of


def summary_lines(prepared: Prepared, folder: Path) -> list[str]:
    """Return the summary of a finished build."""
    total = totals([part.plan for part in prepared.parts])
    booklets = [_booklet(part) for part in prepared.parts]
    papers = [_sheets(part) for part in prepared.parts]
    rows = [
        *(("booklet" if i == 0 else "", line) for i, line in enumerate(booklets)),
        *(("sheets" if i == 0 else "", line) for i, line in enumerate(papers)),
        ("masters", f"{total.masters}, in {number_of(total.passes, 'pass', 'passes')} of the stack"),
        ("drums", f"{number_of(total.drum_changes, 'change', 'changes')} of ink after the first are in"),
        ("findings", tally(prepared.findings)),
        ("files", one_line(str(folder))),
    ]
    lines = [prepared.job.title, *columns(rows)]
    important = [finding for finding in prepared.findings if finding.level != "note"]
    return lines + (["", *finding_lines(important)] if important else [])


def _booklet(part: PreparedPart) -> str:
    booklet = part.imposition.booklet
    blanks = f", {len(booklet.blanks)} of them blank" if booklet.blanks else ""
    name = f"{part.name}: " if part.name else ""
    return f"{name}{booklet.pages} pages{blanks}, {part.job.binding.style}, {part.job.copies} copies"


def _sheets(part: PreparedPart) -> str:
    counts, layout = part.plan.counts, part.imposition.layout
    name = f"{part.name}: " if part.name else ""
    return (
        f"{name}{counts.good_sheets} good + {counts.overs} overs of {layout.stock.name} {part.job.sheet.paper.name}, "
        f"{counts.sheets_per_copy} a copy, {number_of(len(layout.slots), 'piece')} a side"
    )
