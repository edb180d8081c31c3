"""`imposer plan JOB`: sheets, passes, drums, masters and counts, on the screen."""

from __future__ import annotations

from collections.abc import Sequence

import click

from imposer.cli import progress
from imposer.cli.page_table import page_table_lines
from imposer.cli.params import job_argument, json_option, quiet_option
from imposer.cli.words import columns, finding_lines
from imposer.main_job import prepare
from imposer.plan.counts import totals
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Panel
from imposer.units import show as mm
from imposer.words import number_of, runs_of
from imposer.write.plan_json import plan_text

#: Rules that say how the pages' order came about.
_ORDER = frozenset({"page-order", "counted-from-zero", "files-joined", "missing-page", "table-hole"})


@click.command("plan")
@job_argument
@click.option("--pages", "as_pages", is_flag=True, help="Show the table of page × ink with the file in each cell.")
@json_option
@quiet_option
def command(job: str, as_pages: bool, as_json: bool, quiet: bool) -> int:
    """Show how JOB is laid on sheets and run: which page where, which ink in which drum, how many of everything."""
    with progress.shown(quiet=quiet or as_json) as show:
        prepared = prepare(job, show)
    if as_json:
        click.echo(plan_text(prepared), nl=False)
        return 0
    lines = page_lines(prepared) if as_pages else plan_lines(prepared)
    for line in lines:
        click.echo(line)
    return 0


def page_lines(prepared: Prepared) -> list[str]:
    """Return the table of page × ink, part by part."""
    lines: list[str] = []
    for part in prepared.parts:
        if part.name:
            lines += ["", f"{part.name}: pages {runs_of(part.pages)}"]
        lines += page_table_lines(part.table, part.pages, part.imposition.booklet.blanks)
    # A table by an order that was only guessed would look like one that is known.
    doubtful = [finding for finding in prepared.findings if finding.rule in _ORDER]
    return [*lines, "", *finding_lines(doubtful)] if doubtful else lines


def plan_lines(prepared: Prepared) -> list[str]:
    """Return the plan as the screen shows it."""
    if len(prepared.parts) == 1:
        return _part_lines(prepared.parts[0])
    job = prepared.job
    names = ", ".join(part.name for part in prepared.parts)
    lines = [f"{job.title}: {prepared.pages} pages in {len(prepared.parts)} parts ({names}), {job.copies} copies"]
    for part in prepared.parts:
        lines += ["", f"— {part.name}: pages {runs_of(part.pages)}", *_part_lines(part)]
    total = totals([part.plan for part in prepared.parts])
    rows = [
        ("sheets", f"{total.good_sheets} good + {total.overs} overs"),
        ("masters", str(total.masters)),
        ("passes", str(total.passes)),
        ("drum changes", str(total.drum_changes)),
    ]
    return [*lines, "", "In all:", *columns(rows)]


def _part_lines(part: PreparedPart) -> list[str]:
    job, imposition, plan = part.job, part.imposition, part.plan
    layout = imposition.layout
    trim = f"{mm(job.page.trim.width)} × {mm(job.page.trim.height)} mm"
    lines = [
        f"{job.title}: {imposition.booklet.pages} pages of {trim}, {job.binding.style}, {job.copies} copies",
        "",
        (
            f"Sheets: {layout.stock.name} {job.sheet.paper.name}, {layout.stock.lead} first, "
            f"{number_of(len(layout.slots), 'piece')} a side, backs by {layout.flip}"
        ),
    ]
    lines += columns(
        [("", "front", "back")]
        + [(f"sheet {s.number}", _pages(s.front.panels), _pages(s.back.panels)) for s in imposition.sheets]
    )
    lines += ["", "Passes:"]
    lines += columns(
        [
            (f"pass {p.number}", p.side, f"drum {m.drum}", m.ink, f"sheet {runs_of(m.sheets, least=2)}", m.file)
            for p in plan.passes
            for m in p.masters
        ]
    )
    lines += ["", "Counts:"]
    lines += [f"  {line}" for line in plan.counts.formula]
    lines += columns(
        [
            ("masters", str(plan.counts.masters)),
            ("passes", str(plan.counts.passes)),
            ("drum changes", str(plan.counts.drum_changes)),
        ]
    )
    return lines


def _pages(panels: Sequence[Panel]) -> str:
    """Return the pages of a side, row by row from the top as drawn."""
    rows: dict[float, list[Panel]] = {}
    for panel in panels:
        rows.setdefault(round(panel.clip.centre[1]), []).append(panel)
    return " / ".join(
        " ".join("–" if p.page is None else str(p.page) for p in sorted(row, key=lambda p: p.clip.x0))
        for _, row in sorted(rows.items(), reverse=True)
    )
