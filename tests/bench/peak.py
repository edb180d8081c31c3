"""Writes the masters of a job told on standard input, reads them back, and says the peak of its memory, MB."""

from __future__ import annotations

import json
import re
import resource
import sys
from pathlib import Path

from tests.write.works import a_work


def main() -> None:
    asked = json.load(sys.stdin)
    files = {
        ink: {int(page): Path(file) for page, file in given.items()} if isinstance(given, dict) else Path(given)
        for ink, given in asked["files"].items()
    }
    work = a_work(files, pages=asked["pages"], **asked["job"])
    out = work.write(Path(asked["out"]))
    work.read_back(out)
    print(peak())


def peak() -> float:
    """The peak of this process's memory, MB.

    Where it can be had, the system's own note of it: what getrusage(2) tells is handed down from the process that
    started this one, whose peak may have been higher (proc(5), VmHWM).
    """
    status = Path("/proc/self/status")
    if status.exists():
        return int(re.search(r"VmHWM:\s+(\d+) kB", status.read_text())[1]) * 1024 / 1e6
    unit = 1e6 if sys.platform == "darwin" else 1e6 / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit


if __name__ == "__main__":
    main()
