"""The table of page × ink: from the patterns of a job to a placed piece of art in every cell.

A job goes in, the table comes out: files matched, surveyed by the reader of their kind, numbered, placed on the page.
Faults of all files are gathered and raised together, so that a person mends an export once and not five times.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.job.model import Job, JobInk, Take
from imposer.job.page_sizes import OwnSize, own_sizes
from imposer.limits import Limits, or_raise
from imposer.pages.lay import split_pairs, split_spreads, split_stated
from imposer.pages.match import Matches, match_files
from imposer.pages.model import ArtSource, PageArt, PageTable
from imposer.pages.named_plates import check_plate, plates_named_twice
from imposer.pages.names import Numbering, from_zero, number_names, stated_pages, stated_range, twin_names
from imposer.pages.place import MisfitError, place_art, place_cut_art
from imposer.pages.readers import reader_for
from imposer.pages.resolution import MM_PER_INCH
from imposer.units import show
from imposer.words import number_of

#: A booklet has a multiple of four pages, for its folded pieces have; of leaflets, whose leaves may be any, of two.
_BOOKLETS, _LEAST, _LEAST_OF_LEAFLETS = ("saddle", "gathered"), 4, 2
#: One page of a file, as tables of pages show it.
_PAGE_OF_FILE = re.compile(r"(.+), page (\d{1,4})")


@dataclass(frozen=True, slots=True)
class _Numbered:
    """The pages of one ink with their numbers, before zero-based counts are mended."""

    ink: str
    #: The dotted key of the ink's patterns.
    key: str
    sources: tuple[ArtSource, ...]
    numbering: Numbering


def find_pages(job: Job, place: str = "") -> PageTable:
    """Find, number and place the art of a job.

    Args:
        job: whose art.
        place: what comes before `ink` in the dotted keys of its file, such as "part[1].".

    Raises:
        ImposerError: patterns match nothing, files cannot be used, are of another size, or claim the same page. All
            faults of all inks are in it.
    """
    faults: list[Fault] = []
    numbered: list[_Numbered] = []
    for count, ink in enumerate(job.inks, start=1):
        key = f"{place}ink[{count}]"
        try:
            numbered.append(_find_placed(job, ink, key) if ink.placed else _find_matched(job, ink, key))
        except ImposerError as error:
            faults.extend(error.faults)
    faults.extend(plates_named_twice(job.file, {found.key: found.sources for found in numbered}))
    mended, findings = _counted_from_one(numbered)
    mended = _counted_from_the_end(mended, job, faults)
    cells = _cells(mended, job, faults, findings)
    if faults:
        # A file that several inks take plates of has the same fault for each.
        raise ImposerError(dict.fromkeys(faults))
    pages = max((page for page, _ in cells), default=0)
    return PageTable(
        inks=job.ink_names,
        pages=pages,
        cells=cells,
        findings=(*findings, *missing_pages(range(1, pages), {page for page, _ in cells})),
    )


def _find_matched(job: Job, ink: JobInk, key: str) -> _Numbered:
    """Find, choose, split and number the pages of an ink that names patterns.

    Raises:
        ImposerError: all that is wrong with them.
    """
    place, key = key, f"{key}.pages"
    matches = match_files(job.folder, ink.pages, job.file, key, job.shop.limits)
    faults = list(matches.faults)
    surveyed = _taken(_survey(matches, job.shop.limits, ink.plate, faults), ink.take, job, key, faults)
    numbering = _number(surveyed, matches, job, key, faults) if not faults else None
    if faults or numbering is None:
        raise ImposerError(faults)
    sources = tuple(source for pages in surveyed for source in pages)
    check_plate(sources, ink.plate, job.file, f"{place}.plate")
    if ink.lay == "pages":
        return _Numbered(ink.name, key, sources, numbering)
    stated = _stated_spreads(surveyed, matches) if ink.lay == "spreads" else None
    if stated:
        halves, numbers = split_stated(sources, stated, job.page, job.binding.reading)
        return _Numbered(ink.name, key, halves, Numbering(numbers, "name"))
    in_order = [source for _, source in sorted(zip(numbering.numbers, sources, strict=True), key=lambda pair: pair[0])]
    split = split_spreads if ink.lay == "spreads" else split_pairs
    halves, numbers = split(in_order, job.page, job.binding.reading)
    return _Numbered(ink.name, key, halves, Numbering(numbers, "order", numbering.findings))


def _stated_spreads(surveyed: Sequence[tuple[ArtSource, ...]], matches: Matches) -> tuple[tuple[int, ...], ...] | None:
    """Return the pages that every file states in its name, such as `02-03` and `04`; None if they do not all."""
    found = tuple(stated_pages(matched.shown) for matched in matches.files)
    told = all(found) and any(len(pages) == 2 for pages in found)
    return found if told and all(len(pages) == 1 for pages in surveyed) else None


def _taken(
    surveyed: list[tuple[ArtSource, ...]], take: Take, job: Job, key: str, faults: list[Fault]
) -> list[tuple[ArtSource, ...]]:
    """Return the pages that an ink takes of its file."""
    if take == Take() or faults:
        return surveyed
    if len(surveyed) != 1:
        problem = f"takes some pages of a file, but names {len(surveyed)} files"
        faults.append(Fault(file=job.file, place=key, problem=problem, mend="name one file, or leave take out"))
        return surveyed
    (pages,) = surveyed
    found = tuple(pages[index] for index in take.of(len(pages)))
    if not found:
        problem = f"takes none of the {len(pages)} pages of {pages[0].shown}"
        faults.append(Fault(file=job.file, place=key, problem=problem, mend="mend take"))
    return [found]


def _find_placed(job: Job, ink: JobInk, key: str) -> _Numbered:
    """Find the pages of an ink that names its files page by page.

    Raises:
        ImposerError: all that is wrong with them.
    """
    faults: list[Fault] = []
    sources: list[ArtSource] = []
    for page, named in ink.placed:
        place = f"{key}.pages.{page}"
        try:
            sources.append(_one_page(job, named, ink.plate, place))
        except ImposerError as error:
            faults.extend(error.faults)
    if faults:
        raise ImposerError(faults)
    check_plate(sources, ink.plate, job.file, f"{key}.plate")
    return _Numbered(ink.name, f"{key}.pages", tuple(sources), Numbering(tuple(page for page, _ in ink.placed), "name"))


def _one_page(job: Job, named: str, plate: str | None, place: str) -> ArtSource:
    """Return the page of a file that a job names, such as "zine.pdf, page 3"."""
    parts = _PAGE_OF_FILE.fullmatch(named)
    file, page = (parts[1], int(parts[2])) if parts and not (job.folder / named).is_file() else (named, 0)
    matches = match_files(job.folder, (file,), job.file, place, job.shop.limits)
    faults = list(matches.faults)
    surveyed = _survey(matches, job.shop.limits, plate, faults)
    if faults:
        raise ImposerError(faults)
    pages = [source for found in surveyed for source in found]
    if not page and len(pages) > 1:
        problem, mend = f"{file} has {len(pages)} pages", f'say which: "{file}, page 1"'
    elif page > len(pages):
        problem, mend = f"{file} has {number_of(len(pages), 'page')}, but page {page} is named", "name one that it has"
    else:
        return pages[max(page, 1) - 1]
    raise ImposerError(Fault(file=job.file, place=place, problem=problem, mend=mend))


def _survey(matches: Matches, limits: Limits, plate: str | None, faults: list[Fault]) -> list[tuple[ArtSource, ...]]:
    """Survey the files of one ink; those that cannot be used go to `faults`."""
    found = []
    for matched in matches.files:
        try:
            found.append(reader_for(matched.file, matched.shown).survey(matched.file, matched.shown, limits, plate))
        except ImposerError as error:
            faults.extend(error.faults)
    return found


def _number(
    surveyed: Sequence[tuple[ArtSource, ...]], matches: Matches, job: Job, key: str, faults: list[Fault]
) -> Numbering | None:
    """Number the pages of one ink, file by file."""
    names = [matched.shown for matched in matches.files]
    # Where a person lists the files, words for covers are in their place already.
    by_name = number_names(names, covers=not matches.listed and all(len(pages) == 1 for pages in surveyed))
    if by_name.by == "order" and not matches.listed and (twins := twin_names(names)):
        problem = f"{twins[0]} and {twins[1]} have one name but for case or ending: are they one page, or two?"
        mend = "keep one, or give each a page number of its own"
        faults.append(Fault(file=job.file, place=key, problem=problem, mend=mend))
        return None
    if matches.listed and by_name.by == "order":
        # The person gave the order: nothing to tell.
        by_name = replace(by_name, findings=())
    if all(len(pages) == 1 for pages in surveyed):
        return by_name
    if len(surveyed) == 1:
        return Numbering(tuple(range(1, len(surveyed[0]) + 1)), "order")
    ranges = _ranges(names, surveyed)
    if ranges:
        return Numbering(tuple(page for first, last in ranges for page in range(first, last + 1)), "name")
    counts = [len(pages) for pages in surveyed]
    if by_name.by == "name" and len(set(by_name.numbers)) == len(names):
        return _joined(names, counts, sorted(range(len(names)), key=by_name.numbers.__getitem__))
    if matches.listed:
        return _joined(names, counts, list(range(len(names))))
    listed = ", ".join(f"{name} ({count} pages)" for name, count in zip(names[:3], counts, strict=False))
    problem = f"cannot tell in which order the pages of {listed}{' …' if len(names) > 3 else ''} follow"
    mend = "list the files in order, such as " + "[" + ", ".join(f'"{name}"' for name in names[:2]) + "]"
    faults.append(Fault(file=job.file, place=key, problem=problem, mend=mend))
    return None


def _ranges(names: Sequence[str], surveyed: Sequence[tuple[ArtSource, ...]]) -> list[tuple[int, int]] | None:
    """Return the first and last page of each file, if every file states them and holds as many."""
    found = []
    for name, pages in zip(names, surveyed, strict=True):
        stated = stated_range(name)
        if stated is None or stated[1] - stated[0] + 1 != len(pages):
            return None
        found.append(stated)
    return found


def _joined(names: Sequence[str], counts: Sequence[int], order: Sequence[int]) -> Numbering:
    """Number the pages of files that follow one another; `order` gives their places in `names`."""
    starts, start = [0] * len(names), 1
    for place in order:
        starts[place], start = start, start + counts[place]
    told = ", ".join(f"{names[place]} from page {starts[place]}" for place in order[:4])
    note = Finding(
        rule="files-joined",
        level="note",
        message=f"files of several pages follow one another: {told}{' …' if len(order) > 4 else ''}",
    )
    numbers = tuple(starts[file] + page for file, count in enumerate(counts) for page in range(count))
    return Numbering(numbers, "order", (note,))


def _counted_from_one(numbered: Sequence[_Numbered]) -> tuple[list[_Numbered], list[Finding]]:
    """Move counts that begin at zero by one: in all inks whose names are numbered, for they are numbered alike."""
    findings = [replace(finding, ink=found.ink) for found in numbered for finding in found.numbering.findings]
    by_name = [found for found in numbered if found.numbering.by == "name"]
    zero = [found.ink for found in by_name if from_zero(found.numbering.numbers)]
    if not zero:
        return list(numbered), findings
    findings.append(
        Finding(
            rule="counted-from-zero",
            level="note",
            message="the files' numbers begin at 0, so 0 is page 1, 1 is page 2, and so on, in every ink",
            mend="look at the order in the proof",
            ink=zero[0] if len(by_name) == 1 else None,
        )
    )
    mended = [
        _renumbered(found, [n + 1 if n >= 0 else n for n in found.numbering.numbers])
        if found.numbering.by == "name"
        else found
        for found in numbered
    ]
    return mended, findings


def _renumbered(found: _Numbered, numbers: Iterable[int]) -> _Numbered:
    return replace(found, numbering=replace(found.numbering, numbers=tuple(numbers)))


def _counted_from_the_end(numbered: Sequence[_Numbered], job: Job, faults: list[Fault]) -> list[_Numbered]:
    """Turn pages counted from the back to numbers; where the last page is not clear, the question goes to `faults`."""
    from_back = [found for found in numbered if min(found.numbering.numbers, default=0) < 0]
    if not from_back:
        return list(numbered)
    least = _LEAST if job.binding.style in _BOOKLETS else _LEAST_OF_LEAFLETS
    last = max(_last_page(found, least) for found in numbered)
    highest = max(max(found.numbering.numbers) for found in numbered)
    if last % least and highest <= 2:
        # Nothing but a cover.
        last = least
    if last % least:
        first = from_back[0]
        source = next(s for s, n in zip(first.sources, first.numbering.numbers, strict=True) if n < 0)
        problem = f"{source.shown} is counted from the back by its name, but the other pages end at {highest}"
        mend = f"give every file its page number: the last page is a multiple of {least}"
        faults.append(Fault(file=job.file, place=first.key, problem=problem, mend=mend))
    return [_renumbered(found, [n if n >= 0 else last + 1 + n for n in found.numbering.numbers]) for found in numbered]


def _last_page(found: _Numbered, least: int) -> int:
    """Return the last page of a booklet with the pages of one ink; those counted from the back come last."""
    numbers = found.numbering.numbers
    highest, ends = max(max(numbers, default=0), 0), -min(min(numbers, default=0), 0)
    if ends == 0 or (highest and highest % least == 0):
        return highest
    # The back without its inside may leave that blank.
    return next((last for last in (highest + ends, highest + 2) if last % least == 0), highest + ends)


def _cells(
    numbered: Sequence[_Numbered], job: Job, faults: list[Fault], findings: list[Finding]
) -> dict[tuple[int, str], PageArt]:
    """Place every page; what does not fit or claims a taken cell goes to `faults`."""
    cells: dict[tuple[int, str], PageArt] = {}
    own = _own_sizes(numbered, job, faults)
    for found in numbered:
        claims: defaultdict[int, list[ArtSource]] = defaultdict(list)
        for source, page in zip(found.sources, found.numbering.numbers, strict=True):
            claims[page].append(source)
        for page, sources in sorted(claims.items()):
            if len(sources) > 1:
                faults.append(_clash(page, sources, job, found.key))
            art = _place(sources[0], page, found.ink, own.get(page, OwnSize(job.page)), faults, findings)
            if art:
                cells[page, found.ink] = art
        if max(claims, default=0) > job.shop.limits.pages:
            problem = f"has {max(claims)} pages, more than the {job.shop.limits.pages} that are read"
            faults.append(
                Fault(file=job.file, place=found.key, problem=problem, mend=or_raise("pages", "split the job"))
            )
    return dict(sorted(cells.items(), key=lambda cell: (cell[0][0], job.ink_names.index(cell[0][1]))))


def _own_sizes(numbered: Sequence[_Numbered], job: Job, faults: list[Fault]) -> Mapping[int, OwnSize]:
    """Return the pages that are not of the job's trim; pages that the job's form has no room for are a fault."""
    try:
        return own_sizes(job, max((page for found in numbered for page in found.numbering.numbers), default=0))
    except ImposerError as error:
        faults.extend(error.faults)
        return {}


def _clash(page: int, sources: Sequence[ArtSource], job: Job, key: str) -> Fault:
    named = " and ".join(source.place for source in sources[:2])
    more = f" and {len(sources) - 2} more" if len(sources) > 2 else ""
    problem = f"page {page} has {len(sources)} files, {named}{more}"
    return Fault(file=job.file, place=key, problem=problem, mend="keep one, or give each a page number of its own")


def _place(
    source: ArtSource, page: int, ink: str, own: OwnSize, faults: list[Fault], findings: list[Finding]
) -> PageArt | None:
    """Place one page and gather what is worth telling about it."""
    try:
        try:
            placed = place_art(source, own.spec)
        except MisfitError:
            if not own.cut_at:
                raise
            placed = place_cut_art(source, own.full or own.spec, own.spec, own.cut_at)
            findings.append(_cut(source, page, ink, own))
    except MisfitError as error:
        place = f"page {source.index + 1}" if source.of > 1 else ""
        faults.append(Fault(file=source.shown, place=place, problem=str(error), mend=error.mend))
        return None
    for finding in source.findings:
        told = replace(finding, page=page, ink=ink)
        if finding.rule == "resolution-missing" and source.pixels:
            told = replace(told, measured=f"{source.pixels[0] / placed.size.width * MM_PER_INCH:.0f} ppi")
        findings.append(told)
    if abs(placed.scale - 1) > 1e-9:
        message = f"{source.place} is printed at {placed.scale * 100:.1f} % of its size, to fill the trim"
        findings.append(Finding(rule="scaled", level="note", message=message, page=page, ink=ink))
    trim = own.spec.trim if own.full else None
    return PageArt(page=page, ink=ink, source=source, size=placed.size, to_page=placed.to_page, trim=trim)


def _cut(source: ArtSource, page: int, ink: str, own: OwnSize) -> Finding:
    full, width = (own.full or own.spec).trim.width, own.spec.trim.width
    return Finding(
        rule="panel-cut",
        level="warning",
        message=(
            f"{source.place} is as wide as a full panel, {show(full)} mm, but its panel is tucked in and "
            f"{show(width)} mm wide: {show(full - width)} mm at its {own.cut_at} are cut off"
        ),
        mend=f"keep that strip free, or export the page {show(width)} mm wide",
        page=page,
        ink=ink,
        measured=f"{show(full)} mm",
        limit=f"{show(width)} mm",
    )


def missing_pages(wanted: Iterable[int], present: Container[int]) -> list[Finding]:
    """Return a warning for each page that no ink has."""
    return [
        Finding(
            rule="missing-page",
            level="warning",
            message=f"no ink has a page {page}; it stays blank",
            mend="add the page, or leave it if it is meant to be blank",
            page=page,
        )
        for page in wanted
        if page not in present
    ]
