"""`intake.html`: the delivery as it was understood, with thumbnails. One file, no outside request, prints well."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from html import escape
from pathlib import Path

from PIL import Image, ImageOps

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.intake.delivery import place_of
from imposer.intake.model import Cell, Understood
from imposer.offline import NOTHING_OUTSIDE
from imposer.pages.model import ArtSource
from imposer.pages.readers import reader_for
from imposer.progress import Progress
from imposer.words import number_of

#: The longer side of a thumbnail, pixels.
_THUMBNAIL = 150
#: Files without a place that are drawn, and pages of each.
_MOST_FILES, _MOST_PAGES = 48, 8
_MM_PER_INCH = 25.4


def write_overview(file: Path, understood: Understood, title: str, progress: Progress) -> None:
    """Write the page."""
    file.write_text("\n".join(_page(understood, title, progress)) + "\n", encoding="utf-8")


def _style() -> str:
    return Path(__file__).with_name("intake.css").read_text(encoding="utf-8")


def _page(understood: Understood, title: str, progress: Progress) -> Iterator[str]:
    yield "<!doctype html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{NOTHING_OUTSIDE}">'
    yield f"<title>{escape(title)}: what was delivered</title><style>{_style()}</style></head><body>"
    yield f"<header><h1>{escape(title)}</h1><p>What was delivered, and how it was understood.</p></header><main>"
    yield from _questions(understood)
    yield from _sentences("Guessed: look at these", understood.guesses, "guesses")
    yield from _sentences("Understood", understood.said, "said")
    yield from _holes(understood)
    yield from _table(understood, progress)
    yield from _unplaced(understood, progress)
    yield from _left_out(understood)
    yield "</main></body></html>"


def _questions(understood: Understood) -> Iterator[str]:
    if not understood.questions:
        yield '<p class="fine">No question is open.</p>'
        return
    yield f'<section class="questions"><h2>To be answered ({len(understood.questions)})</h2>'
    if any(question.proposals for question in understood.questions):
        yield "<p>Each grey box may be the answer: lines for job.toml, where every question stands with them.</p>"
    yield "<ol>"
    for question in understood.questions:
        yield f"<li><p>{escape(question.asks)}</p>"
        yield from (f"<pre>{escape(proposal)}</pre>" for proposal in question.proposals)
        yield "</li>"
    yield "</ol></section>"


def _sentences(heading: str, sentences: tuple[str, ...], kind: str) -> Iterator[str]:
    if sentences:
        items = "".join(f"<li>{escape(sentence)}</li>" for sentence in sentences)
        yield f'<section class="{kind}"><h2>{escape(heading)}</h2><ul>{items}</ul></section>'


def _holes(understood: Understood) -> Iterator[str]:
    if understood.holes:
        pages = ", ".join(map(str, understood.holes))
        yield f'<section class="missing"><h2>Missing</h2><p>No ink has page {pages}: meant to be blank?</p></section>'


def _table(understood: Understood, progress: Progress) -> Iterator[str]:
    if not understood.cells and not understood.contested:
        return
    by_cell: dict[tuple[int, str], list[Cell]] = {}
    for cell in (*understood.cells, *understood.contested):
        by_cell.setdefault((cell.page, cell.ink), []).append(cell)
    head = "".join(f'<th scope="col">{escape(ink)}</th>' for ink in understood.inks)
    yield '<section><h2>Pages</h2><div class="table"><table>'
    yield f'<thead><tr><th scope="col">page</th>{head}</tr></thead><tbody>'
    for page in range(1, understood.pages + 1):
        progress("drawing pages", page, understood.pages)
        cells = "".join(_cell(by_cell.get((page, ink), []), understood, page, ink) for ink in understood.inks)
        yield f'<tr><th scope="row">{page}</th>{cells}</tr>'
    yield "</tbody></table></div></section>"


def _cell(cells: list[Cell], understood: Understood, page: int, ink: str) -> str:
    if not cells:
        if page in understood.holes:
            return '<td class="hole">missing</td>'
        # An ink on most pages more likely lacks a file than one that is used here and there.
        often = len(understood.lacks(ink)) < understood.pages / 2
        return f'<td class="{"hole" if often else "blank"}">no file</td>'
    if len(cells) > 1:
        files = "".join(f"<figure>{_of_cell(cell, understood)}</figure>" for cell in cells)
        return f'<td class="hole">{len(cells)} files, one is right{files}</td>'
    return f"<td>{_of_cell(cells[0], understood)}</td>"


def _of_cell(cell: Cell, understood: Understood) -> str:
    words = f"page {cell.page}, {cell.ink}"
    return _drawn(cell.art.pages[cell.index], cell.place, words, understood.trim)


def _unplaced(understood: Understood, progress: Progress) -> Iterator[str]:
    """Show files of which no page has found its place, their first pages."""
    if not understood.unplaced:
        return
    yield '<section class="unplaced"><h2>Not placed yet</h2><ul>'
    shown = understood.unplaced[:_MOST_FILES]
    for done, each in enumerate(shown):
        progress("drawing pages", done, len(shown))
        pages = "".join(
            f"<figure>{_drawn(page, place_of(each, index), place_of(each, index), understood.trim)}</figure>"
            for index, page in enumerate(each.pages[:_MOST_PAGES])
        )
        left = len(each.pages) - _MOST_PAGES
        more = f"<p>and {number_of(left, 'more page')}</p>" if left > 0 else ""
        yield f"<li>{pages}{more}</li>"
    yield "</ul>"
    left = len(understood.unplaced) - len(shown)
    if left > 0:
        yield f"<p>and {number_of(left, 'more file')}</p>"
    yield "</section>"


def _drawn(source: ArtSource, place: str, words: str, trim: Size | None) -> str:
    """Return a page as a picture with its place under it, or why there is none."""
    try:
        picture = base64.b64encode(_thumbnail(source, trim)).decode("ascii")
    except ImposerError as error:
        return f"<span>{escape(place)}</span><br>{escape(str(error))}"
    return f'<img alt="{escape(words)}" src="data:image/png;base64,{picture}"><br><span>{escape(place)}</span>'


def _thumbnail(source: ArtSource, trim: Size | None) -> bytes:
    """Return a page as a small gray PNG."""
    size = source.size or trim or Size(105, 148)
    ppi = _THUMBNAIL * _MM_PER_INCH / max(size.width, size.height)
    tones = reader_for(source.file, source.shown).tones(source, size, ppi)
    packed = io.BytesIO()
    ImageOps.invert(Image.fromarray(tones)).save(packed, "PNG")
    return packed.getvalue()


def _left_out(understood: Understood) -> Iterator[str]:
    if understood.left_out:
        items = "".join(
            f"<li><code>{escape(each.shown)}</code> {escape(each.why)}</li>" for each in understood.left_out
        )
        yield f'<section class="left-out"><h2>Not used</h2><ul>{items}</ul></section>'
