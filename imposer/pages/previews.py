"""Previews wait in one file without a name until they are drawn, so that a long booklet takes no more memory.

The system gives the file's room back when the program ends, however it ends.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from threading import Lock
from typing import BinaryIO

from imposer.errors import Fault, ImposerError

_ONE_AT_A_TIME = Lock()


@dataclass(frozen=True, slots=True)
class Preview:
    """Where a preview waits."""

    start: int
    length: int

    def read(self) -> bytes:
        """Return the preview: a small picture as PNG or JPEG."""
        with _ONE_AT_A_TIME:
            file = _file()
            file.seek(self.start)
            return file.read(self.length)


def keep(picture: bytes) -> Preview:
    """Put a preview by.

    Raises:
        ImposerError: there is no room for temporary files.
    """
    try:
        with _ONE_AT_A_TIME:
            file = _file()
            start = file.seek(0, 2)
            file.write(picture)
            file.flush()
    except OSError as error:
        problem = f"temporary files cannot be written ({error.strerror or error})"
        mend = "make room, or set TMPDIR to a folder that has some"
        raise ImposerError(Fault(file=tempfile.gettempdir(), problem=problem, mend=mend)) from error
    return Preview(start, len(picture))


@cache
def _file() -> BinaryIO:
    return tempfile.TemporaryFile(prefix="imposer-")
