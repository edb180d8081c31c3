"""Two thousand mutated files: each is read or refused in plain lines; none crashes, hangs or swells."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

SPAN = 125
#: Neither the reader nor its rendering worker may grow beyond this on files of a few kilobytes, MB.
MEMORY = 1024

ROOT = Path(__file__).parents[2]


def run_span(first, count):
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz.run", str(first), str(count)],
        cwd=ROOT, capture_output=True, text=True, timeout=1200,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize("first", range(0, 2000, SPAN))
def test_mutated_files_are_read_or_refused(first):
    figures = run_span(first, SPAN)
    assert sum(figures["outcomes"].values()) == SPAN
    assert figures["outcomes"].get("refused", 0) > 0
    assert figures["outcomes"].get("read", 0) > 0
    assert figures["reader_mb"] < MEMORY
    assert figures["worker_mb"] < MEMORY
