"""`imposer page-guide JOB`: what to send to an artist."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli import progress
from imposer.cli.params import job_argument, quiet_option
from imposer.job import load_job
from imposer.unprinted import MOST_PAGES, lay_out
from imposer.words import number_of


@click.command("page-guide")
@job_argument
@click.option("--pages", type=click.IntRange(1, MOST_PAGES), help="How many pages; left out, the artwork is counted.")
@click.option("-o", "--out", type=click.Path(path_type=Path), help="Output folder; 'page-guides' beside the job.")
@quiet_option
def command(job: str, pages: int | None, out: Path | None, quiet: bool) -> None:
    """Write what to send to the artist of JOB: guides to draw on, and plain words on pages, inks and tones."""
    from imposer.write.page_guide import write_page_guides

    resolved = load_job(job)
    parts = lay_out(resolved, pages)
    folder = out or resolved.folder / "page-guides"
    with progress.shown(quiet=quiet) as show:
        guides = write_page_guides(folder, resolved, parts, show)
    if not quiet:
        click.echo(
            f"{folder}: {number_of(guides, 'guide')} as PDF, PNG and SVG; what-to-send.pdf and .txt say the rest"
        )
