"""`[[part]]` of a job: which pages a part carries, and what cannot be. Values in and out; `job_file` reads the rest."""

from __future__ import annotations

import re
from collections.abc import Sequence

from imposer.job.model import JobInk, Part, PartPages
from imposer.job.toml_reader import TomlTable
from imposer.job.values import BadValue, shown

_MEND = 'give "outer 4", "rest", "extra", or numbers such as "1-16, 21"'
_OUTER = re.compile(r"outer\s+(\d{1,3})")
_RUN = re.compile(r"(\d{1,4})(?:\s*-\s*(\d{1,4}))?")
#: No booklet that is printed this way has more pages; common practice, no source.
_MOST = 5000


def part_pages(value: object) -> PartPages:
    """Read the pages of a part.

    >>> part_pages("outer 4"), part_pages("1-3, 8").listed
    (PartPages(kind='outer', count=4, listed=()), (1, 2, 3, 8))

    Raises:
        BadValue: it is none of the forms.
    """
    if isinstance(value, list):
        return PartPages("listed", listed=_listed([str(item) for item in value]))
    if not isinstance(value, str):
        raise BadValue(f"{shown(value)} names no pages", _MEND)
    words = value.strip().lower()
    if words == "rest":
        return PartPages("rest")
    if words == "extra":
        return PartPages("extra")
    outer = _OUTER.fullmatch(words)
    if outer:
        count = int(outer[1])
        if count < 2 or count % 2:
            raise BadValue(f"{shown(value)}: as many lie in front as behind", 'give an even number, such as "outer 4"')
        return PartPages("outer", count=count)
    return PartPages("listed", listed=_listed(words.split(",")))


def _listed(runs: Sequence[str]) -> tuple[int, ...]:
    pages: list[int] = []
    for run in runs:
        found = _RUN.fullmatch(run.strip())
        if not found:
            raise BadValue(f"{shown(run.strip())} names no pages", _MEND)
        first, last = int(found[1]), int(found[2] or found[1])
        if not 1 <= first <= last <= _MOST:
            raise BadValue(f"{shown(run.strip())} is no run of pages from 1 to {_MOST}", _MEND)
        pages += range(first, last + 1)
    if len(set(pages)) < len(pages):
        raise BadValue("a page is named twice", "name each once")
    return tuple(sorted(pages))


def check_part(table: TomlTable, part: Part, before: Sequence[Part], shared: Sequence[JobInk]) -> None:
    """Keep the faults of one part against those before it and against the art that the job gives to all."""
    if part.name and part.name in {each.name for each in before}:
        table.fault("name", f"{shown(part.name)} is the name of an earlier part", "give it a name of its own")
    for kind in ("outer", "rest"):
        if part.pages.kind == kind and any(each.pages.kind == kind for each in before):
            table.fault("pages", f"an earlier part has the {kind} pages already", "list the pages of one of them")
    if part.own_art:
        bare = [ink.name for ink in part.job.inks if not ink.has_art]
        if bare:
            table.fault("ink", f"{', '.join(bare)} names no pages, but another ink of this part does", "name them all")
        return
    if part.pages.kind == "extra":
        table.fault("ink", "missing", "an extra has art of its own: give [[part.ink]] with its name and pages")
    elif table.has("page"):
        table.fault("page", "a page of another kind needs art of its own", "give [[part.ink]] with its name and pages")
    known = {ink.name for ink in shared}
    for ink in part.job.inks:
        if ink.name and ink.name not in known:
            table.fault("ink", f"{shown(ink.name)} names no pages, and the job has none for it", "name its pages")
