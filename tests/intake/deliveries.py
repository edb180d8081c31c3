"""Deliveries that lie on no disk: paths with so many pages of a size, and what is understood of them."""

from __future__ import annotations

from pathlib import Path

from imposer.geometry import Size
from imposer.intake.delivery import Delivered, Delivery
from imposer.intake.understand import understand
from imposer.job.shop_file import load_shop
from imposer.pages.model import ArtSource

SHOP = load_shop()
BLACK, YELLOW, RED, BLUE, GREEN, ROSE = "lamp black", "marigold", "roof tile", "harbour", "fern", "rose"
PAGE = Size(105, 148)


def sent(*names, pages=1, size=PAGE):
    """A delivery of these paths, each a file of so many pages."""
    files = []
    for name in names:
        file = Path("/sent", name)
        sources = tuple(
            ArtSource(file=file, shown=name, kind="pdf" if pages > 1 else "image", index=i, of=pages, size=size)
            for i in range(pages)
        )
        files.append(Delivered(file, name, sources))
    return Delivery(Path("/sent"), tuple(files), ())


def read(*names, **how):
    """Return the place of each cell, and all that was understood."""
    found = understand(sent(*names, **how), SHOP.inks)
    return {(cell.page, cell.ink): cell.place for cell in found.cells}, found


def many(*files):
    """A delivery of files, each (name, pages) or (name, pages, size)."""
    return Delivery(Path("/sent"), tuple(one for name, *how in files for one in sent(name, **_how(how)).art), ())


def _how(how):
    return dict(zip(("pages", "size"), how, strict=False))
