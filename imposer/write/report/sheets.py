"""Press sheets of a report as SVG: the art as it will lie, the machine's zones over it, findings where they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from imposer.findings import SIDES, Finding
from imposer.geometry import Box, Size
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Frame
from imposer.sheet.places import track_band
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
    spot = _rect("spot", finding.box, frame.size.height)
    drawn = _drawn(part, frame, f'<g class="pin {finding.level}">{spot}</g>')
    return f'<figure class="sheet">{drawn}</figure>'


def _figure(part: PreparedPart, frame: Frame, findings: Sequence[Finding]) -> str:
    shown = [finding for finding in findings if finding.box]
    pins = "".join(_pin(number, finding, frame.size) for number, finding in enumerate(shown, 1))
    notes = "".join(f"<li>{escape(finding.message)}{_accepted(finding)}</li>" for finding in shown)
    return (
        f'<figure class="sheet">{_drawn(part, frame, pins)}<figcaption>{_name(frame)}; the {frame.lead} edge enters '
        f"first{f'<ol>{notes}</ol>' if notes else ''}</figcaption></figure>"
    )


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


def _pin(number: int, finding: Finding, size: Size) -> str:
    box = finding.box or Box(0, 0, 0, 0)
    # The number is moved in from the rim of the sheet, so that all of it is seen.
    x = min(max(box.x0, _BADGE), size.width - _BADGE)
    y = min(max(size.height - box.y1, _BADGE), size.height - _BADGE)
    return (
        f'<g class="pin {finding.level}">{_rect("spot", box, size.height)}'
        f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(_BADGE)}"/><text x="{_n(x)}" y="{_n(y)}">{number}</text></g>'
    )


def _n(value: float) -> str:
    return f"{round(value, 2) + 0.0:g}"
