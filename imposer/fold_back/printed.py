"""Every master rendered once, coarsely, and every panel on it looked at; a page's pixels are dropped before the next.

Rendering is done by the worker processes of `pages.render`, two pages at a time; what is kept is what was found.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

from imposer.errors import Fault
from imposer.findings import Side
from imposer.fold_back.gather import Gathered
from imposer.fold_back.look import PrintedSheet, Seen, look_at
from imposer.fold_back.paper import Face
from imposer.fold_back.record import MasterRecord, PanelRecord
from imposer.fold_back.survey import MasterPage
from imposer.limits import LIMITS, Limits
from imposer.pages.measure import PREVIEW_PPI
from imposer.pages.render import render_tones
from imposer.pages.resolution import MM_PER_INCH
from imposer.progress import Progress
from imposer.tones.sketch import Sketch, Tones

#: Masters are looked at at this resolution: that of the previews, so that both can be laid on each other.
PPI = PREVIEW_PPI
#: Pages that are rendered ahead; each is a few MB.
_AHEAD = 3

#: Looks at a panel in another way once its sketch agrees; returns what is wrong, or "".
Look = Callable[[PrintedSheet, MasterRecord, PanelRecord], str]
#: A panel in one ink, and what was found on it.
_SeenPanel = tuple[PanelRecord, Seen]
#: Is given every rendered side.
OnPrinted = Callable[[MasterRecord, Tones], None]


@dataclass(frozen=True, slots=True)
class SeenMasters:
    """What was found on all masters."""

    faces: Mapping[tuple[int, Side], tuple[Face, ...]]
    inks: Mapping[int, tuple[str, ...]]
    faults: tuple[Fault, ...]


def look_at_masters(
    gathered: Gathered,
    look: Look | None = None,
    on_printed: OnPrinted | None = None,
    progress: Progress | None = None,
    limits: Limits = LIMITS,
) -> SeenMasters:
    """Render every master of a set and look at its panels.

    Raises:
        ImposerError: a page cannot be rendered.
    """
    known = gathered.sketches()
    found: dict[tuple[int, Side], list[list[_SeenPanel]]] = {}
    inks: dict[int, dict[str, None]] = {}
    faults: list[Fault] = []
    masters = [(page, record) for page, record in gathered.masters if page.size.close_to(record.part.size, 0.1)]
    for done, (page, record, tones) in enumerate(_rendered(masters, limits)):
        if progress:
            progress("folding back", done, len(masters))
        if on_printed:
            on_printed(record, tones)
        sheet = PrintedSheet(tones, PPI / MM_PER_INCH, page.size)
        where = record.name.sheet, record.name.side
        seen = [(panel, _look(sheet, record, panel, known.get(record.name.ink, {}), look)) for panel in record.panels]
        found.setdefault(where, []).append(seen)
        for panel, one in seen:
            if one.problem:
                faults.append(Fault(file=page.shown, place=str(record.name), problem=one.problem, mend="build again"))
            elif panel.sketch and panel.page is not None:
                inks.setdefault(panel.page, {})[record.name.ink] = None
    faces = {
        where: tuple(_face(where, inks_of_panel) for inks_of_panel in zip(*of_inks, strict=True))
        for where, of_inks in found.items()
    }
    return SeenMasters(faces, {page: tuple(names) for page, names in inks.items()}, tuple(faults))


def _look(
    sheet: PrintedSheet, record: MasterRecord, panel: PanelRecord, known: Mapping[int, Sketch], look: Look | None
) -> Seen:
    seen = look_at(sheet, panel, known)
    if not seen.problem and look and panel.page is not None:
        return Seen(seen.page, seen.turn, look(sheet, record, panel))
    return seen


def _face(where: tuple[int, Side], seen: Sequence[_SeenPanel]) -> Face:
    """Return what lies on a panel, all inks together: what the first that is not as it should be says."""
    sheet, side = where
    panel = seen[0][0]
    for _, one in seen:
        if one.page != panel.page or one.turn:
            return Face(sheet=sheet, side=side, panel=panel, page=one.page, turned=one.turn)
    if not any(printing.sketch for printing, _ in seen):
        # Bare paper looks like any other, whatever page it should be.
        return Face(sheet=sheet, side=side, panel=panel, page=None, bare=True)
    return Face(sheet=sheet, side=side, panel=panel, page=panel.page)


def _rendered(
    masters: list[tuple[MasterPage, MasterRecord]], limits: Limits
) -> Iterator[tuple[MasterPage, MasterRecord, Tones]]:
    """Yield each master with its tones, rendered a few ahead."""
    with ThreadPoolExecutor(2) as pool:
        waiting: deque[tuple[MasterPage, MasterRecord, Future[Tones]]] = deque()
        upcoming = iter(masters)
        try:
            while True:
                while len(waiting) < _AHEAD and (master := next(upcoming, None)):
                    page, record = master
                    waiting.append((page, record, pool.submit(_render, page, limits)))
                if not waiting:
                    return
                page, record, future = waiting.popleft()
                yield page, record, future.result()
        finally:
            for _, _, future in waiting:
                future.cancel()


def _render(page: MasterPage, limits: Limits) -> Tones:
    pages_on_it = sum(panel.sketch is not None for panel in page.record.panels) if page.record else 1
    return render_tones(
        page.file,
        page.index,
        page.size,
        PPI,
        shown=page.shown,
        annotations=True,
        pages_on_it=pages_on_it,
        limits=limits,
    )
