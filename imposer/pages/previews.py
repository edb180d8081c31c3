"""Previews wait in one file without a name until they are drawn, so that a long booklet takes no more memory.

The system gives the file's room back when the program ends, however it ends. Where there is no room for such a file, a
preview waits in memory: it is some kilobytes, and no reason to stop a build.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from io import BytesIO, RawIOBase
from threading import Lock

_ONE_AT_A_TIME = Lock()


@dataclass(frozen=True, slots=True)
class Preview:
    """Where a preview waits: from `start` in the file, `length` bytes; or `held`, where the file had no room."""

    start: int
    length: int
    held: bytes | None = None

    def read(self) -> bytes:
        """Return the preview: a small picture as TIFF or JPEG."""
        if self.held is not None:
            return self.held
        with _ONE_AT_A_TIME:
            file = _file()
            file.seek(self.start)
            return file.read(self.length) or b""


def keep(picture: bytes) -> Preview:
    """Put a preview by."""
    with _ONE_AT_A_TIME:
        try:
            file = _file()
            start = file.seek(0, 2)
            whole = file.write(picture) == len(picture)
        except OSError:
            whole = False
    return Preview(start, len(picture)) if whole else Preview(0, len(picture), picture)


@cache
def _file() -> RawIOBase | BytesIO:
    # Unbuffered: what a full disk did not take is known at once, and is not tried again at the end.
    return tempfile.TemporaryFile(prefix="imposer-", buffering=0)
