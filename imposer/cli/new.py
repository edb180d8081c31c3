"""`imposer new FOLDER`: a job folder copied from a template, or made from what an artist sent."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from imposer.cli import progress
from imposer.cli.params import quiet_option
from imposer.cli.words import columns
from imposer.errors import one_line
from imposer.job.templates import copy_template, templates
from imposer.job.values import BadValue, size
from imposer.words import number_of

if TYPE_CHECKING:
    from imposer.geometry import Size
    from imposer.intake import TakenIn

#: A finished page, mm: as in a job file.
_TRIM_LIMITS = (25.0, 1500.0)


class _Trim(click.ParamType):  # type: ignore[type-arg]
    """A size as a job file has it: a name, or two lengths."""

    name = "size"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Size:
        try:
            return size(*_TRIM_LIMITS)(value)
        except BadValue as bad:
            self.fail(f"{bad.problem}; {bad.mend}", param, ctx)


def _list_templates(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
    if wanted:
        for line in columns([(template.name, template.about) for template in templates()]):
            click.echo(line)
        ctx.exit()


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--template", help="Which template to copy; a5-on-a3 if left out; see --list.")
@click.option("--from", "delivery", type=click.Path(path_type=Path), help="What an artist sent: a folder, or one PDF.")
@click.option("--title", help="With --from: the booklet's title.")
@click.option("--copies", type=click.IntRange(1, 1_000_000), help="With --from: how many copies.")
@click.option("--trim", type=_Trim(), help='With --from: the finished page, such as A6 or "140 x 200 mm".')
@click.option("--shop", type=click.Path(path_type=Path), help="With --from: the studio's shop file.")
@click.option(
    "--list", is_flag=True, is_eager=True, expose_value=False, callback=_list_templates, help="Name the templates."
)
@quiet_option
def command(
    folder: Path,
    template: str | None,
    delivery: Path | None,
    title: str | None,
    copies: int | None,
    trim: Size | None,
    shop: Path | None,
    quiet: bool,
) -> int:
    """Start a job in FOLDER: from a template, or from what an artist sent."""
    if delivery is None:
        if any(value is not None for value in (title, copies, trim, shop)):
            raise click.UsageError("--title, --copies, --trim and --shop go with --from")
        _from_template(folder, template or "a5-on-a3", quiet=quiet)
        return 0
    if template is not None:
        raise click.UsageError("a job comes from a template or from a delivery, not from both")
    from imposer.intake import take_in

    with progress.shown(quiet=quiet) as show:
        taken = take_in(folder, delivery, title=title, copies=copies, trim=trim, shop=shop, progress=show)
    for line in _lines(taken):
        if not quiet:
            click.echo(one_line(line))
    return 1 if taken.understood.questions else 0


def _from_template(folder: Path, template: str, *, quiet: bool) -> None:
    copy_template(template, folder)
    if not quiet:
        words = f"a job from template {template!r}. Put your pages in, edit job.toml, then: imposer build {folder}"
        click.echo(one_line(f"{folder}: {words}"))


def _lines(taken: TakenIn) -> list[str]:
    """Return what was understood, guessed and asked, as the screen shows it."""
    found = taken.understood
    inks = ", ".join(found.inks) or "no ink"
    pages = number_of(found.pages, "page") if found.pages else "pages not placed yet,"
    lines = [f"{taken.folder}: {pages} in {inks}"]
    if found.holes:
        lines.append(f"missing  no ink has page {', '.join(map(str, found.holes))}")
    lines += [f"guess    {sentence}" for sentence in found.guesses]
    lines += [f"question {question.asks}" for question in found.questions]
    lines += [f"not used {each.shown} {each.why}" for each in found.left_out if not each.asks]
    lines.append(f"Look at {taken.folder / 'intake.html'}, then at job.toml.")
    if found.questions:
        lines.append("Nothing can be built before the questions are answered in job.toml.")
    return lines
