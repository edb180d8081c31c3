"""`imposer proof JOB`: the proofs alone."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli import progress
from imposer.cli.params import job_argument, quiet_option
from imposer.cli.words import finding_lines, tally
from imposer.main_job import prove


@click.command("proof")
@job_argument
@click.option("-o", "--out", type=click.Path(path_type=Path), help="Output folder; 'out' beside the job if left out.")
@quiet_option
def command(job: str, out: Path | None, quiet: bool) -> int:
    """Make the proofs of JOB: how every page and press sheet will look. Leaves with 1 if the check found errors."""
    with progress.shown(quiet=quiet) as show:
        proved = prove(job, out, show)
    findings = proved.prepared.findings
    if not quiet:
        click.echo(f"proof.html and proof.pdf are in {proved.folder}")
        click.echo(f"proof code {proved.code}; when it is approved: imposer approve {job} {proved.code} --by NAME")
        click.echo(tally(findings))
    if not proved.prepared.errors:
        return 0
    for line in finding_lines(proved.prepared.errors):
        click.echo(line)
    return 1
