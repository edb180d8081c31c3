"""A file written whole or not at all: aside first, then moved over the old one in one step."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from imposer.errors import Fault, ImposerError


def write_whole(
    file: Path, content: bytes, mend: str = "make room, check its rights, or name another file with -o"
) -> None:
    """Write a file, making its folder if need be; `mend` is said if that fails.

    Raises:
        ImposerError: it cannot be written. What was there before is still there.
    """
    target = Path(os.path.realpath(file))
    aside = target.with_name(f".{target.name}.imposer-new")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            with aside.open("wb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
            aside.replace(target)
        finally:
            with suppress(OSError):
                aside.unlink()
    except OSError as error:
        raise ImposerError(
            Fault(
                file=file,
                problem=f"cannot be written ({error.strerror or error})",
                mend=mend,
            )
        ) from error
