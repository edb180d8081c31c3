"""The known name nearest to one that is not known: what a person probably meant. A leaf, for data and files alike."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable


def plain(name: str) -> str:
    """Return a name as names are compared: without regard to case, and with any run of spaces as one.

    >>> plain(" Lamp  BLACK")
    'lamp black'
    """
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the name among `known` that is most like `name`, or None if none is much like it.

    >>> nearest("blead", ["trim", "bleed"]), nearest("colour", ["trim", "bleed"])
    ('bleed', None)
    """
    by_plain: dict[str, str] = {}
    for candidate in known:
        by_plain.setdefault(plain(candidate), candidate)
    # The library's own cutoff of 0.6 is too kind: it takes "turquoise" for "rose".
    # A name of more than a hundred letters is like none of ours, and difflib would be slow on it.
    found = difflib.get_close_matches(plain(name[:100]), by_plain, n=1, cutoff=0.7)
    return by_plain[found[0]] if found else None


def did_you_mean(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return the question `did you mean "…"?`, or `otherwise` if no known name is near.

    >>> did_you_mean("blead", ["trim", "bleed"])
    'did you mean "bleed"?'
    """
    found = nearest(name, known)
    return f'did you mean "{found}"?' if found else otherwise
