"""What this program leaves beside a job and knows again: it is replaced without asking and never taken for artwork.

Paths in, yes or no out. A leaf, because the search for artwork and the writers must agree.
"""

from __future__ import annotations

from pathlib import Path

#: What a folding dummy says it is, in the subject of its PDF.
DUMMY_SUBJECT = "folding dummy"
#: The file by which a folder of page guides is known, and what it says.
PAGE_GUIDES_FILE, PAGE_GUIDES_FORMAT = "page-guides.json", "imposer-page-guides"

#: No dummy is larger than this, bytes: about 2000 sheets.
_LARGEST = 1 << 25


def is_dummy(file: Path) -> bool:
    """Tell whether a file is a folding dummy of this program."""
    try:
        if file.suffix.lower() != ".pdf" or file.stat().st_size > _LARGEST:
            return False
        content = file.read_bytes()
    except OSError:
        return False
    # The information dictionary of the PDFs written here is never compressed.
    return content.startswith(b"%PDF-") and f"/Subject ({DUMMY_SUBJECT})".encode() in content


def is_page_guides(folder: Path) -> bool:
    """Tell whether a folder holds page guides of this program."""
    try:
        with (folder / PAGE_GUIDES_FILE).open("rb") as stream:
            return PAGE_GUIDES_FORMAT.encode() in stream.read(200)
    except OSError:
        return False
