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
from imposer.intake.model import Cell, Understood
from imposer.offline import NOTHING_OUTSIDE
from imposer.pages.readers import reader_for
from imposer.progress import Progress

#: The longer side of a thumbnail, pixels.
_THUMBNAIL = 150
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
    yield from _left_out(understood)
    yield "</main></body></html>"


def _questions(understood: Understood) -> Iterator[str]:
    if not understood.questions:
        yield '<p class="fine">No question is open.</p>'
        return
    yield f'<section class="questions"><h2>To be answered ({len(understood.questions)})</h2><ol>'
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
    if not understood.cells:
        return
    by_cell = {(cell.page, cell.ink): cell for cell in understood.cells}
    head = "".join(f'<th scope="col">{escape(ink)}</th>' for ink in understood.inks)
    yield '<section><h2>Pages</h2><div class="table"><table>'
    yield f'<thead><tr><th scope="col">page</th>{head}</tr></thead><tbody>'
    for page in range(1, understood.pages + 1):
        progress("drawing pages", page, understood.pages)
        cells = "".join(_cell(by_cell.get((page, ink)), understood, page) for ink in understood.inks)
        yield f'<tr><th scope="row">{page}</th>{cells}</tr>'
    yield "</tbody></table></div></section>"


def _cell(cell: Cell | None, understood: Understood, page: int) -> str:
    if cell is None:
        kind, word = ("hole", "missing") if page in understood.holes else ("blank", "blank")
        return f'<td class="{kind}">{word}</td>'
    place = escape(cell.place)
    try:
        picture = base64.b64encode(_thumbnail(cell, understood.trim)).decode("ascii")
    except ImposerError as error:
        return f'<td class="hole"><span>{place}</span><br>{escape(str(error))}</td>'
    words = f"page {page}, {escape(cell.ink)}"
    return f'<td><img alt="{words}" src="data:image/png;base64,{picture}"><br><span>{place}</span></td>'


def _thumbnail(cell: Cell, trim: Size | None) -> bytes:
    """Return a page as a small gray PNG."""
    source = cell.art.pages[cell.index]
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
