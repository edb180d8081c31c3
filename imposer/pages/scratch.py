"""Files that live no longer than the process: single pages for the renderer, decoded pictures until a PDF is saved.

They lie in one folder among the system's temporary files, which goes when the process ends. Should it be killed, the
renderer that outlives it for a moment takes the folder away (`render_worker`); should that be killed too, the next run
does: whoever is at work holds a lock on its folder, and a folder that nobody holds is litter.
"""

from __future__ import annotations

import atexit
import os
import re
import shutil
import stat
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.file_lock import lock

_PREFIX = "imposer-scratch-"
#: What `tempfile` makes of the prefix; nothing else is ever taken for litter.
_OURS = re.compile(re.escape(_PREFIX) + r"[a-z0-9_]{8}")

_lock = threading.Lock()
_folder: Path | None = None


def scratch_folder() -> Path:
    """Return this process's folder; made when it is asked for first, after others' litter is cleared away.

    Raises:
        OSError: it cannot be made.
    """
    global _folder
    with _lock:
        if _folder is None or not _folder.is_dir():
            clear_litter()
            _folder = _made()
            atexit.register(shutil.rmtree, _folder, ignore_errors=True)
        return _folder


@contextmanager
def scratch_file(suffix: str, shown: str) -> Iterator[Path]:
    """Give the name of a file in the scratch folder, which may be written there and is removed afterwards.

    Raises:
        ImposerError: there is no room for it, or the block raises an OSError; it names `shown`.
    """
    try:
        handle, name = tempfile.mkstemp(suffix, dir=scratch_folder())
        os.close(handle)
        file = Path(name)
        try:
            yield file
        finally:
            file.unlink(missing_ok=True)
    except OSError as error:
        problem = f"cannot be put aside for drawing it ({error.strerror or error})"
        mend = f"make room in {tempfile.gettempdir()}, or name another folder with TMPDIR"
        raise ImposerError(Fault(file=shown, problem=problem, mend=mend)) from error


def clear_litter() -> None:
    """Remove scratch folders of this user whose process is gone. Where no folder can be locked, they stay."""
    if sys.platform == "win32":
        return
    with suppress(OSError):
        for entry in os.scandir(tempfile.gettempdir()):
            if _OURS.fullmatch(entry.name):
                with suppress(OSError):
                    _clear(Path(entry.path))


def _clear(folder: Path) -> None:
    found = folder.lstat()
    if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.getuid():
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        lock(handle)
        shutil.rmtree(folder, ignore_errors=True)
    finally:
        os.close(handle)


def _made() -> Path:
    while True:
        folder = Path(tempfile.mkdtemp(prefix=_PREFIX))
        if sys.platform == "win32":
            return folder
        # Another run may take the new folder for litter before it is locked, and remove it.
        try:
            handle = os.open(folder, os.O_RDONLY)
        except FileNotFoundError:
            continue
        with suppress(BlockingIOError):
            lock(handle)
            if folder.is_dir():
                # The handle stays open as long as the process lives.
                return folder
        os.close(handle)
