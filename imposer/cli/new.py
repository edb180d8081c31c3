"""`imposer new FOLDER`: a job folder copied from a template."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli.words import columns
from imposer.job.templates import copy_template, templates


def _list_templates(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
    if wanted:
        for line in columns([(template.name, template.about) for template in templates()]):
            click.echo(line)
        ctx.exit()


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--template", default="a5-on-a3", show_default=True, help="Which template to copy; see --list.")
@click.option(
    "--list", is_flag=True, is_eager=True, expose_value=False, callback=_list_templates, help="Name the templates."
)
def command(folder: Path, template: str) -> None:
    """Start a job in FOLDER, with a job file, a shop file and placeholder pages to replace."""
    copy_template(template, folder)
    click.echo(
        f"{folder}: a job from template {template!r}. Put your pages in, edit job.toml, then: imposer build {folder}"
    )
