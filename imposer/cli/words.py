"""Findings and counts in the words and columns of the screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from imposer.errors import one_line
from imposer.findings import Finding
from imposer.words import runs_of


def finding_lines(findings: Iterable[Finding]) -> list[str]:
    """Return each finding as a line, with its mend on a second, indented one; alike ones of several pages in one."""
    alike: dict[tuple[str | None, ...], list[Finding]] = {}
    for finding in findings:
        place = (str(finding.sheet), finding.side, finding.ink) if finding.page is not None else (finding.where(),)
        key = (finding.level, finding.rule, finding.message, finding.mend, finding.accepted, *place)
        alike.setdefault(key, []).append(finding)
    lines = []
    for same in alike.values():
        finding = same[0]
        where = _where(same)
        lines.append(one_line(f"{finding.level:<8} {where + ': ' if where else ''}{finding.message}"))
        if finding.accepted is not None:
            lines.append(f"{'':8} → accepted: {one_line(finding.accepted)}")
        elif finding.mend:
            lines.append(f"{'':8} → {one_line(finding.mend)}")
    return lines


def _where(alike: Sequence[Finding]) -> str:
    """Return where findings that say the same lie, in words."""
    pages = sorted({finding.page for finding in alike if finding.page is not None})
    first = alike[0]
    if len(pages) < 2:
        return first.where()
    return ", ".join(filter(None, (replace(first, page=None, ink=None).where(), f"pages {runs_of(pages)}", first.ink)))


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
