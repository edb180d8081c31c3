"""Press sheets of a report as SVG: the art as it will lie, the machine's zones over it, findings where they are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from html import escape

from imposer.findings import SIDES, Finding, Level
from imposer.geometry import Box, Size
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Frame
from imposer.sheet.places import track_band
from imposer.units import TOLERANCE
from imposer.write.report.pictures import whole_page

#: Half the width of a finding's number on a sheet, mm.
_BADGE = 7.0


def sheet_figures(part: PreparedPart, findings: Sequence[Finding]) -> Iterator[str]:
    """Yield a figure for every side that is printed or has a finding."""
    printed = {(sheet, run.side) for run in part.plan.passes for sheet in run.sheets}
    for sheet in part.imposition.sheets:
        for side in SIDES:
            here = [f for f in findings if (f.sheet, f.side) == (sheet.number, side)]
            if (sheet.number, side) in printed or here:
                yield _figure(part, part.frames[sheet.number, side], here)


def page_symbols(part: PreparedPart) -> Iterator[str]:
    """Yield every page's picture once, to be used on all sheets; upright, 0 … 1 each way, y down."""
    for page in sorted({art.page for frame in part.frames.values() for art in frame.art}):
        uri = whole_page(part, page).uri
        yield f'<image id="page-{page}" href="{uri}" width="1" height="1" preserveAspectRatio="none"/>'


def spot_on_sheet(prepared: Prepared, finding: Finding) -> str:
    """Return the side of a press sheet that a finding is about, with its spot marked; empty if it names none."""
    if finding.sheet is None or finding.side is None or finding.box is None:
        return ""
    part = next(part for part in prepared.parts if (finding.sheet, finding.side) in part.frames)
    frame = part.frames[finding.sheet, finding.side]
    drawn = _drawn(part, frame, _spot(finding.box, finding.level, frame.size.height))
    return f'<figure class="sheet">{drawn}</figure>'


def _figure(part: PreparedPart, frame: Frame, findings: Sequence[Finding]) -> str:
    # What several inks have at one place has one number there.
    places: dict[Box, list[Finding]] = {}
    for finding in findings:
        if finding.box is not None:
            places.setdefault(finding.box, []).append(finding)
    badges = _badges(places, frame.size)
    levels = [here[0].level for here in places.values()]
    spots = [_spot(box, level, frame.size.height) for box, level in zip(places, levels, strict=True)]
    # Numbers lie on top of all spots.
    pins = "".join((*spots, *(_badge(at, *badge) for at, badge in enumerate(badges, 1))))
    notes = "".join(f"<li>{'<br>'.join(map(_note, here))}</li>" for here in places.values())
    return (
        f'<figure class="sheet">{_drawn(part, frame, pins)}<figcaption>{_name(frame)}; the {frame.lead} edge enters '
        f"first{f'<ol>{notes}</ol>' if notes else ''}</figcaption></figure>"
    )


def _note(finding: Finding) -> str:
    """Return what is said of a finding below its sheet: the page and ink that it is of, and what was seen."""
    where = replace(finding, sheet=None).where()
    return f"{escape(f'{where}: ' if where else '')}{escape(finding.message)}{_accepted(finding)}"


def _accepted(finding: Finding) -> str:
    return "" if finding.accepted is None else " (accepted)"


def _drawn(part: PreparedPart, frame: Frame, over: str) -> str:
    """Return a side of a press sheet with its art and the machine's zones, and what is drawn over them."""
    size = frame.size
    body = "".join(
        (
            _paper(part, frame),
            *(_art(art.page, art.trim, art.rotation, size.height) for art in frame.art),
            *_zones(part, frame),
            over,
        )
    )
    view = f"-2 -2 {_n(size.width + 4)} {_n(size.height + 4)}"
    return f'<svg viewBox="{view}" role="img" aria-label="{_name(frame)}">{body}</svg>'


def _name(frame: Frame) -> str:
    return f"sheet {frame.sheet}, {frame.side}"


#: Maps of the unit square, y down, by the page's turn counter-clockwise.
_TURNS: Mapping[int, str] = {
    0: "1 0 0 1 0 0",
    90: "0 -1 1 0 0 1",
    180: "-1 0 0 -1 1 1",
    270: "0 1 -1 0 1 0",
}


def _art(page: int, trim: Box, rotation: int, height: float) -> str:
    place = f"translate({_n(trim.x0)} {_n(height - trim.y1)}) scale({_n(trim.width)} {_n(trim.height)})"
    x, y = trim.centre
    return (
        f'<g transform="{place} matrix({_TURNS[rotation]})"><use href="#page-{page}"/></g>'
        f'<rect class="trim" x="{_n(trim.x0)}" y="{_n(height - trim.y1)}" width="{_n(trim.width)}" '
        f'height="{_n(trim.height)}"/><text class="number" x="{_n(x)}" y="{_n(height - y)}">{page}</text>'
    )


def _paper(part: PreparedPart, frame: Frame) -> str:
    size, colour = frame.size, escape(part.job.sheet.paper.colour)
    return f'<rect class="paper" width="{_n(size.width)}" height="{_n(size.height)}" style="fill:{colour}"/>'


def _zones(part: PreparedPart, frame: Frame) -> Iterator[str]:
    machine, size = part.job.shop.machine, frame.size
    sheet = Box(0, 0, size.width, size.height)
    yield _rect("track", track_band(size, frame.lead, machine.roller_track), size.height)
    yield _rect("careful", sheet.grown(-machine.careful), size.height)
    yield _rect("safe", frame.safe, size.height)


def _rect(kind: str, box: Box, height: float) -> str:
    return (
        f'<rect class="{kind}" x="{_n(box.x0)}" y="{_n(height - box.y1)}" width="{_n(box.width)}" '
        f'height="{_n(box.height)}"/>'
    )


def _badges(boxes: Iterable[Box], size: Size) -> list[tuple[float, float]]:
    """Return where the number of every box stands on a side: at its upper left corner, beside numbers already there."""
    found: list[tuple[float, float]] = []
    for box in boxes:
        # Moved in from the rim of the sheet, so that all of it is seen.
        y = min(max(size.height - box.y1, _BADGE), size.height - _BADGE)
        x = min(max(box.x0, _BADGE), size.width - _BADGE)
        step = 2 * _BADGE if x <= size.width / 2 else -2 * _BADGE
        while any(max(abs(x - other), abs(y - down)) < 2 * _BADGE - TOLERANCE for other, down in found):
            if not _BADGE <= x + step <= size.width - _BADGE:
                break
            x += step
        found.append((x, y))
    return found


def _spot(box: Box, level: Level, height: float) -> str:
    return f'<g class="pin {level}">{_rect("spot", box, height)}</g>'


def _badge(number: int, x: float, y: float) -> str:
    at = f'cx="{_n(x)}" cy="{_n(y)}" r="{_n(_BADGE)}"'
    return f'<g class="pin"><circle {at}/><text x="{_n(x)}" y="{_n(y)}">{number}</text></g>'


def _n(value: float) -> str:
    return f"{round(value, 2) + 0.0:g}"
