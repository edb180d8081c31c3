"""Streams of a PDF whose data lie in files until it is saved.

A booklet's pictures can be gigabytes, and a stream made the ordinary way stays in memory until the PDF is saved. Here
its data are written to a file of their own, and the PDF is told the file's name; it reads it when it is saved, one
stream at a time. The copy also makes sure that artwork which changes or vanishes during the build cannot end up half in
a master. The door is qpdf's JSON form, whose streams may name a `datafile` (qpdf manual, "qpdf JSON", 12.3).
"""

from __future__ import annotations

import io
import json
import shutil
import tempfile
import weakref
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from imposer.errors import Fault, ImposerError
from imposer.pages.scratch import scratch_folder

if TYPE_CHECKING:
    import pikepdf

#: Bytes copied at once.
_CHUNK = 1 << 20
_ATTRIBUTE = "_imposer_streams"


class _Store:
    """A folder of stream data that lives as long as the PDF that reads them, or as the process."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = Path(tempfile.mkdtemp(dir=folder or scratch_folder()))
        self.count = 0
        self._finalizer = weakref.finalize(self, shutil.rmtree, self.folder, ignore_errors=True)

    def new_file(self) -> Path:
        self.count += 1
        return self.folder / f"{self.count}.bin"


def keep_streams_in(target: pikepdf.Pdf, folder: Path) -> None:
    """Have the stream data of a PDF kept inside `folder`, and not where the system keeps temporary files."""
    setattr(target, _ATTRIBUTE, _Store(folder))


def file_stream(
    target: pikepdf.Pdf, write: Callable[[BinaryIO], None], entries: dict[str, Any], shown: str
) -> pikepdf.Object:
    """Make an indirect stream object of `target` whose data `write` puts into a file.

    Args:
        target: The PDF that is being made.
        write: Given a file open for writing; what it writes are the stream's data as they stand in the PDF.
        entries: The stream's dictionary as JSON of qpdf: names begin with "/".
        shown: The artwork that this comes from, for messages.

    Raises:
        ImposerError: the data cannot be written.
    """
    try:
        store = getattr(target, _ATTRIBUTE, None)
        if store is None:
            store = _Store(None)
            setattr(target, _ATTRIBUTE, store)
        path = store.new_file()
        with path.open("wb") as stream:
            write(stream)
    except OSError as error:
        problem = f"cannot be copied for the masters ({error.strerror or error})"
        fault = Fault(file=shown, problem=problem, mend="check the file, and the room on the disk")
        raise ImposerError(fault) from error
    number, generation = target.make_indirect(_empty()).objgen
    document = {
        "qpdf": [
            {"jsonversion": 2, "pdfversion": "1.4", "maxobjectid": number},
            {f"obj:{number} {generation} R": {"stream": {"dict": entries, "datafile": str(path)}}},
        ]
    }
    target.update_from_qpdf_json(
        io.BytesIO(json.dumps(document, ensure_ascii=False).encode("utf-8", "surrogateescape"))
    )
    return target.get_object(number, generation)


def copy_pieces(file: Path, pieces: tuple[tuple[int, int], ...], stream: BinaryIO) -> None:
    """Copy pieces (offset, length) of a file, one after the other.

    Raises:
        OSError: the file is shorter than it was.
    """
    with file.open("rb") as source:
        for offset, length in pieces:
            source.seek(offset)
            left = length
            while left:
                data = source.read(min(left, _CHUNK))
                if not data:
                    raise OSError("it is shorter than it was when it was first read")
                stream.write(data)
                left -= len(data)


def _empty() -> pikepdf.Object:
    import pikepdf

    return pikepdf.Dictionary()
