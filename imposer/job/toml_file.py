"""A file on the disk in, its TOML tables out; or one plain fault that says why it cannot be read.

Files come from other people's disks: folders, pipes, huge files, other encodings and slips of the pen all end here.
"""

from __future__ import annotations

import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from imposer.errors import Fault, ImposerError
from imposer.nearest import did_you_mean

#: A job or shop file is a few kilobytes of text; what is larger is not one, bytes.
LARGEST_FILE = 1 << 20

_PLACE = re.compile(r"(.*) \(at (line \d+, column \d+|end of document)\)", re.DOTALL)
_BETWEEN = "', '"
_MEND = "text stands in quotes, lists in [ ], and a key only once in its table"


def read_toml(file: Path) -> dict[str, Any]:
    """Return the tables of a TOML file.

    Raises:
        ImposerError: the file cannot be read, is not UTF-8 text or not TOML; the fault names the line and column.
    """
    return _parse(_decode(_read_bytes(file), file), file)


def is_folder(path: Path) -> bool:
    """Tell whether a path is a folder; False for a path the system cannot even look up."""
    try:
        return stat.S_ISDIR(path.stat().st_mode)
    except (OSError, ValueError):
        return False


def is_missing(path: Path) -> bool:
    """Tell whether nothing lies at a path; False if the system cannot tell."""
    try:
        path.stat()
    except FileNotFoundError:
        return True
    except (OSError, ValueError):
        return False
    return False


def beside(file: Path) -> str:
    """Return `did you mean "job.toml"?` if the file's folder holds a TOML file of a similar name, else ""."""
    try:
        names = sorted(path.name for path in file.parent.glob("*.toml"))
    except (OSError, ValueError):
        return ""
    return did_you_mean(file.name, names)


def _read_bytes(file: Path) -> bytes:
    try:
        # A pipe would hold the program up for ever, and a folder cannot be read.
        if not stat.S_ISREG(file.stat().st_mode):
            raise ImposerError(Fault(file=file, problem="this is a folder or a device, not a file"))
        with file.open("rb") as stream:
            content = stream.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise ImposerError(Fault(file=file, problem="there is no such file", mend=beside(file))) from None
    except OSError as error:
        raise ImposerError(Fault(file=file, problem=f"cannot be read: {error.strerror or error}")) from error
    except ValueError as error:
        raise ImposerError(Fault(file=file, problem="this is not the name of a file")) from error
    if len(content) > LARGEST_FILE:
        raise ImposerError(
            Fault(file=file, problem="the file is larger than 1 MB", mend="give the TOML file, a few kilobytes of text")
        )
    return content


def _decode(content: bytes, file: Path) -> str:
    try:
        # Some editors put a byte order mark before UTF-8 text; TOML knows none.
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        byte = content[error.start]
        raise ImposerError(
            Fault(
                file=file, place=f"line {line}", problem=f"byte {byte:#04x} is not UTF-8", mend="save it as UTF-8 text"
            )
        ) from error


def _parse(text: str, file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise ImposerError(Fault(file=file, problem="not TOML: lists nest too deeply", mend=_MEND)) from None
    except ValueError as error:
        # A whole number of thousands of digits is a bare ValueError without a place.
        found = _PLACE.fullmatch(str(error))
        if not isinstance(error, tomllib.TOMLDecodeError) or not found:
            raise ImposerError(Fault(file=file, problem="not TOML: a number is too long", mend=_MEND)) from error
        reason, place = found.groups()
        # The parser writes the name of a table as Python does: ('page', 'art').
        named = re.sub(r"\('(.*?)',?\)", lambda names: f"[{names[1].replace(_BETWEEN, '.')}]", reason)
        problem = f"not TOML: {named[:1].lower()}{named[1:]}"
        raise ImposerError(Fault(file=file, place=place, problem=problem, mend=_MEND)) from error
