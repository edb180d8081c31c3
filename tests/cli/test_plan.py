"""`imposer plan` on the screen."""

from __future__ import annotations

import subprocess
import sys

from tests.folders import job_folder


def test_a_table_by_an_order_that_was_guessed_says_so(tmp_path):
    folder = job_folder(tmp_path / "job", pages=8)
    for page in range(1, 9):
        (folder / "black" / f"{page}.png").rename(folder / "black" / f"{'abcdefgh'[page - 1]}.png")
    said = subprocess.run(
        [sys.executable, "-m", "imposer", "plan", str(folder), "--pages"], capture_output=True, text=True, check=True
    ).stdout
    table, told = said.split("\n\n")[0], said.split("\n\n")[-1]
    assert len(table.splitlines()) == 9
    assert "page numbers are not clear from the names" in told
