"""A digest of what a PDF draws with, in place of its bytes: a file only saved anew, at another date, is the same.

Pages and all that they refer to count. What draws nothing is left out: the document's information, its ID, metadata
(XMP), dates and private data of other programs; and so is how objects are numbered, how the file is laid out and how
small streams are packed, all of which a program does in its own way when it saves a file.
"""

from __future__ import annotations

import base64
import hashlib
import zlib
from collections import deque
from functools import lru_cache
from pathlib import Path

import pikepdf

from imposer.errors import unreadable
from imposer.pages.pdf_objects import entries_of, name_of

#: Of the document, what pages draw with: the pages, which layers show, what form fields hold.
_DRAWN = ("/Pages", "/OCProperties", "/AcroForm")
#: Keys that draw nothing, wherever they stand (ISO 32000-1, 14.3, 14.5, 14.7 and 12.3.4); a stream's length follows
#: from its data.
_SILENT = frozenset(
    {"/Metadata", "/PieceInfo", "/LastModified", "/StructParent", "/StructParents", "/Thumb", "/Length"}
)
#: One filter may stand by itself or in an array of one (ISO 32000-1, 7.3.8.2).
_ONE_OR_MORE = frozenset({"/Filter", "/DecodeParms"})
#: Direct values lie no deeper in one another, no more objects are followed, no more is unpacked in all: of what goes
#: beyond, the bytes count. Working values of our own; so many objects take about a second.
_DEPTH, _MOST, _ALL = 60, 10_000, 1 << 28
#: Streams of more bytes, or that unpack to more, count as they are packed: pictures mostly. Working values of our own.
_PACKED, _UNPACKED = 1 << 20, 1 << 24
_BLOCK = 1 << 20
#: As many files are asked of again in a run: when it is checked, and when the proof is written.
_FILES = 5_000

_Number = tuple[int, int]


#: What a digest begins with that stands for what a PDF draws with, and not for its bytes.
_OF_DRAWING = "drawn "


class _BeyondError(Exception):
    """More than is followed."""


def digest_of_pdf(file: Path, shown: str) -> str:
    """Return what stands for all that a PDF draws with; of one that cannot be followed, what stands for its bytes.

    Raises:
        ImposerError: it cannot be read.
    """
    try:
        stat = file.stat()
        return _drawn(file, stat.st_mtime_ns, stat.st_size)
    except OSError as error:
        raise unreadable(shown, error) from error
    except (pikepdf.PdfError, _BeyondError, RuntimeError, ValueError, TypeError, zlib.error):
        return digest_of_bytes(file, shown)


def is_of_drawing(digest: str) -> bool:
    """Tell whether a digest stands for what a PDF draws with, and not for its bytes."""
    return digest.startswith(_OF_DRAWING)


@lru_cache(maxsize=_FILES)
def _drawn(file: Path, changed: int, size: int) -> str:
    """Follow a file; one that has not changed since is not followed again."""
    del changed, size
    with file.open("rb") as stream, pikepdf.Pdf.open(stream, access_mode=pikepdf.AccessMode.stream) as pdf:
        return f"{_OF_DRAWING}{_Walk(pdf).digest()}"


def digest_of_bytes(file: Path, shown: str) -> str:
    """Return what stands for all bytes of a file.

    Raises:
        ImposerError: it cannot be read.
    """
    found = hashlib.sha256()
    try:
        with file.open("rb") as stream:
            while block := stream.read(_BLOCK):
                found.update(block)
    except OSError as error:
        raise unreadable(shown, error) from error
    return found.hexdigest()


class _Walk:
    """Follows a PDF's objects from its pages on, each once, and numbers them as they are met."""

    def __init__(self, pdf: pikepdf.Pdf) -> None:
        self._pdf = pdf
        self._numbers: dict[_Number, int] = {}
        self._waiting: deque[_Number] = deque()
        self._unpacked = 0

    def digest(self) -> str:
        found = hashlib.sha256()
        root = entries_of(self._pdf.Root)
        for key in _DRAWN:
            found.update(self._text(root.get(key), 0))
        while self._waiting:
            thing = self._pdf.get_object(self._waiting.popleft())
            if not isinstance(thing, pikepdf.Stream):
                found.update(self._own_text(thing, 0))
                continue
            data = thing.read_raw_bytes()
            plain = _unpacked(thing, data)
            self._unpacked += len(plain or b"")
            if self._unpacked > _ALL:
                raise _BeyondError
            found.update(self._own_text(thing, 0, _SILENT if plain is None else _SILENT | _ONE_OR_MORE))
            data = data if plain is None else plain
            found.update(b"%d " % len(data))
            found.update(data)
        return found.hexdigest()

    def _text(self, value: object, depth: int) -> bytes:
        """Write a value out, with a number in the place of what it refers to."""
        if isinstance(value, pikepdf.Object) and value.is_indirect:
            return b"#%d " % self._number(value.objgen)
        return self._own_text(value, depth)

    def _own_text(self, value: object, depth: int, silent: frozenset[str] = _SILENT) -> bytes:
        if depth > _DEPTH:
            raise _BeyondError
        if isinstance(value, pikepdf.Array):
            return b"[%b]" % b"".join(self._text(each, depth + 1) for each in value.as_list())
        if not isinstance(value, pikepdf.Dictionary | pikepdf.Stream):
            return (value.unparse() if isinstance(value, pikepdf.Object) else repr(value).encode()) + b" "
        parts = []
        for key, one in sorted(entries_of(value).items()):
            if key in silent:
                continue
            alone = key in _ONE_OR_MORE and isinstance(one, pikepdf.Array) and len(one) == 1
            parts.append(name_of(key).encode("utf-8", "surrogateescape") + b" ")
            parts.append(self._text(one.as_list()[0] if alone else one, depth + 1))
        return b"<<%b>>" % b"".join(parts)

    def _number(self, named: _Number) -> int:
        if named not in self._numbers:
            if len(self._numbers) >= _MOST:
                raise _BeyondError
            self._numbers[named] = len(self._numbers)
            self._waiting.append(named)
        return self._numbers[named]


def _unpacked(stream: pikepdf.Stream, data: bytes) -> bytes | None:
    """Return what a stream holds, if it is small and packed in the plain ways of text and drawings."""
    entries = entries_of(stream)
    named = entries.get("/Filter", pikepdf.Array())
    filters = named.as_list() if isinstance(named, pikepdf.Array) else [named]
    if "/DecodeParms" in entries or len(data) > _PACKED:
        return None
    for each in filters:
        match name_of(each):
            case "/ASCII85Decode":
                data = base64.a85decode(b"".join(data.split()).removeprefix(b"<~").removesuffix(b"~>"))
            case "/FlateDecode":
                unpacking = zlib.decompressobj()
                data = unpacking.decompress(data, _UNPACKED)
                if not unpacking.eof:
                    return None
            case _:
                return None
    return data
