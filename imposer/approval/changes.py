"""What is another than it was approved, or last checked: pages in inks, settings, files. Digests in, findings out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from imposer.approval.digests import Digests
from imposer.approval.record import Approval
from imposer.findings import Finding, Level

_AGAIN = "make the proof again and have it approved: imposer proof, then imposer approve"


def approval_findings(approval: Approval | None, now: Digests, *, required: bool) -> tuple[Finding, ...]:
    """Return what stands between a job and its approval; errors if the shop requires one."""
    level: Level = "error" if required else "warning"
    if approval is None:
        if not required:
            return ()
        message = "nobody has approved the proof, and the shop cuts no master without"
        return (Finding(rule="approval", level="error", message=message, mend=_AGAIN),)
    if approval.digests.code == now.code:
        return ()
    said = f"since {approval.by} approved the proof on {approval.date}"
    found = _changes(approval.digests, now, said)
    return tuple(replace(each, rule="approval", level=level, mend=_AGAIN) for each in found)


def findings_since_check(last: Digests | None, now: Digests) -> tuple[Finding, ...]:
    """Return what has changed since a job was last checked; nothing if it never was."""
    return () if last is None else tuple(_changes(last, now, "since the last check"))


def _changes(then: Digests, now: Digests, said: str) -> Iterator[Finding]:
    for name in sorted({*then.settings, *now.settings}):
        before, after = then.settings.get(name), now.settings.get(name)
        if before != after:
            what = "where pages lie on the sheets" if name.endswith("places") else name
            yield Finding(
                rule="changed-since-check",
                level="note",
                message=f"{what} has changed {said}",
                measured=after if what == name else None,
                limit=before if what == name else None,
            )
    changed = sorted({*then.cells, *now.cells}, key=_place)
    touched = False
    for cell in changed:
        if then.cells.get(cell) == now.cells.get(cell):
            continue
        touched = True
        page, ink = _place(cell)
        how = "is new" if cell not in then.cells else "is gone" if cell not in now.cells else "has changed"
        message = f"its art {how} {said}"
        yield Finding(rule="changed-since-check", level="note", message=message, page=page, ink=ink)
    for file in sorted({*then.files, *now.files}):
        if then.files.get(file) != now.files.get(file) and not touched:
            message = f"{file} has changed {said}, though no page of it looks different"
            yield Finding(rule="changed-since-check", level="note", message=message)


def _place(cell: str) -> tuple[int, str]:
    page, _, ink = cell.partition("/")
    return (int(page) if page.isdecimal() else 0), ink
