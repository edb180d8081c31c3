"""A PDF's layers (optional content) in; which of them do not print out.

A form XObject leaves the catalogue that says which layers are off behind, and then all of them show (and some drivers
know no layers at all). So they are resolved: what this module calls hidden is left out of what is placed.
Source of the rules: ISO 32000-1, 8.11.
"""

from __future__ import annotations

from collections.abc import Iterator

import pikepdf

from imposer.pages.pdf_objects import name_of

#: Depth of a visibility expression, and terms of one, beyond which it counts as visible.
_DEPTH, _TERMS = 20, 2_000


class Hidden:
    """The layers of one file that do not print."""

    def __init__(self, off: frozenset[tuple[int, int]] = frozenset()) -> None:
        self._off = off

    def __bool__(self) -> bool:
        return bool(self._off)

    def hides(self, content: object) -> bool:
        """Tell whether what is marked with `content`, a layer or a membership dictionary (or None), does not print."""
        if not self._off or not isinstance(content, pikepdf.Dictionary):
            return False
        if content.get("/Type") == pikepdf.Name.OCMD:
            return not self._member_shows(content)
        return content.objgen in self._off

    def _member_shows(self, member: pikepdf.Object) -> bool:
        """Evaluate a membership dictionary (ISO 32000-1, Table 99)."""
        expression = member.get("/VE")
        if isinstance(expression, pikepdf.Array):
            return self._expression(expression, 0, iter(range(_TERMS)))
        groups = member.get("/OCGs")
        listed = groups.as_list() if isinstance(groups, pikepdf.Array) else [groups]
        shows = [one.objgen not in self._off for one in listed if isinstance(one, pikepdf.Dictionary)]
        if not shows:
            return True
        match name_of(member.get("/P", "/AnyOn")):
            case "/AllOn":
                return all(shows)
            case "/AnyOff":
                return not all(shows)
            case "/AllOff":
                return not any(shows)
            case _:
                return any(shows)

    def _expression(self, node: object, depth: int, left: Iterator[int]) -> bool:
        """Evaluate a visibility expression (8.11.2.2); `left` runs out where it has more terms than are looked at."""
        if next(left, None) is None:
            return True
        if isinstance(node, pikepdf.Dictionary):
            return node.objgen not in self._off
        if not isinstance(node, pikepdf.Array) or len(node) < 2 or depth > _DEPTH:
            return True
        parts = [self._expression(part, depth + 1, left) for part in list(node)[1:]]
        match name_of(node[0]):
            case "/And":
                return all(parts)
            case "/Or":
                return any(parts)
            case "/Not":
                return not parts[0]
            case _:
                return True


def hidden_layers(pdf: pikepdf.Pdf) -> Hidden:
    """Return the layers that are off in the file's default configuration, as it prints.

    Where the configuration sets states by use (`/AS` with the event Print), a layer's own print state wins.
    """
    properties = pdf.Root.get("/OCProperties")
    if not isinstance(properties, pikepdf.Dictionary):
        return Hidden()
    groups = [one for one in _listed(properties.get("/OCGs")) if isinstance(one, pikepdf.Dictionary)]
    default = properties.get("/D")
    if not isinstance(default, pikepdf.Dictionary):
        return Hidden()
    off = {one.objgen for one in groups} if default.get("/BaseState") == pikepdf.Name.OFF else set()
    off -= _objects(default.get("/ON"))
    off |= _objects(default.get("/OFF"))
    for usage in _listed(default.get("/AS")):
        if not isinstance(usage, pikepdf.Dictionary) or usage.get("/Event") != pikepdf.Name.Print:
            continue
        for group in _listed(usage.get("/OCGs")):
            if not isinstance(group, pikepdf.Dictionary):
                continue
            state = _print_state(group)
            if state == "/OFF":
                off.add(group.objgen)
            elif state == "/ON":
                off.discard(group.objgen)
    return Hidden(frozenset(off))


def _listed(value: object) -> list[pikepdf.Object]:
    return list(value.as_list()) if isinstance(value, pikepdf.Array) else []


def _objects(groups: object) -> set[tuple[int, int]]:
    if not isinstance(groups, pikepdf.Array):
        return set()
    return {one.objgen for one in groups if isinstance(one, pikepdf.Dictionary)}


def _print_state(group: object) -> str:
    usage = group.get("/Usage") if isinstance(group, pikepdf.Dictionary) else None
    usage = usage.get("/Print") if isinstance(usage, pikepdf.Dictionary) else None
    return name_of(usage.get("/PrintState", "")) if isinstance(usage, pikepdf.Dictionary) else ""
