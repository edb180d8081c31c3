"""A dummy read back as a stranger would: what pypdf finds on its pages, where, and which way up."""

from __future__ import annotations

import re
from dataclasses import dataclass
from io import BytesIO
from math import atan2, degrees

import pypdf

from imposer.data.fonts import SANS_BOLD, width_of

MM = 25.4 / 72


@dataclass(frozen=True)
class Written:
    """A line of text: the middle of its capitals in mm from the page's lower left corner, and its turn."""

    text: str
    x: float
    y: float
    turn: int
    #: Height of the type, mm.
    size: float
    bold: bool


def pages_of(pdf):
    return pypdf.PdfReader(BytesIO(pdf)).pages


def page_size(page):
    return float(page.mediabox.width) * MM, float(page.mediabox.height) * MM


def written_on(page):
    """Every line of text of a page. Bold type alone is measured exactly; numbers and badges are bold."""
    found = []

    def visit(text, cm, tm, font, size):
        text = text.strip()
        if not text or size is None:
            return
        a, b, c, d, e, f = _times(tm, cm)
        scale = (a * a + b * b) ** 0.5
        along = width_of(text, size, SANS_BOLD) / 2
        up = size * 0.73 / 2
        x, y = e + a * along + c * up, f + b * along + d * up
        found.append(
            Written(
                text,
                x * MM,
                y * MM,
                round(degrees(atan2(b, a))) % 360,
                size * scale * MM,
                "Bold" in str(font["/BaseFont"]),
            )
        )

    page.extract_text(visitor_text=visit)
    return found


def numbers_on(page):
    return [each for each in written_on(page) if each.bold and re.fullmatch(r"[0-9]+", each.text)]


def badges_on(page):
    return [each for each in written_on(page) if each.bold and re.fullmatch(r"[0-9]*[VM]", each.text)]


def _times(m, n):
    return (
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    )
