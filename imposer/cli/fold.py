"""`imposer fold OUT`: finished masters folded back into the booklet they would make."""

from __future__ import annotations

from pathlib import Path

import click

from imposer.cli import progress
from imposer.cli.params import quiet_option
from imposer.cli.words import columns
from imposer.errors import one_line
from imposer.fold.leaflets import FORMS
from imposer.fold_back.folded import FoldedBack, FoldedPart, fold_back
from imposer.fold_back.paper import Place
from imposer.fold_back.pictures import SheetPictures
from imposer.fold_back.record import LEAFLET
from imposer.words import number_of
from imposer.write.fold_page import write_fold_page


@click.command("fold")
@click.argument("out", metavar="OUT", default="out", type=click.Path(path_type=Path))
@click.option("--job", type=click.Path(), help="Hold every page against the artwork of this job, pixel by pixel.")
@quiet_option
def command(out: Path, job: str | None, quiet: bool) -> int:
    """Fold the masters in OUT back: cut, fold and nest their sheets in memory and print the booklet they make.

    OUT is the output folder of a build, or its folder of masters; nothing else is read. Leaves with 1 if the booklet
    does not read from its first page to its last.
    """
    with progress.shown(quiet=quiet) as show:
        look = None
        if job is not None:
            from imposer.fold_back.artwork import artwork_of
            from imposer.main_job import prepare

            look = artwork_of(prepare(job, show))
        pictures = SheetPictures()
        folded = fold_back(out, look=look, on_printed=pictures.add, progress=show)
        pictures.done()
    page = (out if (out / "masters").is_dir() else out.parent) / "fold.html"
    write_fold_page(page, folded, pictures)
    for line in folded_lines(folded):
        click.echo(line)
    click.echo(f"pictures: {page}")
    for fault in folded.faults:
        click.echo(str(fault), err=True)
    return 1 if folded.faults else 0


def folded_lines(folded: FoldedBack) -> list[str]:
    """Return the booklet as the screen shows it: page by page, as a reader meets them."""
    lines = [one_line(f"{folded.title}: {number_of(folded.pages, 'page')}")] if folded.parts else []
    for part in folded.parts:
        lines += ["", *_part_lines(folded, part)]
    lines += [f"note: {one_line(note)}" for note in folded.notes]
    if not folded.faults:
        lines += ["", f"It reads 1 … {folded.pages}, every page head up."]
    return lines


def _part_lines(folded: FoldedBack, folded_part: FoldedPart) -> list[str]:
    part = folded_part.part
    pieces = number_of(sum(part.signatures), "piece")
    how = f"nested in {number_of(len(part.signatures), 'signature')}" if max(part.signatures) > 1 else "gathered"
    head = f"{pieces} of {number_of(2 * part.columns * part.rows, 'page')}, {how}, {part.reading}"
    if part.kind == LEAFLET:
        form = next((form.words for style, form in FORMS.items() if style == part.style), "a leaflet")
        head = f"{pieces}, {form}, {part.reading}"
    creases = f", folded {' '.join(part.creases)}" if part.creases else ""
    copies = f", {number_of(len(folded_part.copies), 'copy', 'copies')} at once" if len(folded_part.copies) > 1 else ""
    name = f"{part.name}: " if part.name else ""
    rows: list[tuple[str, ...]] = [("place", "page", "hand", "head", "from", "in")]
    rows += [_row(folded, part.pages, place) for place in folded_part.copies[0]]
    return [one_line(f"{name}{head}{creases}{copies}"), *columns(rows)]


def _row(folded: FoldedBack, wanted: tuple[int, ...], place: Place) -> tuple[str, ...]:
    at = str(wanted[place.number - 1]) if place.number <= len(wanted) else "–"
    if place.face is None or place.face.bare:
        return at, "bare", place.hand, "", "", ""
    page = place.face.page
    inks = ", ".join(folded.inks.get(page, ())) if page is not None else ""
    return (
        at,
        "?" if page is None else str(page),
        place.hand,
        place.head,
        f"sheet {place.face.sheet} {place.face.side}",
        one_line(inks),
    )
