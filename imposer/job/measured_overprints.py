"""The `[[overprint]]` tables of a shop.toml: colours that a studio measured where its own inks lie on one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from imposer.job.model import Ink, Overprint
from imposer.job.toml_reader import TomlTable
from imposer.job.values import LONGEST_NAME, BadValue, colour, lab, shown, text
from imposer.nearest import did_you_mean, plain

_MEND = 'name two or more inks of this shop, such as ["marigold", "rose"]'
_NAME = text(LONGEST_NAME)


def read_overprints(root: TomlTable, inks: Sequence[Ink]) -> tuple[Overprint, ...]:
    """Return the measured overprints of a shop; what is at fault is left out. None need be stated."""
    if root.raw("overprint") is None:
        return ()
    found: list[Overprint] = []
    taken: dict[frozenset[str], str] = {}
    for table in root.tables("overprint", "give each overprint its inks and its colour"):
        nothing: tuple[str, ...] = ()
        named = table.need("inks", _names, nothing, _MEND)
        code = table.get("colour", colour, None)
        measured = table.get("lab", lab, None)
        if not table.has("colour") and not table.has("lab"):
            table.fault("colour", "missing", 'give full tone on white paper, such as "#c8553a", or lab as measured')
        meeting = tuple(_known(table, named, inks))
        if len(meeting) < len(named) or len(named) < 2:
            continue
        if len(set(meeting)) < len(meeting):
            table.fault("inks", f"{shown(list(named))} names an ink twice", "name each once")
            continue
        first = taken.setdefault(frozenset(meeting), table.path)
        if first != table.path:
            table.fault("inks", f"{first} has these inks already", "keep one of them")
        elif code is not None or measured is not None:
            found.append(Overprint(inks=meeting, colour=code or "#000000", lab=measured))
    return tuple(found)


def _names(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise BadValue(f"{shown(value)} is not a list of inks", _MEND)
    if len(value) < 2:
        problem = "names no ink" if not value else f"names {shown(value[0])} alone"
        raise BadValue(problem, f"{_MEND}; the colour of one alone stands under its [[ink]]")
    return tuple(map(_NAME, value))


def _known(table: TomlTable, named: Sequence[str], inks: Sequence[Ink]) -> Iterator[str]:
    """Give the shop's names of inks, whatever they were called by; those that it does not have are faults."""
    known = {plain(name): ink.name for ink in inks for name in (*ink.also, ink.name)}
    for name in named:
        if plain(name) in known:
            yield known[plain(name)]
        elif all(ink.name for ink in inks):
            listed = f"the inks of this shop are {', '.join(ink.name for ink in inks)}"
            names = [each for ink in inks for each in (ink.name, *ink.also)]
            table.fault("inks", f"{shown(name)} is not an ink of this shop", did_you_mean(name, names, listed))
