"""Spots too small for the previews, cut out of the artwork itself: a hairline is seen as the hairline it is.

Each page is decoded once for all its spots, and no more pages than `MOST_PAGES`, so that a report of many faults takes
a few seconds more and not a minute; what is left over is cut from the previews like any other spot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.findings import Finding
from imposer.geometry import Box
from imposer.pages.page_planes import decode, page_plane
from imposer.pages.resolution import MM_PER_INCH
from imposer.prepared import Prepared, PreparedPart
from imposer.write.page_colours import in_colour, part_of, printing_inks, prints, trim_of
from imposer.write.report.pictures import Picture, around, picture, share
from imposer.write.report.spots import on_page

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from imposer.tones.plane import Plane

#: A spot of this size or less, mm, is shown close up, with at least so much around it.
SMALL, AROUND = 8.0, 12.0
#: Rules whose faults are as fine as that however far they run, a line of small type or a hairline over the page: a
#: piece of such a spot is shown.
_FINE = frozenset({"small-type", "thin-gaps", "thin-lines", "tinted-type", "type-in-two-inks"})
#: From this tone on a pixel is of the stroke that is looked for: a quarter.
_INK = 64
#: Pixels an inch of a close-up: what a press resolves; coarser art keeps its own.
PPI = 600.0
#: Pages that are decoded again for one report, at most.
MOST_PAGES = 24


def close_ups(prepared: Prepared, findings: Iterable[Finding], most_pages: int = MOST_PAGES) -> dict[Finding, Picture]:
    """Return a close-up for every finding that has one, of the first pages that ask for it.

    Raises:
        ImposerError: artwork cannot be read after all.
    """
    by_page: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.page is not None and (finding.page in by_page or len(by_page) < most_pages) and _is_fine(finding):
            by_page.setdefault(finding.page, []).append(finding)
    found: dict[Finding, Picture] = {}
    for page, asked in by_page.items():
        part = part_of(prepared, page)
        cut = {finding: on_page(part, finding) for finding in asked}
        found.update(_of_page(part, page, {finding: box for finding, box in cut.items() if box is not None}))
    return found


def _is_fine(finding: Finding) -> bool:
    return finding.box is not None and (finding.rule in _FINE or _is_small(finding.box))


def _is_small(box: Box) -> bool:
    return max(box.width, box.height) <= SMALL


def _of_page(part: PreparedPart, page: int, asked: Mapping[Finding, Box]) -> Iterator[tuple[Finding, Picture]]:
    """Give the close-ups of one page: one ink in its gray, or all of them in colour."""
    trim = trim_of(part, page)
    spots = dict(asked)
    windows = {finding: around(box, trim, AROUND) for finding, box in spots.items()}
    wanted = {finding.ink for finding in asked}
    shown = [ink.name for ink in printing_inks(part, page)]
    names = shown if None in wanted else [ink for ink in wanted if ink is not None and prints(part, page, ink)]
    # One ink at a time: what is kept of it is the size of its spots.
    cut: dict[str, dict[Finding, NDArray[np.uint8]]] = {}
    for name in names:
        art = part.table.cells[page, name]
        plane = page_plane(decode(art), art, art.own(part.job.page))
        bleed = part.job.page.bleed
        for finding in [one for one, box in spots.items() if one.ink == name and not _is_small(box)]:
            spots[finding] = _piece(plane, spots[finding].moved(bleed, bleed)).moved(-bleed, -bleed)
            windows[finding] = around(spots[finding], trim, AROUND)
        cut[name] = {
            finding: _cut(plane, window.moved(bleed, bleed))
            for finding, window in windows.items()
            if finding.ink in (None, name)
        }
    for finding, window in windows.items():
        pixels = _drawn(part, finding, shown, cut)
        if pixels is not None:
            yield finding, picture(Image.fromarray(pixels), share(spots[finding], window))


def _piece(plane: Plane, box: Box) -> Box:
    """Return a piece of a spot that is too long to be shown close up: the ink that is nearest to its middle."""
    x, y = box.centre
    if min(box.width, box.height) > SMALL:
        per_mm = plane.ppi / MM_PER_INCH
        rows = plane.tones.shape[0]
        left, top = max(int(box.x0 * per_mm), 0), max(rows - int(box.y1 * per_mm), 0)
        inside = plane.tones[top : rows - int(box.y0 * per_mm), left : int(box.x1 * per_mm)]
        down, across = np.nonzero(inside >= _INK)
        if len(down):
            far = np.hypot((left + across) / per_mm - x, (rows - top - down) / per_mm - y)
            nearest = int(far.argmin())
            x, y = float(left + across[nearest]) / per_mm, float(rows - top - down[nearest]) / per_mm
    return Box.around(x, y, min(box.width, SMALL), min(box.height, SMALL))


def _drawn(
    part: PreparedPart, finding: Finding, shown: Sequence[str], cut: Mapping[str, Mapping[Finding, NDArray[np.uint8]]]
) -> NDArray[np.uint8] | None:
    if finding.ink is not None:
        return 255 - cut[finding.ink][finding] if finding.ink in cut else None
    planes = [cut[name][finding] for name in shown]
    if not planes:
        return None
    # Inks may be of unlike resolution: the finest is kept.
    height, width = max(plane.shape for plane in planes)
    same = [np.asarray(Image.fromarray(one).resize((width, height), Image.Resampling.NEAREST)) for one in planes]
    inks = [each.ink for each in part.job.inks if each.name in shown]
    return in_colour(part, inks, np.stack(same))


def _cut(plane: Plane, window: Box) -> NDArray[np.uint8]:
    """Return the tones of a window of a plane (mm from the lower left of the bleed), no finer than `PPI`."""
    per_mm = plane.ppi / MM_PER_INCH
    rows, columns = plane.tones.shape
    left, right = (min(max(round(x * per_mm), 0), columns) for x in (window.x0, window.x1))
    top, bottom = (min(max(rows - round(y * per_mm), 0), rows) for y in (window.y1, window.y0))
    pixels = Image.fromarray(np.ascontiguousarray(plane.tones[top : max(bottom, top + 1), left : max(right, left + 1)]))
    if plane.ppi > PPI:
        wide, high = (max(round(side * PPI / plane.ppi), 1) for side in pixels.size)
        pixels = pixels.resize((wide, high), Image.Resampling.BOX)
    return np.asarray(pixels)
