"""Words for the pages of a cover, as they stand in the names of files.

A name goes in, the page it means comes out, counted from the front or, below zero, from the back: -1 is the last page.
A module of its own because these are words of the trade in several languages and no arithmetic.
"""

from __future__ import annotations

import re
import unicodedata

#: Words for the cover that say no more, in the languages that art was seen in; common practice, no source.
_COVER = frozenset(
    {"cover", "umschlag", "cubierta", "couverture", "copertina", "omslag", "okładka", "okladka", "kansi"}
    | {"obálka", "obalka", "couv", "tapa"}
)
_FRONT = frozenset(
    {"front", "frontcover", "vorn", "vorne", "titelseite", "portada", "voorkant", "capa"}
    | {"przód", "przod", "přední", "predni"}
)
_BACK = frozenset(
    {"back", "backcover", "hinten", "rückseite", "ruckseite", "rueckseite", "contracubierta", "contraportada"}
    | {"trasera", "quatrième", "quatrieme", "achterkant", "contracapa"}
    | {"tył", "tyl", "zadní", "zadni", "contratapa"}
)
_INSIDE = frozenset({"inside", "inner", "innen", "interior", "intérieur", "interieur", "interno", "binnen"})
#: Short forms of printers: outside and inside front cover, inside and outside back cover; U1 to U4 in German.
_WHOLE = {"ofc": 1, "ifc": 2, "ibc": -2, "obc": -1, "u1": 1, "u2": 2, "u3": -2, "u4": -1}
_WORD = re.compile(r"u[1-4](?![^\W_])|[^\W\d_]+")


def cover_page(text: str) -> int | None:
    """Return the page that a name means by its words: 1 or 2 from the front, -1 or -2 from the back; else None.

    >>> cover_page("zine_front"), cover_page("inside front"), cover_page("IBC"), cover_page("back cover")
    (1, 2, -2, -1)
    >>> cover_page("page"), cover_page("inside"), cover_page("front and back")
    (None, None, None)
    """
    words = set(_WORD.findall(unicodedata.normalize("NFC", text).casefold()))
    whole = {_WHOLE[word] for word in words if word in _WHOLE}
    if whole:
        return whole.pop() if len(whole) == 1 else None
    front, back = bool(words & _FRONT), bool(words & _BACK)
    if (front and back) or not (front or back or words & _COVER):
        return None
    inside = bool(words & _INSIDE)
    if inside and not (front or back):
        return None
    return (-2 if inside else -1) if back else (2 if inside else 1)
