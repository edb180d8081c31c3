"""One table of a parsed TOML file in, checked values out; every fault is kept, with its dotted path.

A `TomlTable` remembers where it stands and which keys were asked for, so that what nobody asked for is a fault too,
and a person mends a file once. What a value may be is not known here: `imposer.job.values` holds the parsers.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from imposer.errors import Fault
from imposer.job.values import BadValue, shown
from imposer.nearest import nearest

Value = TypeVar("Value")

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


class TomlTable:
    """A table being read. Values that are at fault come back as their stand-ins, so reading goes on to the end.

    >>> from imposer.job.values import whole
    >>> root = TomlTable({"copies": 0, "titel": "x"}, file=Path("job.toml"))
    >>> root.need("copies", whole(1, 1000), 1)
    1
    >>> root.get("drums", whole(1, 8), 2)
    2
    >>> root.done()
    >>> for fault in root.faults: print(fault)
    job.toml: copies: 0 is too small: the least is 1
    job.toml: titel: unknown key; the keys known here are copies, drums
    """

    def __init__(
        self, table: Mapping[str, Any], *, file: Path, path: str = "", faults: list[Fault] | None = None
    ) -> None:
        self.file = file
        self.path = path
        #: Every fault of the whole file so far; shared by all its tables.
        self.faults: list[Fault] = [] if faults is None else faults
        self._table = table
        #: The keys asked for, in order; the values say nothing.
        self._asked: dict[str, None] = {}
        #: The needed keys that are left out, each with its mend.
        self._missing: dict[str, str] = {}
        self._below: list[TomlTable] = []

    def get(self, key: str, parse: Callable[[object], Value], default: Value) -> Value:
        """Return the parsed value, or `default` if the key is left out or at fault."""
        self._asked[key] = None
        if key not in self._table:
            return default
        try:
            return parse(self._table[key])
        except BadValue as bad:
            self.fault(key, bad.problem, bad.mend)
            return default

    def need(self, key: str, parse: Callable[[object], Value], stand_in: Value, mend: str = "") -> Value:
        """Return the parsed value; a key left out is a fault with `mend`, and `stand_in` comes back."""
        if key not in self._table:
            self._missing[key] = mend
        return self.get(key, parse, stand_in)

    def has(self, key: str) -> bool:
        """Tell whether the key is written in the file, whatever its value."""
        return key in self._table

    def raw(self, key: str) -> object:
        """Return a value unparsed, None if left out, for choosing how to read it."""
        return self._table.get(key)

    def table(self, key: str, below: Mapping[str, Any] | None = None) -> TomlTable:
        """Return the table under a key; an empty one if it is left out or not a table.

        Keys that it leaves out are taken from `below`.
        """
        self._asked[key] = None
        value = self._table.get(key, {})
        if not isinstance(value, dict):
            self.fault(key, f"{shown(value)} is not a table", f"write it under [{self.place(key)}]")
            # It stays outside this file's tables: that all its keys are missing follows, and is not worth telling.
            return TomlTable({}, file=self.file, path=self.place(key))
        return self._child({**(below or {}), **value}, self.place(key))

    def tables(self, key: str, mend: str) -> tuple[TomlTable, ...]:
        """Return the tables of a list such as `[[ink]]`, counted from 1; none at all is a fault with `mend`."""
        self._asked[key] = None
        value = self._table.get(key, [])
        if isinstance(value, dict):
            self.fault(key, "this is one table, not a list of tables", f"write [[{key}]] with two brackets")
            return ()
        if not isinstance(value, list):
            self.fault(key, f"{shown(value)} is not a list of tables", mend)
            return ()
        if not value:
            self.fault(key, "missing", mend)
        found = []
        for number, item in enumerate(value, start=1):
            place = f"{self.place(key)}[{number}]"
            if isinstance(item, dict):
                found.append(self._child(item, place))
            else:
                self._keep(place, f"{shown(item)} is not a table", mend)
        return tuple(found)

    def names(self) -> tuple[str, ...]:
        """Return every key as written and count all as known, for a table whose keys are names."""
        self._asked.update(dict.fromkeys(self._table))
        return tuple(self._table)

    def place(self, key: str) -> str:
        """Return the dotted path of a key of this table, quoted as TOML asks."""
        written = key if _BARE_KEY.fullmatch(key) else shown(key)
        return f"{self.path}.{written}" if self.path else written

    def fault(self, key: str, problem: str, mend: str = "") -> None:
        """Keep a fault of one key."""
        self._keep(self.place(key), problem, mend)

    def done(self) -> None:
        """Make a fault of every needed key left out and every key nobody asked for, here and in all tables below."""
        unknown = [key for key in self._table if key not in self._asked]
        # A needed key that was only misspelt is told once, by the key that stands in its place.
        meant = {key: self._meant(key) for key in unknown}
        for key, mend in self._missing.items():
            if key not in meant.values():
                self.fault(key, "missing", mend)
        for key in unknown:
            listed = f"the keys known here are {', '.join(self._asked)}" if self._asked else "no key is known here"
            self.fault(key, "unknown key", f'did you mean "{meant[key]}"?' if meant[key] else listed)
        for table in self._below:
            table.done()

    def _meant(self, key: str) -> str | None:
        """Return the known key nearest to an unknown one; rather one that is left out than one that is written."""
        unset = [name for name in self._asked if name not in self._table]
        return nearest(key, unset) or nearest(key, self._asked)

    def _keep(self, place: str, problem: str, mend: str) -> None:
        self.faults.append(Fault(file=self.file, place=place, problem=problem, mend=mend))

    def _child(self, table: Mapping[str, Any], path: str) -> TomlTable:
        child = TomlTable(table, file=self.file, path=path, faults=self.faults)
        self._below.append(child)
        return child
