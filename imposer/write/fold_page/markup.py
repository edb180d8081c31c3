"""HTML and SVG as text: whatever comes from a file is escaped here, once, and nothing else writes markup."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from html import escape

from imposer.errors import one_line


class Markup(str):
    """Text that is markup already."""

    __slots__ = ()


def text(words: object) -> Markup:
    """Return words as markup that shows them and does nothing else.

    >>> text("<b>job</b> & co")
    '&lt;b&gt;job&lt;/b&gt; &amp; co'
    """
    return words if isinstance(words, Markup) else Markup(escape(one_line(str(words))))


def element(name: str, /, *inside: object, **attributes: object) -> Markup:
    """Return an element; `class_` is `class`, and underscores in names of attributes become hyphens.

    >>> element("p", "1 < 2", class_="note")
    '<p class="note">1 &lt; 2</p>'
    """
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return Markup(f"<{name}{told}>{''.join(map(text, inside))}</{name}>")


def empty(name: str, /, **attributes: object) -> Markup:
    """Return an element of HTML that has no end tag, such as an image."""
    return Markup(element(name, **attributes).removesuffix(f"</{name}>"))


def joined(parts: Iterable[object]) -> Markup:
    """Return parts one after the other."""
    return Markup("".join(map(text, parts)))


def jpeg(content: bytes) -> Markup:
    """Return a JPEG file as the address of an image; it holds no sign that would want escaping."""
    return Markup("data:image/jpeg;base64," + base64.b64encode(content).decode("ascii"))


def _value(value: object) -> str:
    if isinstance(value, Markup):
        return value
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return escape(one_line(str(value)), quote=True)
