"""How the finished thing is looked at: cover, spreads and back of a booklet, or one page after the other.

Finished jobs go in; page numbers come out, as the eye meets them.
"""

from __future__ import annotations

from imposer.prepared import Prepared

#: The page at the left and the page at the right; None where there is none.
Opening = tuple[int | None, int | None]

#: Styles whose pages hang on a spine and are seen two at a time; a slit sheet makes a booklet of its own.
_BOUND = frozenset({"saddle", "gathered", "mini"})


def openings(prepared: Prepared) -> tuple[Opening, ...]:
    """Return what lies before the reader's eyes, opening by opening, from the cover on.

    What is laid in or around the booklet comes after it, page by page.
    """
    extra = {page for part in prepared.parts if part.extra for page in part.pages}
    every = page_numbers(prepared)
    pages = [page for page in every if page not in extra]
    alone: tuple[Opening, ...] = tuple((None, page) for page in every if page in extra)
    bound = any(part.job.binding.style in _BOUND for part in prepared.parts if not part.extra)
    if not bound or len(pages) < 3:
        return (*((None, page) for page in pages), *alone)
    backward = any(part.imposition.booklet.right_to_left for part in prepared.parts if not part.extra)
    places: list[int | None] = [None, *pages, *([] if len(pages) % 2 else [None])]
    pairs = zip(places[::2], places[1::2], strict=True)
    return (*((second, first) if backward else (first, second) for first, second in pairs), *alone)


def page_numbers(prepared: Prepared) -> list[int]:
    """Return every page of the job, in reading order, extras last."""
    sheets = (sheet for part in prepared.parts for sheet in part.imposition.sheets)
    panels = (panel for sheet in sheets for side in (sheet.front, sheet.back) for panel in side.panels)
    return sorted({panel.page for panel in panels if panel.page is not None})
