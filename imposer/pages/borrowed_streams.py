"""Streams that stay in the artwork's own files until a PDF is saved, and are then copied straight into it.

A booklet's pictures can be gigabytes. A stream made the ordinary way stays in memory until the PDF is saved, and one
that waits in a file of its own is written twice and read twice. Here the PDF holds a short stand-in; it is saved with
its stand-ins, and then copied with the pictures in their places and its table of offsets (ISO 32000-1, 7.5.4) moved
along. Measured on 64 pages of 600 ppi in two inks: a quarter of the time of files between, and no memory at all.

Only a PDF that was told to borrow does so (`let_borrow`), since it must then be saved here (`save_borrowing`).
"""

from __future__ import annotations

import mmap
import re
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

import pikepdf
from pikepdf import ObjectStreamMode

from imposer.errors import Fault, ImposerError
from imposer.pages.steady_save import save_steadily

#: Bytes copied at once.
_CHUNK = 1 << 20
_ATTRIBUTE = "_imposer_borrowed"
#: A stand-in as it is saved: the end of an image's dictionary and all of its data. It holds the number and the length
#: of what it stands for, so that the file's identifier, a digest of what is saved, depends on them.
_STAND_IN = re.compile(rb"/Length (\d+) >>\nstream\nborrowed stream (\d+) of \d+ bytes\nendstream\nendobj\n")
_TABLE = re.compile(rb"xref\n0 (\d+)\n")
#: A table of offsets has ten digits for each.
_MOST = 10**10 - 1


@dataclass(frozen=True, slots=True)
class _Loan:
    """Pieces (offset, length) of a file, what the file was like when they were found, and its name for people."""

    file: Path
    pieces: tuple[tuple[int, int], ...]
    state: tuple[int, int]
    shown: str

    @property
    def length(self) -> int:
        return sum(length for _, length in self.pieces)


@dataclass(slots=True)
class _Loans:
    made: list[_Loan] = field(default_factory=list)


def let_borrow(target: pikepdf.Pdf) -> None:
    """Let a PDF that is being made borrow streams; it must be saved with `save_borrowing`."""
    setattr(target, _ATTRIBUTE, _Loans())


def borrows(target: pikepdf.Pdf) -> bool:
    """Tell whether a PDF borrows streams."""
    return hasattr(target, _ATTRIBUTE)


def borrow(
    target: pikepdf.Pdf, file: Path, pieces: Sequence[tuple[int, int]], entries: Mapping[str, Any], shown: str
) -> pikepdf.Object:
    """Make an indirect stream object of `target` whose data are pieces (offset, length) of a file, one after the other.

    Args:
        target: a PDF that was told to borrow.
        file: the file, which must not change until `target` is saved.
        pieces: where the data lie; they must be compressed, so that saving passes them through.
        entries: the stream's dictionary; strings that begin with "/" are names.
        shown: the artwork that this comes from, for messages.

    Raises:
        OSError: the file cannot be read.
    """
    loans: list[_Loan] = getattr(target, _ATTRIBUTE).made
    loan = _Loan(file, tuple(pieces), _state(file), shown)
    stand_in = target.make_stream(b"borrowed stream %d of %d bytes" % (len(loans), loan.length))
    stand_in.stream_dict = _as_pdf(entries)
    loans.append(loan)
    return stand_in


def save_borrowing(target: pikepdf.Pdf, file: Path, min_version: str) -> None:
    """Save a PDF, with what it borrowed, as version `min_version` at least.

    Object streams are left out: every driver since PDF 1.4 reads the file, and offsets stand in a plain table; they
    would save 0.4 % at most. The identifier is a digest of what is saved: no clock, no random number.

    Raises:
        ImposerError: artwork has changed, or the file would be too large for its format.
        OSError: the file cannot be written.
    """
    loans: list[_Loan] = getattr(target, _ATTRIBUTE).made
    bare = file.with_name(file.name + ".bare") if loans else file
    plain = ObjectStreamMode.disable
    try:
        save_steadily(target, bare, min_version=min_version, object_stream_mode=plain, deterministic_id=True)
        if loans:
            with (
                bare.open("rb") as source,
                mmap.mmap(source.fileno(), 0, access=mmap.ACCESS_READ) as saved,
                file.open("wb") as out,
            ):
                _fill(saved, loans, out)
    finally:
        if loans:
            bare.unlink(missing_ok=True)


def _fill(saved: mmap.mmap, loans: Sequence[_Loan], out: BinaryIO) -> None:
    """Copy a saved PDF with each stand-in replaced, then its table with every offset moved by what grew before it."""
    table_at = int(saved[saved.rfind(b"startxref\n") + 10 :].split(b"\n", 1)[0])
    found = list(_STAND_IN.finditer(saved, 0, table_at))
    if sorted(int(match[2]) for match in found) != list(range(len(loans))):
        problem = "cannot be put together: artwork holds what looks like one of our own stand-ins"
        raise ImposerError(Fault(file=Path(out.name).name, problem=problem, mend="export the PDFs of this ink again"))
    copied = grown = 0
    ends, grown_there = [], []
    for match in found:
        loan = loans[int(match[2])]
        head = b"/Length %d >>\nstream\n" % loan.length
        tail = b"\nendstream\nendobj\n"
        out.write(saved[copied : match.start()])
        out.write(head)
        _copy(loan, out)
        out.write(tail)
        copied = match.end()
        grown += len(head) + loan.length + len(tail) - (match.end() - match.start())
        ends.append(match.end())
        grown_there.append(grown)
    out.write(saved[copied:table_at])
    if table_at + grown > _MOST:
        raise ImposerError(
            Fault(
                file=Path(out.name).name,
                problem=f"would have {(table_at + grown) / 1e9:.0f} GB; a PDF holds {_MOST / 1e9:.0f} GB",
                mend="split the job",
            )
        )
    _move_table(saved, table_at, ends, grown_there, out)


def _copy(loan: _Loan, out: BinaryIO) -> None:
    with loan.file.open("rb", buffering=0) as source:
        buffer = memoryview(bytearray(min(_CHUNK, max(length for _, length in loan.pieces))))
        for offset, length in loan.pieces:
            source.seek(offset)
            left = length
            while left:
                read = source.readinto(buffer[:left])
                if not read:
                    raise _changed(loan)
                out.write(buffer[:read])
                left -= read
    if _state(loan.file) != loan.state:
        raise _changed(loan)


def _move_table(
    saved: mmap.mmap, table_at: int, ends: Sequence[int], grown_there: Sequence[int], out: BinaryIO
) -> None:
    """Write the table of offsets, moved, and the trailer as it is."""
    head = _TABLE.match(saved, table_at)
    if head is None:
        raise ValueError("the table of offsets is not where it should be")
    rows_at, count = head.end(), int(head[1])
    out.write(head[0])
    for at in range(rows_at, rows_at + 20 * count, 20):
        row = saved[at : at + 20]
        if row[17:18] == b"n":
            offset = int(row[:10])
            before = bisect_left(ends, offset + 1)
            row = b"%010d" % (offset + (grown_there[before - 1] if before else 0)) + row[10:]
        out.write(row)
    start = saved.rfind(b"startxref\n")
    out.write(saved[rows_at + 20 * count : start])
    out.write(b"startxref\n%d\n%%%%EOF\n" % (table_at + (grown_there[-1] if grown_there else 0)))


def _state(file: Path) -> tuple[int, int]:
    found = file.stat()
    return found.st_mtime_ns, found.st_size


def _changed(loan: _Loan) -> ImposerError:
    problem = "changed while the job was running"
    return ImposerError(Fault(file=loan.shown, problem=problem, mend="leave the artwork alone and start again"))


def _as_pdf(value: object) -> Any:  # noqa: ANN401
    """Turn plain values into PDF's: strings are names, dictionaries and lists what they are."""
    if isinstance(value, str):
        return pikepdf.Name(value)
    if isinstance(value, Mapping):
        return pikepdf.Dictionary({key: _as_pdf(part) for key, part in value.items()})
    if isinstance(value, list | tuple):
        return pikepdf.Array([_as_pdf(part) for part in value])
    return value
