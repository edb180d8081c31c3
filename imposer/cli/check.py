"""`imposer check JOB`: findings only; writes no masters."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from imposer.check import rules
from imposer.cli import progress
from imposer.cli.params import job_argument, json_option, quiet_option
from imposer.cli.words import finding_lines, tally
from imposer.findings import Finding
from imposer.job.check_limits import CheckLimits
from imposer.main_job import prepare, remember_check


@click.command("check")
@job_argument
@click.option("--report", type=click.Path(path_type=Path), help="Also write the report and the artist's page here.")
@json_option
@quiet_option
def command(job: str, report: Path | None, as_json: bool, quiet: bool) -> int:
    """Look JOB over and tell what is wrong, where, and what to do. Leaves with 1 if there are errors."""
    with progress.shown(quiet=quiet or as_json) as show:
        prepared = prepare(job, show)
    if not remember_check(prepared) and not quiet:
        click.echo(f"{prepared.job.folder} cannot be written, so the next check cannot tell what changed", err=True)
    if report is not None:
        from imposer.write.report import write_report

        write_report(report, prepared)
    findings = prepared.findings
    if as_json:
        click.echo(json.dumps(_facts(findings, prepared.job.shop.check), indent=1, ensure_ascii=False))
    else:
        for line in finding_lines(findings):
            click.echo(line)
        click.echo(tally(findings))
    return 1 if prepared.errors else 0


def _facts(findings: tuple[Finding, ...], limits: CheckLimits) -> dict[str, Any]:
    return {
        "findings": [finding.as_dict() for finding in findings],
        "rules": [
            {
                "rule": rule.name,
                "looks_for": rule.looks_for,
                "limit": rule.limit_in(limits),
                "found": sum(finding.rule == rule.name for finding in findings),
            }
            for rule in rules()
        ],
    }
