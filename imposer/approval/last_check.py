"""`job.checked.json` beside the job: what it printed when it was last checked. Written whole or not at all.

The record only serves to tell what has changed. One that cannot be read is as good as none, and one that cannot be
written is missed by nobody but the next check.
"""

from __future__ import annotations

import json
from pathlib import Path

from imposer.approval.digests import Digests, as_data, from_data
from imposer.errors import ImposerError
from imposer.write.whole_file import write_whole

FORMAT = "imposer-check"
VERSION = 1
#: No honest record is larger, bytes: five thousand pages in eight inks.
_LARGEST = 20_000_000


def check_file(job_file: Path) -> Path:
    """Return where the last check of a job is kept; several jobs may share a folder."""
    return job_file.with_name(f"{job_file.stem}.checked.json")


def keep_check(job_file: Path, digests: Digests) -> bool:
    """Keep what a job prints now, for the next check; False if the folder cannot be written."""
    text = json.dumps({"format": FORMAT, "version": VERSION, **as_data(digests)}, ensure_ascii=False, indent=1)
    try:
        write_whole(check_file(job_file), f"{text}\n".encode())
    except ImposerError:
        return False
    return True


def read_last_check(job_file: Path) -> Digests | None:
    """Return what a job printed when it was last checked; None if it never was, or the record cannot be read."""
    try:
        with check_file(job_file).open(encoding="utf-8") as stream:
            data = json.loads(stream.read(_LARGEST))
            return from_data(data) if (data["format"], data["version"]) == (FORMAT, VERSION) else None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
