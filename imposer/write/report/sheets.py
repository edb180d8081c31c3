"""Press sheets of a report as SVG: the art as it will lie, the machine's zones over it, findings where they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from imposer.findings import SIDES, Finding, Side
from imposer.geometry import Box
from imposer.prepared import PreparedPart
from imposer.sheet.model import Frame, Layout
from imposer.sheet.places import track_band
from imposer.write.report.pictures import whole_page


def sheet_figures(part: PreparedPart, findings: Sequence[Finding]) -> Iterator[str]:
    """Yield a figure for every side that is printed or has a finding."""
    printed = {(sheet, run.side) for run in part.plan.passes for sheet in run.sheets}
    for sheet in part.imposition.sheets:
        for side in SIDES:
            here = [f for f in findings if (f.sheet, f.side) == (sheet.number, side)]
            if (sheet.number, side) in printed or here:
                yield _figure(part, part.frames[sheet.number, side], side, here)


def page_symbols(part: PreparedPart) -> Iterator[str]:
    """Yield every page's picture once, to be used on all sheets; upright, 0 … 1 each way, y down."""
    for page in sorted({art.page for frame in part.frames.values() for art in frame.art}):
        uri = whole_page(part, page).uri
        yield f'<image id="page-{page}" href="{uri}" width="1" height="1" preserveAspectRatio="none"/>'


def _figure(part: PreparedPart, frame: Frame, side: Side, findings: Sequence[Finding]) -> str:
    size, layout = frame.size, part.imposition.layout
    name = f"sheet {frame.sheet}, {side}"
    body = "".join(
        (
            _paper(part, frame),
            *(_art(art.page, art.trim, art.rotation, size.height) for art in frame.art),
            *_zones(part, frame, layout),
            *(_pin(number, finding, size.height) for number, finding in enumerate(findings, 1) if finding.box),
        )
    )
    notes = "".join(f"<li>{escape(finding.message)}</li>" for finding in findings if finding.box)
    return (
        f'<figure class="sheet"><svg viewBox="-2 -2 {_n(size.width + 4)} {_n(size.height + 4)}" role="img" '
        f'aria-label="{name}">{body}</svg><figcaption>{name}; the {frame.lead} edge enters first'
        f"{f'<ol>{notes}</ol>' if notes else ''}</figcaption></figure>"
    )


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


def _zones(part: PreparedPart, frame: Frame, layout: Layout) -> Iterator[str]:
    machine, size = part.job.shop.machine, frame.size
    sheet = Box(0, 0, size.width, size.height)
    yield _rect("track", track_band(size, layout.lead, machine.roller_track), size.height)
    yield _rect("careful", sheet.grown(-machine.careful), size.height)
    yield _rect("safe", frame.safe, size.height)


def _rect(kind: str, box: Box, height: float) -> str:
    return (
        f'<rect class="{kind}" x="{_n(box.x0)}" y="{_n(height - box.y1)}" width="{_n(box.width)}" '
        f'height="{_n(box.height)}"/>'
    )


def _pin(number: int, finding: Finding, height: float) -> str:
    box = finding.box or Box(0, 0, 0, 0)
    return (
        f'<g class="pin {finding.level}">{_rect("spot", box, height)}'
        f'<circle cx="{_n(box.x0)}" cy="{_n(height - box.y1)}" r="7"/>'
        f'<text x="{_n(box.x0)}" y="{_n(height - box.y1)}">{number}</text></g>'
    )


def _n(value: float) -> str:
    return f"{round(value, 2) + 0.0:g}"
