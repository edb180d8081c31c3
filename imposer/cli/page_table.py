"""The table of page × ink as the screen shows it: the file in each cell, blanks and holes marked."""

from __future__ import annotations

from collections.abc import Iterable

from imposer.cli.words import columns
from imposer.errors import one_line
from imposer.pages.model import PageTable

#: What stands in a cell where an ink has no art, and where no ink has any.
BLANK, HOLE = "·", "– none –"


def page_table_lines(table: PageTable, pages: Iterable[int], blanks: tuple[int, ...]) -> list[str]:
    """Return the table of these pages, a page a line; those of the booklet beyond the art are called blank."""
    rows = [("page", *table.inks)]
    for page in pages:
        if page in blanks:
            continue
        cells = [table.art(page, ink) for ink in table.inks]
        empty = HOLE if not any(cells) else BLANK
        rows.append((str(page), *(one_line(art.source.place) if art else empty for art in cells)))
    rows += [(str(page), *("blank" for _ in table.inks)) for page in blanks]
    return columns(rows)
