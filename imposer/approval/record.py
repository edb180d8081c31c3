"""`approval.json` beside the job: who said yes, when, to what. Written whole or not at all."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from imposer.approval.digests import Digests, as_data, from_data
from imposer.errors import Fault, ImposerError, unreadable
from imposer.write.whole_file import write_whole

FILE = "approval.json"
FORMAT = "imposer-approval"
VERSION = 1
#: No honest record is larger, bytes: five thousand pages in eight inks.
_LARGEST = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """What was approved."""

    code: str
    by: str
    #: ISO 8601 date.
    date: str
    digests: Digests


def approval_file(folder: Path) -> Path:
    """Return where the approval of the job in a folder is kept."""
    return folder / FILE


def write_approval(folder: Path, approval: Approval) -> None:
    """Keep an approval beside the job, in the place of an earlier one.

    Raises:
        ImposerError: the folder cannot be written.
    """
    data = {
        "format": FORMAT,
        "version": VERSION,
        "code": approval.code,
        "by": approval.by,
        "date": approval.date,
        **as_data(approval.digests),
    }
    text = json.dumps(data, ensure_ascii=False, indent=1) + "\n"
    write_whole(approval_file(folder), text.encode(), mend="make the job's folder writable")


def read_approval(folder: Path) -> Approval | None:
    """Return the approval kept beside a job, None if there is none.

    Raises:
        ImposerError: the file is there and cannot be used.
    """
    file = approval_file(folder)
    if not file.is_file():
        return None
    try:
        with file.open(encoding="utf-8") as stream:
            # Cut off beyond what is honest: what is left is no JSON then, and told as such.
            return _approval(json.loads(stream.read(_LARGEST)))
    except OSError as error:
        raise unreadable(file, error) from error
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        problem = "is no approval that can be read"
        raise ImposerError(
            Fault(file=file, problem=problem, mend="take it away, and approve the proof again")
        ) from error


def _approval(data: Any) -> Approval:  # noqa: ANN401 - what JSON gives
    if data["format"] != FORMAT or data["version"] != VERSION:
        raise ValueError("of another kind")
    words = [data["code"], data["by"], data["date"]]
    if not all(isinstance(word, str) for word in words):
        raise TypeError("holds other things than words")
    return Approval(code=words[0], by=words[1], date=words[2], digests=from_data(data))
