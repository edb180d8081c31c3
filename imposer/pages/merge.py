"""A PDF joined from many files in; the same PDF with everything that is alike in it kept once.

A zine often comes as a file a page, and every file brings the same fonts along. What is alike is found by a digest over
dictionary and data, taken from the leaves up: two fonts are alike if their files, widths and descriptors are. A module
of its own because it knows nothing of pages and looks at the whole PDF.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterator

import pikepdf

from imposer.pages.pdf_objects import entries_of

Number = tuple[int, int]

#: Objects that are what they are by being that object, not by what is in them.
_ONE_OF_A_KIND = frozenset({"/Page", "/Pages", "/Catalog", "/OCG", "/Annot", "/ObjStm", "/XRef"})
#: How deep objects may lie in one another and still be compared.
_DEPTH = 60
#: A reference as it is written (ISO 32000-1, 7.3.10).
_REFERENCE = re.compile(rb"\b(\d+) (\d+) R\b")


def merge_identical(pdf: pikepdf.Pdf) -> int:
    """Point every reference at the first of all objects that are alike; the others are then not saved.

    Returns:
        How many objects were found to be another's double.
    """
    merger = _Merger(pdf)
    doubles = merger.doubles()
    if doubles:
        for number, thing in merger.things.items():
            if merger.may_point_at(number, doubles):
                _point(thing, doubles)
    return len(doubles)


class _Merger:
    def __init__(self, pdf: pikepdf.Pdf) -> None:
        self.things: dict[Number, pikepdf.Object] = {
            thing.objgen: thing
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream | pikepdf.Array)
        }
        self._digests: dict[Number, bytes] = {}
        self._open: set[Number] = set()
        self._refers: dict[Number, set[Number]] = {}
        # Data are read only where another stream is as long.
        self._lengths = Counter(
            thing.get("/Length") for thing in self.things.values() if isinstance(thing, pikepdf.Stream)
        )

    def doubles(self) -> dict[Number, pikepdf.Object]:
        """Return the first of its like for every object that is not the first."""
        first: dict[bytes, pikepdf.Object] = {}
        found: dict[Number, pikepdf.Object] = {}
        for number, thing in self.things.items():
            digest = self._digest(thing, 0)
            if digest in first:
                found[number] = first[digest]
            else:
                first[digest] = thing
        return found

    def _digest(self, thing: pikepdf.Object, depth: int) -> bytes:
        """Return an indirect object's digest; its own number if it cannot be compared."""
        number = thing.objgen
        if number in self._digests:
            return self._digests[number]
        alone = b"%d %d" % number
        if number in self._open or depth > _DEPTH:
            # Part of a loop, or too deep: alike only to itself.
            return alone
        self._open.add(number)
        stream = isinstance(thing, pikepdf.Stream)
        parts: list[bytes] = []
        self._write(thing.stream_dict if stream else thing, parts, number, depth)
        single = not isinstance(thing, pikepdf.Array) and str(thing.get("/Type", "")) in _ONE_OF_A_KIND
        if stream:
            single = single or self._lengths[thing.get("/Length")] == 1
            if not single:
                parts += [b"stream", hashlib.sha256(thing.read_raw_bytes()).digest()]
        self._open.discard(number)
        digest = alone if single else hashlib.sha256(b"\0".join(parts)).digest()
        self._digests[number] = digest
        return digest

    def _write(self, value: pikepdf.Object, parts: list[bytes], owner: Number, depth: int) -> None:
        """Write a value with the digest of what it refers to in the place of each reference."""
        text = value.unparse(resolved=True)
        if b"(" not in text:
            parts.append(_REFERENCE.sub(lambda match: self._reference(match, owner, depth), text))
        elif isinstance(value, pikepdf.Dictionary | pikepdf.Array):
            # A string may read like a reference: take the value apart.
            for key, one in _entries(value):
                parts.append(str(key).encode("utf-8", "surrogateescape"))
                if not isinstance(one, pikepdf.Object):
                    parts.append(repr(one).encode())
                elif one.is_indirect:
                    self._write(pikepdf.Array([one]), parts, owner, depth)
                else:
                    self._write(one, parts, owner, depth)
        else:
            parts.append(text)

    def _reference(self, match: re.Match[bytes], owner: Number, depth: int) -> bytes:
        number = int(match[1]), int(match[2])
        self._refers.setdefault(owner, set()).add(number)
        thing = self.things.get(number)
        return match[0] if thing is None else b"<" + self._digest(thing, depth + 1).hex().encode() + b">"

    def may_point_at(self, number: Number, doubles: dict[Number, pikepdf.Object]) -> bool:
        """Tell whether an object refers to a double."""
        return not self._refers.get(number, set()).isdisjoint(doubles)


def _entries(thing: pikepdf.Object) -> Iterator[tuple[str | int, object]]:
    if isinstance(thing, pikepdf.Array):
        yield from enumerate(thing.as_list())
    else:
        yield from entries_of(thing).items()


def _point(thing: pikepdf.Object, doubles: dict[Number, pikepdf.Object], depth: int = 0) -> None:
    """Replace references to doubles in an object and what is written inside it."""
    for key, value in list(_entries(thing)):
        if not isinstance(value, pikepdf.Dictionary | pikepdf.Stream | pikepdf.Array):
            continue
        if value.is_indirect:
            if value.objgen in doubles:
                thing[key] = doubles[value.objgen]
        elif depth < _DEPTH:
            _point(value, doubles, depth + 1)
