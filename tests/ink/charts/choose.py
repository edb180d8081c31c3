"""Make the tables of this folder again: `python -m tests.ink.charts.choose FOLDER-OF-TI3-FILES`."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.ink.printed_charts import FOLDER, ti3_rows

SETS = {"fogra29": "FOGRA29L.ti3", "fogra30": "FOGRA30L.ti3", "tr002": "TR002.ti3"}
#: One patch of so many is kept.
STEP = 5


def choose(rows: list[list[str]]) -> list[list[str]]:
    """Keep paper, single inks and full tones; of the rest one in five. Returns tones and XYZ as they were written."""
    patches = sorted((row[1:8] for row in rows), key=lambda row: (ink_count(row), [float(tone) for tone in row[:4]]))
    always = [row for row in patches if ink_count(row) < 2 or {float(tone) for tone in row[:4]} <= {0, 100}]
    others = [row for row in patches if row not in always]
    return always + others[::STEP]


def ink_count(row: list[str]) -> int:
    return sum(float(tone) > 0 for tone in row[:4])


def main(source: Path) -> None:
    for name, file in SETS.items():
        lines = ["c,m,y,k,X,Y,Z", *(",".join(row) for row in choose(ti3_rows(source / file)))]
        (FOLDER / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="ascii")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
