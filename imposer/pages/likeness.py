"""Objects of PDFs in; a number for each out, the same for two objects if and only if they are alike.

Alike are objects that say the same, refer to what is alike in the same places and hold the same data: two fonts are if
their files, widths and descriptors are. A module of its own because it is asked of one PDF (`merge`) and of the pages
of many (`sharing`), and knows nothing of either.
"""

from __future__ import annotations

import hashlib
from collections.abc import Set as AbstractSet
from itertools import count

import pikepdf

from imposer.pages.pdf_objects import entries_of, name_of

#: An object's number and generation in its own PDF.
Number = tuple[int, int]

#: How deep objects may lie in one another and still be compared.
DEPTH = 60
#: Objects that are what they are by being that object, not by what is in them.
_ONE_OF_A_KIND = frozenset({"/Page", "/Pages", "/Catalog", "/OCG", "/Annot", "/ObjStm", "/XRef"})
#: How a reference ends as it is written (ISO 32000-1, 7.3.10). No name and no number holds a space; a string may.
REFERS = b" R"


class Likeness:
    """Gives numbers to what objects say; one for all PDFs that are compared."""

    def __init__(self) -> None:
        self._next = count(1)
        self._texts: dict[bytes, int] = {}
        #: Streams by what their dictionaries say: the only one so far, or the digests of all.
        self._only: dict[bytes, tuple[pikepdf.Object, int]] = {}
        self._digests: dict[bytes, dict[bytes, int]] = {}

    def of(self, pdf: pikepdf.Pdf) -> Alike:
        """Return the numbers of one PDF's objects."""
        return Alike(pdf, self)

    def alone(self) -> int:
        """Return a number that no other object has."""
        return next(self._next)

    def of_text(self, text: bytes) -> int:
        """Return the number of an object that says this."""
        return self._texts.get(text) or self._texts.setdefault(text, self.alone())

    def of_stream(self, text: bytes, stream: pikepdf.Object) -> int:
        """Return the number of a stream whose dictionary says this.

        Data are read only once another stream says the same, its length among it.
        """
        if text not in self._digests:
            self._digests[text] = {}
            self._only[text] = stream, self.alone()
            return self._only[text][1]
        digests = self._digests[text]
        if text in self._only:
            only, number = self._only.pop(text)
            digests[_digest(only)] = number
        digest = _digest(stream)
        return digests.get(digest) or digests.setdefault(digest, self.alone())


class Alike:
    """The numbers of one PDF's objects. They hold as long as the objects are not changed."""

    def __init__(self, pdf: pikepdf.Pdf, likeness: Likeness) -> None:
        self._pdf = pdf
        self._likeness = likeness
        self._found: dict[Number, int] = {}
        self._refers: dict[Number, set[Number]] = {}
        self._open: dict[Number, int] = {}

    def of(self, number: Number) -> int:
        """Return the number of an object that `number` names in its PDF."""
        return self._of(number, 0)

    def refers(self, number: Number) -> AbstractSet[Number]:
        """Return what an object refers to by itself; it must have been asked for before."""
        return self._refers.get(number, frozenset())

    def _of(self, number: Number, depth: int) -> int:
        found = self._found.get(number)
        if found is not None:
            return found
        if number in self._open or depth > DEPTH:
            # Part of a loop, or too deep: alike only to itself.
            return self._open.get(number) or self._open.setdefault(number, self._likeness.alone())
        self._open[number] = self._likeness.alone()
        thing = self._pdf.get_object(number)
        stream = isinstance(thing, pikepdf.Stream)
        text = self._text(thing.stream_dict if stream else thing, number, depth)
        own = self._open.pop(number)
        if isinstance(thing, pikepdf.Stream | pikepdf.Dictionary) and name_of(thing.get("/Type", "")) in _ONE_OF_A_KIND:
            self._found[number] = own
        elif stream:
            self._found[number] = self._likeness.of_stream(text, thing)
        else:
            self._found[number] = self._likeness.of_text(text)
        return self._found[number]

    def _text(self, value: pikepdf.Object, owner: Number, depth: int) -> bytes:
        """Write a value out, with its number in the place of each object that it refers to."""
        text: bytes = _written(value)
        pieces = text.split(REFERS)
        if len(pieces) == 1:
            return text
        if b"(" not in text:
            for at, piece in enumerate(pieces[:-1]):
                # "… 12 0 R": the number and the generation are the last two words before it.
                before, number, generation = piece.rsplit(b" ", 2)
                pieces[at] = b"%b #%d" % (before, self._referred((int(number), int(generation)), owner, depth))
            return REFERS.join(pieces)
        if not isinstance(value, pikepdf.Dictionary | pikepdf.Array):
            return text
        # A string may read like a reference: take the value apart.
        parts = [b"[" if isinstance(value, pikepdf.Array) else b"<<"]
        for key, one in entries_in(value):
            parts.append(str(key).encode("utf-8", "surrogateescape"))
            if isinstance(one, pikepdf.Object) and one.is_indirect:
                parts.append(b"#%d" % self._referred(one.objgen, owner, depth))
            elif isinstance(one, pikepdf.Object):
                parts.append(self._text(one, owner, depth))
            else:
                parts.append(_written(one))
        return b"\0".join([*parts, b">"])

    def _referred(self, number: Number, owner: Number, depth: int) -> int:
        self._refers.setdefault(owner, set()).add(number)
        return self._of(number, depth + 1)


def entries_in(thing: pikepdf.Object) -> list[tuple[str | int, object]]:
    """Return the entries of a dictionary, of a stream's dictionary or of an array, by name or by place."""
    if isinstance(thing, pikepdf.Array):
        return list(enumerate(thing.as_list()))
    return list(entries_of(thing).items())


def _written(value: object) -> bytes:
    """Write a value as a PDF does; a whole indirect object is written out."""
    return value.unparse(resolved=True) if isinstance(value, pikepdf.Object) else repr(value).encode()


def _digest(stream: pikepdf.Object) -> bytes:
    return hashlib.sha256(stream.read_raw_bytes()).digest()
