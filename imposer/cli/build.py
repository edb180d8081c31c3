"""`imposer build JOB`: the main job."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli import progress
from imposer.cli.params import job_argument, quiet_option
from imposer.cli.summary import summary_lines
from imposer.cli.words import finding_lines
from imposer.interrupts import ignore_interrupts
from imposer.main_job import build


@click.command("build")
@job_argument
@click.option("-o", "--out", type=click.Path(path_type=Path), help="Output folder; 'out' beside the job if left out.")
@quiet_option
def command(job: str, out: Path | None, quiet: bool) -> int:
    """Check, impose and plan JOB, then write its masters, plan, guide and proofs."""
    with progress.shown(quiet=quiet) as show:
        built = build(job, out, show)
        # From here on there is nothing to stop: to say "nothing was changed" would be wrong.
        ignore_interrupts()
    if built.folder is None:
        for line in finding_lines(built.prepared.findings):
            click.echo(line)
        click.echo(
            f"no masters were written: mend the errors first; with pictures: imposer check {job} --report FOLDER",
            err=True,
        )
        return 1
    if not quiet:
        for line in summary_lines(built.prepared, built.folder):
            click.echo(line)
    return 0
