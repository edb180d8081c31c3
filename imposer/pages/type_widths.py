"""How far a PDF font's glyphs advance: its own widths, by character code, read once a font.

A font in, a `TypeFace` out, whose `widths_of` gives the width of every glyph of a string in em. Simple fonts state
widths by code, composite ones by glyph; the standard 14 may state none, and their metrics are known. Where nothing is
stated a glyph is guessed, on the wide side, so that a frame round the words still holds them. Sources: ISO 32000-1,
9.2.4 (glyph positioning), 9.6.2 (widths of simple fonts), 9.7.4.3 (widths of composite ones).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pikepdf

from imposer.pages.pdf_objects import number_of

#: The width of a glyph whose font states none, em: a fixed-width face's. Letters of most faces are narrower; an own
#: choice.
GUESSED = 0.6
#: Where the letters of a line end if the font does not say, em from its base line, and how far a font's own words for
#: it are believed: own choices.
_ABOVE, _BELOW = 0.75, -0.25
_MOST_ABOVE, _MOST_BELOW = 1.2, -0.5
#: A glyph that a composite font says nothing of is this wide, em (Table 117).
_DEFAULT = 1.0
#: Two bytes name no more glyphs than this; a file that states ranges over and over is not followed any further.
_MOST_STATED = 0x10000
#: The standard 14 fonts (9.6.2.2).
_STANDARD = frozenset(
    {"Times-Roman", "Times-Bold", "Times-Italic", "Times-BoldItalic", "Symbol", "ZapfDingbats"}
    | {family + style for family in ("Helvetica", "Courier") for style in ("", "-Bold", "-Oblique", "-BoldOblique")}
)
#: Files that bring a font's outlines along (Table 122).
_EMBEDDED = ("/FontFile", "/FontFile2", "/FontFile3")


@dataclass(frozen=True, slots=True, eq=False)
class TypeFace:
    """A font as far as setting goes.

    Attributes:
        name: What it calls itself.
        embedded: Whether its outlines are in the file.
        drawn: Whether its glyphs are drawings of the page and no outlines.
        bytes_a_glyph: How many bytes of a string make a code.
        above: Where its letters end above the base line, em.
        below: Where they end below it, em; negative.
        by_code: Widths of codes, em: of all 256 of a simple font, of those that a composite one states.
        otherwise: The width of any other glyph, em.
    """

    name: str
    embedded: bool
    drawn: bool
    bytes_a_glyph: int
    above: float
    below: float
    by_code: Mapping[int, float]
    otherwise: float

    def widths_of(self, said: bytes) -> float:
        """Return how wide all glyphs of a string are together, em."""
        if self.bytes_a_glyph == 1:
            return sum(map(self.by_code.__getitem__, said))
        glyphs = zip(said[::2], said[1::2], strict=False)
        return sum(self.by_code.get(high << 8 | low, self.otherwise) for high, low in glyphs)

    def glyphs_in(self, said: bytes) -> int:
        """Return how many glyphs a string sets."""
        return len(said) // self.bytes_a_glyph

    def spaces_in(self, said: bytes) -> int:
        """Return how many of them are word spaces: single bytes of 32 (9.3.3)."""
        return said.count(32) if self.bytes_a_glyph == 1 else 0


def type_face(font: pikepdf.Object | None) -> TypeFace:
    """Return what a font says of its setting; None stands for one that the page's resources lack."""
    if font is None:
        return TypeFace("", True, False, 1, _ABOVE, _BELOW, _all_codes(GUESSED), GUESSED)
    name = str(font.get("/BaseFont", "a font without a name")).lstrip("/")
    drawn = font.get("/Subtype") == pikepdf.Name.Type3
    composite = font.get("/Subtype") == pikepdf.Name.Type0
    inner = _descendant(font)
    descriptor = inner.get("/FontDescriptor")
    known = descriptor if isinstance(descriptor, pikepdf.Dictionary) else None
    above, below = _extent(known)
    return TypeFace(
        name=name,
        embedded=drawn or (known is not None and any(key in known for key in _EMBEDDED)),
        drawn=drawn,
        bytes_a_glyph=2 if composite else 1,
        above=above,
        below=below,
        by_code=_composite_widths(font, inner) if composite else _simple_widths(font, name, known, drawn=drawn),
        otherwise=_number(inner, "/DW", 1000 * _DEFAULT) / 1000,
    )


def _descendant(font: pikepdf.Object) -> pikepdf.Object:
    below = font.get("/DescendantFonts")
    if isinstance(below, pikepdf.Array) and len(below) and isinstance(below[0], pikepdf.Dictionary):
        return below[0]
    return font


def _extent(descriptor: pikepdf.Object | None) -> tuple[float, float]:
    """Return where a font's letters end above and below, em; never less than is usual."""
    if descriptor is None:
        return _ABOVE, _BELOW
    above, below = (_number(descriptor, key) / 1000 for key in ("/Ascent", "/Descent"))
    return min(max(above, _ABOVE), _MOST_ABOVE), max(min(below, _BELOW), _MOST_BELOW)


def _simple_widths(
    font: pikepdf.Object, name: str, descriptor: pikepdf.Object | None, *, drawn: bool
) -> Mapping[int, float]:
    """Return the widths of the 256 codes of a simple font, em."""
    stated = font.get("/Widths")
    if not isinstance(stated, pikepdf.Array):
        return _standard_widths(name) if name in _STANDARD else _all_codes(GUESSED)
    unit = _type3_unit(font) if drawn else 0.001
    missing = 0.0 if descriptor is None else _number(descriptor, "/MissingWidth") * unit
    widths = _all_codes(missing)
    first = int(_number(font, "/FirstChar"))
    for code, width in zip(range(first, 256), stated.as_list(), strict=False):
        if code >= 0:
            widths[code] = (number_of(width) or 0.0) * unit
    return widths


def _all_codes(width: float) -> dict[int, float]:
    return dict.fromkeys(range(256), width)


def _standard_widths(name: str) -> Mapping[int, float]:
    """Return the widths of one of the standard 14 fonts, em, in the encoding that programs write it in."""
    # Not needed for most files, and it takes longer to load than they take to read.
    from reportlab.pdfbase.pdfmetrics import getFont

    return {code: width / 1000 for code, width in enumerate(getFont(name).widths)}


def _type3_unit(font: pikepdf.Object) -> float:
    """Return the em of a unit that a font of drawings states its widths in."""
    matrix = font.get("/FontMatrix")
    across = matrix[0] if isinstance(matrix, pikepdf.Array) and len(matrix) else 0.001
    return number_of(across) or 0.0


def _composite_widths(font: pikepdf.Object, inner: pikepdf.Object) -> Mapping[int, float]:
    """Return the widths that a composite font states, em, by glyph: /W is "first [w w …]" or "first last w" in turn.

    Only where codes are glyphs: what another encoding makes of them is not looked up, and each is the default then.
    """
    stated = inner.get("/W")
    if str(font.get("/Encoding")) not in ("/Identity-H", "/Identity-V") or not isinstance(stated, pikepdf.Array):
        return {}
    found: dict[int, float] = {}
    row: list[int] = []
    left = _MOST_STATED
    for item in stated.as_list():
        if isinstance(item, pikepdf.Array):
            if row:
                widths = enumerate(item.as_list(), row[-1])
                found.update((glyph, (number_of(width) or 0.0) / 1000) for glyph, width in widths)
            row = []
            continue
        value = number_of(item) or 0.0
        if len(row) == 2:
            glyphs = range(max(row[0], 0), min(row[1], 0xFFFF) + 1)
            left -= len(glyphs)
            if left < 0:
                break
            found.update(dict.fromkeys(glyphs, value / 1000))
            row = []
        else:
            row.append(int(value))
    return found


def _number(holder: pikepdf.Object, key: str, otherwise: float = 0.0) -> float:
    value = number_of(holder.get(key))
    return otherwise if value is None else value
