"""`imposer proof JOB`: the proofs alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from imposer.approval.changes import beside_new_proof
from imposer.cli import progress
from imposer.cli.params import job_argument, quiet_option
from imposer.cli.words import finding_lines, tally
from imposer.main_job import prove


@click.command("proof")
@job_argument
@click.option("-o", "--out", type=click.Path(path_type=Path), help="Output folder; 'out' beside the job if left out.")
@quiet_option
def command(job: str, out: Path | None, quiet: bool) -> int:
    """Make the proofs of JOB: how every page and press sheet will look. Leaves with 1 if the check found errors.

    That a proof is not approved yet is none of them: it must be made before it can be.
    """
    with progress.shown(quiet=quiet) as show:
        proved = prove(job, out, show)
    findings = proved.prepared.findings
    missing = [finding for finding in findings if finding.rule == "approval" and finding.stops]
    rest = [finding for finding in findings if finding not in missing]
    errors = [finding for finding in rest if finding.stops]
    if not quiet:
        click.echo(f"proof.html and proof.pdf are in {proved.folder}")
        click.echo(f"proof code {proved.code}; when it is approved: imposer approve {job} {proved.code} --by NAME")
        click.echo(tally(rest))
        if missing:
            click.echo("no master is cut before this proof is approved:")
            for line in finding_lines(replace(each, level="warning") for each in beside_new_proof(missing)):
                click.echo(line)
    for line in finding_lines(errors):
        click.echo(line)
    return 1 if errors else 0
