"""The list of master files in running order, with a box to tick for each."""

from __future__ import annotations

from pathlib import PurePosixPath

from imposer.words import number_of, runs_of
from imposer.write.guide.blocks import Block, gap, paragraph
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.table import Cell, table


def master_list(facts: GuideFacts, width: float) -> Section:
    """Return the section that lists the files."""
    lead = (
        "One file a drum a pass, one page a press sheet, all in the folder masters. Send every page at 100 %: no "
        "scaling, no fitting, no turning."
    )
    if facts.has_mark("label"):
        lead += " The line of text on each master names its sheet, side, pass, drum and ink."
    return Section("Masters, in running order", (*paragraph(lead, width), gap(2.0), *_files(facts, width)))


def _files(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    rows = [
        (
            Cell(f"{run.number}", tick=True, bold=True),
            run.side,
            f"{master.drum}",
            Cell(master.ink, facts.colour(master.ink)),
            PurePosixPath(master.file).name,
            f"{runs_of(master.sheets)}",
            number_of(len(master.sheets), "master"),
        )
        for run in facts.plan.passes
        for master in run.masters
    ]
    total = sum(len(master.sheets) for run in facts.plan.passes for master in run.masters)
    head = ("Pass", "Side", "Drum", "Ink", "File", "Sheets", "")
    fixed = (14.0, 13.0, 13.0, 32.0, 16.0, 22.0)
    pass_, side, drum, ink, sheets, masters = fixed
    widths = (pass_, side, drum, ink, width - sum(fixed), sheets, masters)
    in_all = (Cell("In all", bold=True), Cell(number_of(total, "master"), bold=True))
    return (*table(head, rows, widths), *table(("", ""), [in_all], (width - masters - 10, masters + 10)))
