"""Press sheets as plain data for the proof page: art, marks, folds, cuts, and which drum of which pass prints what.

Frames, layouts and plans go in. The marks of all sides are kept in one pool, each once, since most stand at the same
place on every sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from imposer.data.fonts import shorten
from imposer.findings import SIDES, Side
from imposer.geometry import Box
from imposer.plan.model import PassPlan
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Arrow, Frame, Label, Patch, Ring, SheetSide, Stroke, Words
from imposer.write.drawing import Mark, printable
from imposer.write.page_colours import prints


class MarkPool:
    """Every different mark once; sides name them by number."""

    def __init__(self) -> None:
        self._numbers: dict[tuple[Any, ...], int] = {}

    def number(self, mark: tuple[Any, ...]) -> int:
        """Return the number of a mark, new or known."""
        return self._numbers.setdefault(mark, len(self._numbers))

    def marks(self) -> list[list[Any]]:
        """Return all marks in the order of their numbers."""
        return [list(mark) for mark in self._numbers]


def sheets_data(prepared: Prepared, pool: MarkPool) -> list[dict[str, Any]]:
    """Return every press sheet of the job; a box is [x0, y0, x1, y1], mm on the side as printed, y up."""
    return [_sheet(part, index, number, pool) for index, part in enumerate(prepared.parts) for number in _numbers(part)]


def passes_data(prepared: Prepared) -> list[dict[str, Any]]:
    """Return every pass of the job in running order."""
    return [
        {"number": run.number, "side": run.side, "part": index, "drums": [list(drum) for drum in run.drums]}
        for index, part in enumerate(prepared.parts)
        for run in part.plan.passes
    ]


def pages_data(prepared: Prepared) -> list[dict[str, Any]]:
    """Return every page with its first place on a press sheet, and the inks that print on it, by their number."""
    pages: dict[int, dict[str, Any]] = {}
    for index, part in enumerate(prepared.parts):
        for sheet in part.imposition.sheets:
            for side in SIDES:
                for panel in sheet.face(side).panels:
                    if panel.page is None or panel.page in pages:
                        continue
                    pages[panel.page] = {
                        "page": panel.page,
                        "part": index,
                        "sheet": sheet.number,
                        "side": side,
                        "rotation": panel.rotation,
                        "trim": _box(panel.trim),
                        "inks": [i for i, ink in enumerate(part.job.ink_names) if prints(part, panel.page, ink)],
                    }
    return [pages[number] for number in sorted(pages)]


def _numbers(part: PreparedPart) -> Iterator[int]:
    return (sheet.number for sheet in part.imposition.sheets)


def _sheet(part: PreparedPart, index: int, number: int, pool: MarkPool) -> dict[str, Any]:
    layout, machine = part.imposition.layout, part.job.shop.machine
    sheet = next(sheet for sheet in part.imposition.sheets if sheet.number == number)
    along_x = layout.lead in ("left", "right")
    middle = (layout.size.height if along_x else layout.size.width) / 2
    low, high = middle - machine.roller_track / 2, middle + machine.roller_track / 2
    track = Box(0, low, layout.size.width, high) if along_x else Box(low, 0, high, layout.size.height)
    return {
        "number": number,
        "part": index,
        "size": [_mm(layout.size.width), _mm(layout.size.height)],
        "safe": _box(layout.safe),
        "careful": _mm(machine.careful),
        "track": _box(track) if machine.roller_track else None,
        "lead": layout.lead,
        "flip": layout.flip,
        "stock": layout.stock.name,
        "pieces": _pieces(part, sheet.front),
        **{side: _side(part, part.frames[number, side], sheet.face(side), pool) for side in SIDES},
    }


def _side(part: PreparedPart, frame: Frame, face: SheetSide, pool: MarkPool) -> dict[str, Any]:
    printed = list(_printed(part.plan, frame.sheet, frame.side))
    mirrored = frame.side == "back"
    return {
        # The pass, the drum, and the number of the ink.
        "prints": [[run, drum, part.job.ink_names.index(ink)] for run, drum, ink in printed],
        "art": [[art.page, _box(art.trim), art.rotation, _box(art.clip)] for art in frame.art],
        "marks": [pool.number(mark) for mark in _marks(frame, printed)] if printed else [],
        "folds": [[_mm(line.x0), _mm(line.y0), _mm(line.x1), _mm(line.y1)] for line in face.folds],
        "cuts": _cuts(part, mirrored=mirrored),
    }


def _pieces(part: PreparedPart, front: SheetSide) -> list[dict[str, Any]]:
    """Return the pieces of a sheet where they lie on its front; number 0 is a slot that holds none."""
    found = []
    for slot in part.imposition.layout.slots:
        panel = next(panel for panel in front.panels if slot.contains(Box(*panel.clip.centre, *panel.clip.centre)))
        found.append({"box": _box(slot), "piece": panel.piece, "signature": panel.signature, "copy": panel.copy})
    return found


def _printed(plan: PassPlan, sheet: int, side: Side) -> Iterator[tuple[int, int, str]]:
    for run in plan.passes:
        if run.side == side:
            for master in run.masters:
                if sheet in master.sheets:
                    yield run.number, master.drum, master.ink


def _cuts(part: PreparedPart, *, mirrored: bool) -> dict[str, list[float]]:
    layout = part.imposition.layout
    block = Box(layout.cuts_x[0], layout.cuts_y[0], layout.cuts_x[-1], layout.cuts_y[-1])
    lines_x = [Box(x, block.y0, x, block.y1) for x in layout.cuts_x]
    lines_y = [Box(block.x0, y, block.x1, y) for y in layout.cuts_y]
    seen = (lambda box: _seen(box, part)) if mirrored else (lambda box: box)
    return {"x": sorted(_mm(seen(b).x0) for b in lines_x), "y": sorted(_mm(seen(b).y0) for b in lines_y)}


def _seen(box: Box, part: PreparedPart) -> Box:
    """Return a box on the front as it lies on the back as seen from there."""
    from imposer.sheet.safe_area import mirrors_x

    layout = part.imposition.layout
    if mirrors_x(layout.lead, layout.flip):
        return box.mirrored_x(layout.size.width)
    return box.mirrored_y(layout.size.height)


# --- marks ----------------------------------------------------------------------------------------------------------


def _marks(frame: Frame, printed: list[tuple[int, int, str]]) -> Iterator[tuple[Any, ...]]:
    """Give the marks of a side; one that a single ink carries names it at its end."""
    inks = {ink: (run, drum) for run, drum, ink in printed}
    for mark in frame.marks:
        if isinstance(mark, Patch | Label) and mark.ink is not None and mark.ink not in inks:
            continue
        yield _mark(mark, inks)


def _mark(mark: Mark, inks: dict[str, tuple[int, int]]) -> tuple[Any, ...]:
    match mark:
        case Stroke(x0=x0, y0=y0, x1=x1, y1=y1, width=width, dash=dash):
            return ("stroke", *map(_mm, (x0, y0, x1, y1, width)), *map(_mm, dash or ()))
        case Ring(x=x, y=y, radius=radius, width=width):
            return ("ring", *map(_mm, (x, y, radius, width)))
        case Patch(box=box, tone=tone, ink=ink):
            return ("patch", *_box(box), round(tone, 3), ink)
        case Arrow(box=box, points_to=edge):
            return ("arrow", *_box(box), edge)
        case Words(text=text, x=x, y=y, size=size, turn=turn):
            return ("words", printable(text), *map(_mm, (x, y, size)), turn, None)
        case Label():
            title = shorten(printable(mark.title), mark.title_room, mark.size)
            text = title + printable(mark.after_title(*inks[mark.ink]))
            return ("words", text, *map(_mm, (mark.x, mark.y, mark.size)), mark.turn, mark.ink)


def _box(box: Box) -> list[float]:
    return [_mm(box.x0), _mm(box.y0), _mm(box.x1), _mm(box.y1)]


def _mm(value: float) -> float:
    return round(value, 3) + 0.0
