"""Files that are art to whoever made them and cannot be read here: what they are, and the way out.

First bytes and a name go in, a fault comes out. Refusing by name is worth a table: "not a PNG" helps nobody who has
been saving in a format for years.
"""

from __future__ import annotations

from pathlib import PurePosixPath

from imposer.errors import Fault

_PICTURE = "save it as PNG or TIFF, at the size of the page"
_LAYERS = "export the layer of each ink as a gray PNG or TIFF"
_DRAWING = "export it as PDF, a page the size of the finished page"
_TEXT = "export it as PDF, and look whether the pages have the size of the job"

#: What the endings say; the first bytes of many of these are those of a plain ZIP or of nothing in particular.
_BY_ENDING = {
    **dict.fromkeys(("psd", "psb", "xcf", "ora"), ("a layered picture", _LAYERS)),
    **dict.fromkeys(("svg", "svgz", "ai", "eps", "ps", "odg", "wmf", "emf", "dxf"), ("a drawing", _DRAWING)),
    **dict.fromkeys(("doc", "docx", "odt", "rtf", "odp", "ppt", "pptx"), ("an office document", _TEXT)),
    **dict.fromkeys(("indd", "idml", "pub"), ("a layout document", _DRAWING)),
    **dict.fromkeys(
        ("gif", "bmp", "webp", "heic", "heif", "avif", "jp2", "jxl", "tga", "ico"), ("a picture", _PICTURE)
    ),
    **dict.fromkeys(("dng", "cr2", "cr3", "nef", "arw", "raf", "orf", "rw2"), ("a raw photograph", _PICTURE)),
    **dict.fromkeys(("htm", "html", "xhtml", "epub", "md"), ("a text for screens", "print it to PDF")),
    **dict.fromkeys(("zip", "rar", "7z", "tar", "gz"), ("an archive", "unpack it, and name the files in it")),
}
#: First bytes of formats whose files often bear another ending, or none: the offset, the bytes and the usual ending.
_BY_BYTES = (
    (0, b"GIF8", "gif"),
    (0, b"BM", "bmp"),
    (8, b"WEBP", "webp"),
    (4, b"ftypheic", "heic"),
    (4, b"ftypheix", "heic"),
    (4, b"ftypmif1", "heif"),
    (4, b"ftypavif", "avif"),
    (0, b"\x00\x00\x00\x0cjP  ", "jp2"),
    (0, b"\xff\x0a", "jxl"),
    (0, b"\x00\x00\x00\x0cJXL ", "jxl"),
    (0, b"8BPS", "psd"),
    (0, b"%!PS", "eps"),
    (0, b"\xc5\xd0\xd3\xc6", "eps"),
    (0, b"\x06\x06\xed\xf5", "indd"),
    (0, b"{\\rtf", "rtf"),
    (0, b"\xd0\xcf\x11\xe0", "doc"),
    (0, b"\x1f\x8b", "gz"),
    (0, b"7z\xbc\xaf", "7z"),
    (0, b"Rar!", "rar"),
)


def unread_format(head: bytes, shown: str) -> Fault:
    """Return the fault of a file that is of no kind that is read here, from its first bytes and its name."""
    ending = PurePosixPath(shown).suffix[1:].lower()
    found = next((kind for at, start, kind in _BY_BYTES if head[at : at + len(start)] == start), "")
    if not found and (b"<svg" in head or b"<SVG" in head):
        found = "svg"
    if not found and head.startswith(b"PK\x03\x04"):
        found = "zip"
    # The bytes of an archive say less than the ending: office documents are archives.
    kind = ending if ending in _BY_ENDING and found in ("", "zip", "gz", "doc", "eps") else found
    if not kind:
        return Fault(file=shown, problem="is not a PNG, JPEG, TIFF or PDF", mend="export it as one of these")
    what, mend = _BY_ENDING[kind]
    return Fault(file=shown, problem=f"is {what} ({kind.upper()}), which is not read here", mend=mend)
