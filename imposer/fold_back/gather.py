"""One page for every master of one set: what is missing, doubled, of another booklet or out of order is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from imposer.errors import Fault
from imposer.fold_back.record import MasterName, MasterRecord, PartRecord
from imposer.fold_back.survey import MasterPage
from imposer.tones.sketch import Sketch
from imposer.units import show
from imposer.words import number_of

_REBUILD = "build again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """The pages of one set of masters, by sheet, side and ink."""

    title: str
    pages: int
    parts: tuple[PartRecord, ...]
    masters: tuple[tuple[MasterPage, MasterRecord], ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]

    def sketches(self) -> dict[str, dict[int, Sketch]]:
        """Return the sketch of every page, by ink."""
        known: dict[str, dict[int, Sketch]] = {}
        for _, record in self.masters:
            for panel in record.panels:
                if panel.page is not None and panel.sketch and not panel.sketch.bare:
                    known.setdefault(record.name.ink, {})[panel.page] = panel.sketch
        return known


def gather(pages: Sequence[MasterPage]) -> Gathered:
    """Sort the pages of a folder into one set of masters."""
    faults = list(_silent(pages))
    told = [(page, page.record) for page in pages if page.record]
    if not told:
        return Gathered(title="", pages=0, parts=(), masters=(), faults=tuple(faults), notes=())
    # The set that most pages belong to is the one that is meant.
    ((wanted, _),) = Counter(record.set for _, record in told).most_common(1)
    kept: dict[MasterName, tuple[MasterPage, MasterRecord]] = {}
    for page, record in told:
        if record.set != wanted:
            problem = f"is {record.name} of another set of masters, “{record.title}”"
            faults.append(Fault(file=page.shown, place=page.place, problem=problem, mend=_REBUILD))
        elif record.name in kept:
            other = kept[record.name][0]
            problem = f"is {record.name} a second time, after {other.shown}, {other.place}"
            faults.append(Fault(file=page.shown, place=page.place, problem=problem, mend="take one of them away"))
        else:
            kept[record.name] = (page, record)
    parts = {record.part.number: record.part for _, record in kept.values()}
    first = next(iter(kept.values()))[1]
    faults += _missing(first, parts, set(kept))
    faults += _sizes(kept.values())
    faults += _out_of_order([master for master in told if master[1].set == wanted])
    masters = sorted(
        kept.values(), key=lambda m: (m[1].name.sheet, m[1].name.side == "back", m[1].pass_number, m[1].drum)
    )
    return Gathered(
        title=first.title,
        pages=first.pages,
        parts=tuple(parts[number] for number in sorted(parts)),
        masters=tuple(masters),
        faults=tuple(faults),
        notes=tuple(_notes(masters)),
    )


def _silent(pages: Sequence[MasterPage]) -> Iterator[Fault]:
    """Yield what says nothing of itself: a line a file."""
    for shown, group in groupby(pages, key=lambda page: page.shown):
        of_file = list(group)
        silent = [page for page in of_file if page.record is None]
        if not silent:
            continue
        whole = len(silent) == len(of_file)
        place = "" if whole else ", ".join(page.place for page in silent[:5])
        problem = silent[0].problem
        if whole and len(of_file) > 1:
            problem = f"{problem} (all {number_of(len(of_file), 'page')})"
        yield Fault(
            file=shown, place=place, problem=problem, mend="take the masters as they were built, or build again"
        )


def _missing(first: MasterRecord, parts: dict[int, PartRecord], have: set[MasterName]) -> Iterator[Fault]:
    for number in range(1, first.parts + 1):
        if number not in parts:
            problem = f"part {number} of {first.parts} is missing: no master of it is here"
            yield Fault(file=first.title, problem=problem, mend=_REBUILD)
    for part in parts.values():
        for name in part.master_names:
            if name not in have:
                yield Fault(file=first.title, place=str(name), problem="its master is missing", mend=_REBUILD)


def _sizes(masters: Iterable[tuple[MasterPage, MasterRecord]]) -> Iterator[Fault]:
    for page, record in masters:
        wanted = record.part.size
        if not page.size.close_to(wanted, 0.1):
            problem = (
                f"is {show(page.size.width)} × {show(page.size.height)} mm, but {record.name} is "
                f"{show(wanted.width)} × {show(wanted.height)} mm"
            )
            yield Fault(file=page.shown, place=page.place, problem=problem, mend="save it at 1:1, or build again")


def _out_of_order(masters: Sequence[tuple[MasterPage, MasterRecord]]) -> Iterator[Fault]:
    """Yield files whose pages are not one drum's sheets in running order: they would print on the wrong sheets."""
    for shown, group in groupby(masters, key=lambda master: master[0].shown):
        records = [record for _, record in group]
        runs = {(record.pass_number, record.drum, record.name.side, record.name.ink) for record in records}
        sheets = [record.name.sheet for record in records]
        if len(runs) > 1:
            yield Fault(file=shown, problem="holds masters of several drums or passes", mend=_REBUILD)
        elif sheets != sorted(sheets):
            order = ", ".join(map(str, sheets))
            yield Fault(file=shown, problem=f"has its sheets in the order {order}: out of running order", mend=_REBUILD)


def _notes(masters: Sequence[tuple[MasterPage, MasterRecord]]) -> Iterator[str]:
    redrawn = [page for page, _ in masters if not page.as_written]
    if redrawn:
        files = sorted({page.shown for page in redrawn})
        yield (
            f"{number_of(len(redrawn), 'page')} of {', '.join(files)} were drawn anew by another program; "
            "they were judged by what is seen on them alone"
        )
