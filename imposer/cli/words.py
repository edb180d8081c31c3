"""Findings and counts in the words and columns of the screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from imposer.errors import one_line
from imposer.findings import Finding


def finding_lines(findings: Iterable[Finding]) -> list[str]:
    """Return each finding as a line, with its mend on a second, indented one."""
    lines = []
    for finding in findings:
        where = finding.where()
        lines.append(one_line(f"{finding.level:<8} {where + ': ' if where else ''}{finding.message}"))
        if finding.accepted is not None:
            lines.append(f"{'':8} → accepted: {one_line(finding.accepted)}")
        elif finding.mend:
            lines.append(f"{'':8} → {one_line(finding.mend)}")
    return lines


def tally(findings: Sequence[Finding]) -> str:
    """Return how many findings there are of each level: "2 warnings, 1 note"; "no findings".

    >>> tally([])
    'no findings'
    """
    counts = [(level, sum(f.level == level for f in findings)) for level in ("error", "warning", "note")]
    return ", ".join(f"{n} {level}{'s' if n > 1 else ''}" for level, n in counts if n) or "no findings"


def columns(rows: Sequence[Sequence[str]], *, indent: int = 2) -> list[str]:
    """Return rows as aligned columns, two blanks apart; the last column is not padded."""
    if not rows:
        return []
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        (" " * indent + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))).rstrip()
        for row in rows
    ]
