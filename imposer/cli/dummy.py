"""`imposer dummy JOB`: a folding dummy, from a job or from a page count alone."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli.params import trade_options
from imposer.cli.spoken_job import SpokenJob, faults_as_options
from imposer.geometry import Size
from imposer.job import load_job
from imposer.job.values import BadValue, parse_size
from imposer.sheet.stitches import stitching_of
from imposer.unprinted import MOST_PAGES, lay_out
from imposer.words import number_of


def _paper(_ctx: click.Context, _param: click.Parameter, value: str | None) -> Size | None:
    if value is None:
        return None
    try:
        size = parse_size(value)
    except BadValue as bad:
        raise click.BadParameter(f"{bad.problem}; {bad.mend}" if bad.mend else bad.problem) from bad
    if min(size.width, size.height) < 50 or max(size.width, size.height) > 2000:
        raise click.BadParameter("an office sheet is 50 to 2000 mm long and wide")
    return size


@click.command("dummy")
@click.argument("job", metavar="[JOB]", required=False, type=click.Path())
@click.option("--pages", type=click.IntRange(1, MOST_PAGES), help="How many pages; left out, the artwork is counted.")
@click.option("--paper", callback=_paper, help='Scale to this office sheet, such as "A4"; left out: full size.')
@click.option("-o", "--out", type=click.Path(path_type=Path), help="Output file; 'dummy.pdf' beside the job.")
@trade_options
def command(job: str | None, pages: int | None, paper: Size | None, out: Path | None, spoken: SpokenJob) -> None:
    """Draw a folding dummy of JOB: page numbers, heads, spines, creases in order, cuts, on both sides of every sheet.

    Without a job: give --pages and --trim, and the style and sheet if they are not saddle and the shop's first.
    """
    from imposer.write.dummy import DummyPart, refuse_other_files, write_dummy

    if job is not None and spoken:
        raise click.UsageError(f"{spoken.first_option} is for a dummy without a job; JOB states its own")
    if spoken and pages is None:
        raise click.UsageError("a dummy without a job needs --pages")
    if job is None and pages is not None and not spoken and not Path("job.toml").is_file():
        raise click.UsageError('a dummy without a job needs --trim, such as --trim "A6"')
    with faults_as_options():
        resolved = spoken.resolve() if spoken else load_job(job or ".")
        file = out or (Path("dummy.pdf") if spoken else resolved.folder / "dummy.pdf")
        refuse_other_files(file)
        parts = lay_out(resolved, pages)
    drawn = [
        DummyPart(
            title=resolved.title,
            imposition=part.imposition,
            name=part.name,
            stitching=stitching_of(part.job.binding, part.job.page.trim),
        )
        for part in parts
    ]
    write_dummy(file, drawn, paper)
    sheets = sum(len(part.imposition.sheets) for part in parts)
    click.echo(f"{file}: {number_of(sheets, 'sheet')}, print on both sides, fold by the numbers")
