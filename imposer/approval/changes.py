"""What is another than it was approved, or last checked: pages in inks, settings, files. Digests in, findings out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from imposer.approval.digests import Digests
from imposer.approval.record import Approval
from imposer.approval.settings import EVERY_PART, prefix_of
from imposer.findings import Finding, Level

_AGAIN = "make the proof again and have it approved: imposer proof, then imposer approve"
_FIRST = "make the proof and have it approved: imposer proof, then imposer approve"
_THIS = "have this proof approved: imposer approve"

#: Settings that people know by other words than a record does, and those that are more than one thing.
_WORDS = {"places": "where pages lie on the sheets", "ink.names": "inks"}
_MANY = {"copies", "ink.names", "inks", "marks", "overprints", "pages"}
#: Settings that no word tells, and those that list several things: of these, what differs is told alone.
_WORDLESS = {"places"}
_LISTS = {"binding", "binding.stitch", "ink.names", "inks", "marks", "sheet.paper"}
#: Longer words do not go into the message, signs: two of these fill two lines of a screen. A working value of our own.
_SHORT = 60


@dataclass(frozen=True, slots=True)
class _Then:
    """The time that is looked back to, in words."""

    #: After "has changed", where old and new words are not told.
    since: str
    #: Before and after the old words.
    told: str
    by: str = ""


def approval_findings(approval: Approval | None, now: Digests, *, required: bool) -> tuple[Finding, ...]:
    """Return what stands between a job and its approval; errors if the shop requires one.

    A record of an earlier time may leave out settings that are recorded now; nothing is said about those.
    """
    level: Level = "error" if required else "warning"
    if approval is None:
        if not required:
            return ()
        message = "nobody has approved the proof, and the shop cuts no master without"
        return (Finding(rule="approval", level="error", message=message, mend=_FIRST),)
    if approval.digests.code == now.code:
        return ()
    who = f"by {approval.by} on {approval.date}"
    then = _Then(f"since {approval.by} approved the proof on {approval.date}", "approved with", f" {who}")
    found = _changes(approval.digests, now, then)
    return tuple(replace(each, rule="approval", level=level, mend=_AGAIN) for each in found)


def beside_new_proof(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings as they stand beside a proof that is just made: what lacks approval is mended by it."""
    return tuple(replace(each, mend=_THIS) if each.rule == "approval" else each for each in findings)


def findings_since_check(last: Digests | None, now: Digests) -> tuple[Finding, ...]:
    """Return what has changed since a job was last checked; nothing if it never was."""
    return () if last is None else tuple(_changes(last, now, _Then("since the last check", "at the last check")))


def _changes(before: Digests, now: Digests, then: _Then) -> Iterator[Finding]:
    yield from _setting_changes(before, now, then)
    touched = False
    for cell in sorted({*before.cells, *now.cells}, key=_place):
        if before.cells.get(cell) == now.cells.get(cell):
            continue
        touched = True
        page, ink = _place(cell)
        how = "is new" if cell not in before.cells else "is gone" if cell not in now.cells else "has changed"
        message = f"its art {how} {then.since}"
        yield Finding(rule="changed-since-check", level="note", message=message, page=page, ink=ink)
    for file in sorted({*before.files, *now.files}):
        if not touched and not now.has_file(file, before.files.get(file)):
            message = f"{file} has changed {then.since}, though no page of it looks different"
            yield Finding(rule="changed-since-check", level="note", message=message)


def _setting_changes(before: Digests, now: Digests, then: _Then) -> Iterator[Finding]:
    parts = _parts(before)
    if parts != _parts(now):
        old, new = (", ".join(filter(None, names)) or "none" for names in (parts, _parts(now)))
        yield _changed("parts", old, new, then, many=True)
    alike: dict[tuple[str, str, str], list[str]] = {}
    for name, old in sorted(before.settings.items()):
        after = now.settings.get(name, now.earlier.get(name))
        if after is not None and after != old:
            part = max((prefix_of(part) for part in parts if name.startswith(prefix_of(part))), key=len, default="")
            alike.setdefault((name.removeprefix(part), old, after), []).append(part)
    for (setting, old, after), those in alike.items():
        # What is the same in every part is told once.
        for part in [""] if len(those) == len(parts) else those:
            yield _told(setting, part, old, after, then)


def _told(setting: str, part: str, old: str, after: str, then: _Then) -> Finding:
    what, many = part + _WORDS.get(setting, setting), setting in _MANY
    if setting in _WORDLESS:
        return _changed(what, None, None, then, many=many)
    if setting in _LISTS:
        return _changed(what, *_differing(old, after), then, many=many)
    if setting == EVERY_PART:
        return _changed(what, f'"{old}"', f'"{after}"', then, many=many)
    return _changed(what, old, after, then, many=many)


def _changed(what: str, before: str | None, after: str | None, then: _Then, *, many: bool) -> Finding:
    """Return the finding of one setting: its old and new words where they are short, else beside the message."""
    said = f"{what} {'have' if many else 'has'} changed"
    if before is not None and after is not None and max(len(before), len(after)) <= _SHORT:
        said, before, after = f"{said}: {after}, {then.told} {before}{then.by}", None, None
    else:
        said = f"{said} {then.since}"
    return Finding(rule="changed-since-check", level="note", message=said, measured=after, limit=before)


def _differing(before: str, after: str) -> tuple[str, str]:
    """Return of two lists what each has alone; the whole of both where that is nothing.

    >>> _differing("crop on, tone on", "crop on, tone off")
    ('tone on', 'tone off')
    >>> _differing("lamp black, rose", "lamp black")
    ('lamp black, rose', 'lamp black')
    """
    old, new = before.split(", "), after.split(", ")
    gone, come = [each for each in old if each not in new], [each for each in new if each not in old]
    return (", ".join(gone), ", ".join(come)) if gone and come else (before, after)


def _parts(digests: Digests) -> tuple[str, ...]:
    """Return the names of the parts that are told of; "" for a job that is one."""
    ending = f": {EVERY_PART}"
    found = [name.removesuffix(ending) for name in digests.settings if name.endswith(ending)]
    return tuple(sorted([*found, *([""] if EVERY_PART in digests.settings else [])]))


def _place(cell: str) -> tuple[int, str]:
    page, _, ink = cell.partition("/")
    return (int(page) if page.isdecimal() else 0), ink
