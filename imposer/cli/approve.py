"""`imposer approve JOB CODE --by NAME`: keep that somebody has seen the proof and said yes to it."""

from __future__ import annotations

from datetime import datetime

import click

from imposer.cli import progress
from imposer.cli.params import job_argument, quiet_option
from imposer.errors import Fault, ImposerError, one_line


@click.command("approve")
@job_argument
@click.argument("code")
@click.option("--by", required=True, help="Who approves it.")
@quiet_option
def command(job: str, code: str, by: str, quiet: bool) -> int:
    """Keep that the proof of JOB with this CODE was approved: exactly these pages, these settings."""
    from imposer.approval.digests import digests_of, same_code
    from imposer.approval.record import Approval, approval_file, write_approval
    from imposer.main_job import prepare

    name = one_line(by).strip()
    if not name:
        raise click.UsageError("--by names nobody")
    with progress.shown(quiet=quiet) as show:
        prepared = prepare(job, show)
    digests = digests_of(prepared)
    if not same_code(code, digests.code):
        problem = f"{one_line(code)} is not the code of the job as it is now, {digests.code}"
        mend = "make the proof again, and approve what it shows"
        raise ImposerError(Fault(file=prepared.job.file, problem=problem, mend=mend))
    date = datetime.now().astimezone().date().isoformat()
    write_approval(prepared.job.folder, Approval(code=digests.code, by=name, date=date, digests=digests))
    if not quiet:
        click.echo(f"{approval_file(prepared.job.folder)}: {digests.code} approved by {name} on {date}")
    return 0
