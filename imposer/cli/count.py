"""`imposer count PAGES`: a page count against signatures, with no artwork."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import get_args

import click

from imposer.cli.params import json_option
from imposer.cli.words import columns
from imposer.fold.count import PageCount, alternatives, count_leaflet, count_pages, other_forms
from imposer.fold.leaflets import FORMS, MOST_PANELS, WrongCountError
from imposer.fold.model import Style
from imposer.words import number_of, runs_of


@click.command("count")
@click.argument("pages", type=click.IntRange(1, 5000))
@click.option("--style", type=click.Choice(get_args(Style)), default="saddle", show_default=True)
@click.option(
    "--pieces-per-signature",
    type=click.IntRange(1, 100),
    help="How many pieces nest in each signature; for gathered only.",
)
@click.option(
    "--pieces", type=click.IntRange(1, 64), default=2, show_default=True, help="Pieces a side of the press sheet."
)
@click.option("--panels", type=click.IntRange(2, MOST_PANELS), help="Panels a side; for an accordion or a roll.")
@click.option(
    "--sides", type=click.IntRange(1, 2), default=2, help="1: pages on one side alone; for leaflets and cards."
)
@click.option("--poster", is_flag=True, help="The last page fills the whole back; for leaflets.")
@json_option
def command(
    pages: int,
    style: Style,
    pieces_per_signature: int | None,
    pieces: int,
    panels: int | None,
    sides: int,
    poster: bool,
    as_json: bool,
) -> None:
    """Count PAGES out: what stays blank, and what other counts and bindings would waste."""
    _refuse(style, pieces_per_signature, leaflet=panels is not None or sides == 1 or poster)
    if style in FORMS:
        try:
            asked = count_leaflet(pages, style=style, panels=panels, sides=sides, poster=poster, pieces_per_side=pieces)
        except WrongCountError as error:
            raise click.UsageError(f"{error}; {error.mend}") from error
        others = other_forms(pages, style=style, sides=sides, poster=poster, pieces_per_side=pieces)
    else:
        asked = count_pages(pages, style=style, pieces_per_signature=pieces_per_signature, pieces_per_side=pieces)
        others = alternatives(pages, style=style, pieces_per_signature=pieces_per_signature, pieces_per_side=pieces)
    if as_json:
        click.echo(json.dumps({"asked": asdict(asked), "alternatives": [asdict(o) for o in others]}, indent=1))
        return
    blanks = asked.blanks
    named = f": {'page' if len(blanks) == 1 else 'pages'} {runs_of(blanks, least=2)}" if blanks else ""
    click.echo(f"{pages} pages, {style}: {len(blanks) or 'no'} blank{'' if len(blanks) == 1 else 's'}{named}")
    click.echo()
    head = ("", "bound", "blank", "left out", "pieces", "signatures", "sheets", "empty places")
    for line in columns([head, *(_row(count) for count in (asked, *others))]):
        click.echo(line)
    click.echo()
    click.echo(f"Sheets are press sheets a copy, {number_of(pieces, 'piece')} a side.")


def _refuse(style: Style, pieces_per_signature: int | None, *, leaflet: bool) -> None:
    """Refuse options that the style has no use for, and say why."""
    if pieces_per_signature and style != "gathered":
        why = "a saddle booklet nests all its pieces" if style == "saddle" else "a leaflet or card nests nothing"
        raise click.UsageError(f"--pieces-per-signature goes with --style gathered: {why}")
    if leaflet and style not in FORMS:
        raise click.UsageError(f"--panels, --sides 1 and --poster go with leaflets, such as {', '.join(FORMS)}")


def _row(count: PageCount) -> tuple[str, ...]:
    return (
        count.choice,
        str(count.bound_pages),
        str(len(count.blanks)),
        str(count.dropped),
        str(count.pieces),
        "–"
        if not count.signatures
        else "+".join(map(str, count.signatures))
        if len(count.signatures) < 9
        else f"{len(count.signatures)}",
        str(count.sheets),
        str(count.empty_places),
    )
