"""The one typeface of masters, guide and proof, embedded wherever it is used, and the width of its lines.

It covers Latin, Greek, Cyrillic and more, so a title comes out as the artist wrote it. Its licence lies beside it.
"""

from __future__ import annotations

from functools import cache

from imposer.data import FOLDER

#: The names reportlab knows the two weights by, after `register`.
SANS = "Sans"
SANS_BOLD = "SansBold"

_FILES = {SANS: "sans.ttf", SANS_BOLD: "sans-bold.ttf"}


@cache
def register() -> None:
    """Make the two weights known to reportlab; cheap after the first call."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(FOLDER / "fonts" / file)))


def width_of(text: str, size: float, font: str = SANS) -> float:
    """Return the width of a line of text; `size` and the result in the same unit, whatever it is."""
    from reportlab.pdfbase import pdfmetrics

    register()
    return float(pdfmetrics.stringWidth(text, font, size))


def shorten(text: str, room: float, size: float, font: str = SANS) -> str:
    """Return `text`, cut short with "…" if it is wider than `room` (same unit as `size`)."""
    if width_of(text, size, font) <= room:
        return text
    while text and width_of(text + "…", size, font) > room:
        text = text[:-1].rstrip()
    return text + "…" if text else ""
