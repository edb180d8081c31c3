"""The private entry of a master page, allowed by the PDF standard: put in with one library, read with another.

ISO 32000-1, 14.5: a page may hold a page-piece dictionary, `/PieceInfo`, with a data dictionary under the name of the
application that wrote it; that has `/LastModified` (required) and `/Private`, whose form is the application's own. A
page with one must have `/LastModified` too (Table 30). The date is a constant, so that the same job gives the same
bytes; it says nothing of when a file was made.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import TYPE_CHECKING

from imposer.fold_back.record import MasterRecord, RecordError, read_record, record_text, sketch_bytes

if TYPE_CHECKING:
    import pikepdf
    import pypdf

#: This program's name in a page-piece dictionary.
OWNER = "/Imposer"
#: A date in the form of ISO 32000-1, 7.9.4.
_DATE = "D:20000101000000Z"
#: Sketches are this much at most; beyond it the entry is not one of ours.
_MOST_SKETCHES = 64_000_000


def put_entry(pdf: pikepdf.Pdf, page: pikepdf.Object, record: MasterRecord, drawing: bytes) -> None:
    """Write a record into a page that is being made.

    Args:
        pdf: the file.
        page: the page's dictionary.
        record: what to keep.
        drawing: the page's own content stream, by which it will be known.
    """
    import pikepdf

    told = replace(record, drawing=drawing_digest(drawing))
    data = pikepdf.Dictionary(Record=pikepdf.String(record_text(told)))
    sketches = sketch_bytes(told)
    if sketches:
        data.Sketches = pdf.make_stream(sketches)
    entry = pikepdf.Dictionary(LastModified=pikepdf.String(_DATE), Private=data)
    page.PieceInfo = pikepdf.Dictionary({OWNER: entry})
    page.LastModified = pikepdf.String(_DATE)


def get_entry(page: pypdf.PageObject) -> MasterRecord:
    """Return the record that a page holds.

    Raises:
        RecordError: it holds none, or one that is not whole.
    """
    from pypdf.generic import DictionaryObject, StreamObject

    found: object = page
    for name in ("/PieceInfo", OWNER, "/Private"):
        if not isinstance(found, DictionaryObject) or name not in found:
            raise RecordError("it does not say what lies on it: it has no entry of this program")
        found = found[name]
    if not isinstance(found, DictionaryObject) or "/Record" not in found:
        raise RecordError("its entry is not whole")
    text = found["/Record"]
    kept = found.get("/Sketches")
    kept = kept.get_object() if kept is not None else None
    sketches = kept.get_data() if isinstance(kept, StreamObject) else b""
    if len(sketches) > _MOST_SKETCHES:
        raise RecordError("its entry is larger than any this program writes")
    return read_record(text.decode("latin-1") if isinstance(text, bytes) else str(text), sketches)


def drawing_digest(content: bytes) -> str:
    r"""Return what a page's drawing is known by, however its white space was changed.

    >>> drawing_digest(b"q\n1 0 0 1 0 0 cm\nQ\n") == drawing_digest(b"q 1 0 0 1 0 0 cm Q")
    True
    """
    return hashlib.sha256(b" ".join(content.split())).hexdigest()[:32]
