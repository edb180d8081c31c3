"""The art of a job's parts: which reader's page each piece of art is, part by part.

A job goes in, a table for each of its parts comes out, all numbered as the reader counts. A part's art comes from the
job's own table, or from files of its own, which are numbered as the reader counts or from 1 within the part: by the
reader if all their numbers are pages of the part.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.job.model import Job, Part
from imposer.pages.find import find_pages, missing_pages
from imposer.pages.model import Measured, PageArt, PageTable
from imposer.words import number_of, runs_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PartArt:
    """One part with its art."""

    #: The part as a job of its own.
    job: Job
    #: "" for a job that is one.
    name: str = ""
    #: The reader's pages it carries, in order; for an extra, pages from 1 that no reader counts.
    pages: tuple[int, ...]
    table: PageTable
    #: Art for its pages in inks of the job that it is not printed in.
    unprinted: PageTable
    extra: bool = False
    #: Whether its pages lie around those of other parts, as a cover's do.
    outer: bool = False


def find_parts(job: Job) -> tuple[PartArt, ...]:
    """Find the art of every part of a job; one part, the job itself, if it names none.

    Raises:
        ImposerError: files cannot be used, or pages belong to no part or to two.
    """
    if not job.parts:
        table = find_pages(job)
        nothing = PageTable(inks=(), pages=0, cells={})
        return (PartArt(job=job, pages=tuple(range(1, table.pages + 1)), table=table, unprinted=nothing),)
    tables = _tables(job)
    pages = _pages_of_parts(job, tables)
    return tuple(_part_art(number, part, pages[number], tables, job) for number, part in enumerate(job.parts, start=1))


def parts_without_art(job: Job, pages: int) -> tuple[PartArt, ...]:
    """Share `pages` pages out over the parts of a job before there is art: every table is empty.

    A thing laid in or around, whose pages the reader does not count, is taken to have a front and a back.

    Raises:
        ImposerError: pages belong to no part or to two, or a part has none.
    """
    nothing = PageTable(inks=(), pages=0, cells={})
    if not job.parts:
        empty = PageTable(inks=job.ink_names, pages=pages, cells={})
        return (PartArt(job=job, pages=tuple(range(1, pages + 1)), table=empty, unprinted=nothing),)
    tables = {0: replace(nothing, pages=pages)}
    extras = [n for n, part in enumerate(job.parts, start=1) if part.pages.kind == "extra"]
    tables |= {number: replace(nothing, pages=2) for number in extras}
    shared = _pages_of_parts(job, tables)
    return tuple(
        PartArt(
            job=part.job,
            name=part.name,
            pages=shared[number],
            table=PageTable(inks=part.job.ink_names, pages=max(shared[number]), cells={}),
            unprinted=nothing,
            extra=part.pages.kind == "extra",
            outer=part.pages.kind == "outer",
        )
        for number, part in enumerate(job.parts, start=1)
    )


#: Tables by the part they belong to, counted from 1; 0 is the job's own.
_Tables = Mapping[int, PageTable]


def _tables(job: Job) -> _Tables:
    """Find the art of the job and of every part that names its own; faults of all come together."""
    wanted = {0: (job, "")} if job.inks else {}
    wanted |= {n: (part.job, f"part[{n}].") for n, part in enumerate(job.parts, start=1) if part.own_art}
    tables: dict[int, PageTable] = {}
    faults: list[Fault] = []
    for number, (each, place) in wanted.items():
        try:
            tables[number] = find_pages(each, place)
        except ImposerError as error:
            faults += error.faults
    if faults:
        raise ImposerError(faults)
    sharing = [n for n, part in enumerate(job.parts, start=1) if not part.own_art]
    if len(sharing) == 1 and 0 in tables and job.parts[sharing[0] - 1].pages.kind == "rest":
        # What the job gives to all is this part's alone.
        tables[sharing[0]] = tables.pop(0)
    return tables


def _pages_of_parts(job: Job, tables: _Tables) -> dict[int, tuple[int, ...]]:
    """Return the reader's pages of every part, by its number from 1.

    Raises:
        ImposerError: pages belong to no part or to two, or a part has none.
    """
    pages: dict[int, tuple[int, ...]] = {}
    last = _last_page(job, tables)
    for number, part in enumerate(job.parts, start=1):
        half = part.pages.count // 2
        match part.pages.kind:
            case "outer":
                pages[number] = (*range(1, half + 1), *range(last - half + 1, last + 1))
            case "listed":
                pages[number] = part.pages.listed
            case "extra":
                pages[number] = tuple(range(1, tables[number].pages + 1))
            case "rest":
                pages[number] = ()
    counted = {number: found for number, found in pages.items() if job.parts[number - 1].pages.kind != "extra"}
    taken = [page for found in counted.values() for page in found]
    rest = tuple(page for page in range(1, last + 1) if page not in set(taken))
    at_rest = [number for number, part in enumerate(job.parts, start=1) if part.pages.kind == "rest"]
    faults = _faults(job, counted, last, rest if not at_rest else ())
    for number in at_rest:
        pages[number] = rest
    for number, found in pages.items():
        if not found:
            faults.append(_fault(job, number, "no page is left for it", "leave the part out, or name its pages"))
    if faults:
        raise ImposerError(faults)
    return pages


def _last_page(job: Job, tables: _Tables) -> int:
    """Return the number of the reader's last page."""
    outer = sum(part.pages.count for part in job.parts if part.pages.kind == "outer")
    listed = [page for part in job.parts for page in part.pages.listed]
    shared = tables[0].pages if 0 in tables else 0
    for number, part in enumerate(job.parts, start=1):
        if part.pages.kind == "rest" and number in tables:
            found = _numbers(tables[number])
            by_reader = bool(found) and outer > 0 and found[0] > outer // 2
            inside = (found[-1] if found else 0) - (outer // 2 if by_reader else 0)
            return max(shared, outer + inside + (0 if by_reader else len(listed)))
    return max(shared, max(listed, default=0) + (outer // 2 if listed else outer) if outer else max(listed, default=0))


def _faults(job: Job, pages: Mapping[int, Sequence[int]], last: int, unclaimed: Sequence[int]) -> list[Fault]:
    """Return what is wrong with how pages are shared out."""
    faults = []
    owner: dict[int, int] = {}
    for number, found in pages.items():
        twice = [page for page in found if page in owner]
        owner |= dict.fromkeys(found, number)
        if twice:
            other = job.parts[owner[twice[0]] - 1].name
            problem = f"pages {runs_of(twice)} belong to another part too" + (f", {other}" if other else "")
            faults.append(_fault(job, number, problem, "give every page to one part"))
        beyond = [page for page in found if page > last]
        if beyond:
            faults.append(_fault(job, number, f"pages {runs_of(beyond)} lie beyond the last, {last}", "mend the list"))
    if unclaimed:
        problem = f"pages {runs_of(unclaimed)} belong to no part"
        faults.append(Fault(file=job.file, place="part", problem=problem, mend='give one part pages = "rest"'))
    return faults


def _part_art(number: int, part: Part, pages: tuple[int, ...], tables: _Tables, job: Job) -> PartArt:
    """Take a part's art out of the tables, numbered as the reader counts."""
    own = tables.get(number)
    if own is not None:
        table = _numbered_by_reader(own, pages, number, part, job)
    else:
        table = _taken_from(tables[0], pages, part, first=number == _first_sharing(job))
    unprinted = _left_over(own or tables[0], pages, part)
    return PartArt(
        job=part.job,
        name=part.name,
        pages=pages,
        table=table,
        unprinted=unprinted,
        extra=part.pages.kind == "extra",
        outer=part.pages.kind == "outer",
    )


def _first_sharing(job: Job) -> int:
    return next(number for number, part in enumerate(job.parts, start=1) if not part.own_art)


def _numbered_by_reader(own: PageTable, pages: tuple[int, ...], number: int, part: Part, job: Job) -> PageTable:
    found = _numbers(own)
    if set(found) <= set(pages):
        to_reader = {page: page for page in pages}
    elif found[-1] <= len(pages):
        to_reader = dict(enumerate(pages, start=1))
    else:
        problem = (
            f"its files are pages {runs_of(found)}, but {part.name} has {number_of(len(pages), 'page')}, "
            f"{runs_of(pages)} of the reader's"
        )
        raise ImposerError(_fault(job, number, problem, f"number them as the reader counts, or 1 to {len(pages)}"))
    moved = moved_to(own, to_reader)
    return _table(part.job.ink_names, pages, moved.cells, moved.findings)


def moved_to(table: PageTable, numbers: Mapping[int, int]) -> PageTable:
    """Return a table whose pages have other numbers."""
    return replace(
        table,
        pages=max((numbers[page] for page, _ in table.cells), default=0),
        cells={(numbers[page], ink): replace(art, page=numbers[page]) for (page, ink), art in table.cells.items()},
        findings=tuple(
            replace(finding, page=numbers.get(finding.page, finding.page) if finding.page else None)
            for finding in table.findings
        ),
    )


def _taken_from(shared: PageTable, pages: tuple[int, ...], part: Part, *, first: bool) -> PageTable:
    inks = part.job.ink_names
    mine = set(pages)
    cells = {(page, ink): art for (page, ink), art in shared.cells.items() if page in mine and ink in inks}
    told = tuple(finding for finding in shared.findings if finding.page in mine or (first and finding.page is None))
    return _table(inks, pages, cells, told)


def _left_over(table: PageTable, pages: tuple[int, ...], part: Part) -> PageTable:
    """Return the cells of a part's pages in inks that it is not printed in."""
    mine, inks = set(pages), part.job.ink_names
    cells = {(page, ink): art for (page, ink), art in table.cells.items() if page in mine and ink not in inks}
    return PageTable(inks=tuple(ink for ink in table.inks if ink not in inks), pages=table.pages, cells=cells)


def unprinted_art(part: PartArt, measured: Mapping[tuple[int, str], Measured]) -> tuple[Finding, ...]:
    """Return a warning for each ink that has art on pages of a part which is not printed in it.

    Args:
        part: the part.
        measured: what was measured on `part.unprinted`.
    """
    found: dict[str, list[int]] = {}
    for (page, ink), what in measured.items():
        if what.prints:
            found.setdefault(ink, []).append(page)
    return tuple(
        Finding(
            rule="unprinted-art",
            level="warning",
            message=f"there is art in {ink} for pages {runs_of(pages)}, but {part.name} is not printed in it",
            mend=f"give {part.name} the ink, or leave its pages blank",
            page=pages[0],
            ink=ink,
        )
        for ink, pages in found.items()
    )


def _table(
    inks: tuple[str, ...], pages: tuple[int, ...], cells: Mapping[tuple[int, str], PageArt], told: tuple[Finding, ...]
) -> PageTable:
    present = {page for page, _ in cells}
    kept = tuple(finding for finding in told if finding.rule != "missing-page")
    return PageTable(inks=inks, pages=max(pages), cells=cells, findings=(*kept, *missing_pages(pages[:-1], present)))


def _numbers(table: PageTable) -> list[int]:
    return sorted({page for page, _ in table.cells})


def _fault(job: Job, number: int, problem: str, mend: str) -> Fault:
    return Fault(file=job.file, place=f"part[{number}].pages", problem=problem, mend=mend)
