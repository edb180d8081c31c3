"""One look at every page: each ink decoded once, everything that rules ask measured, and the pixels let go.

The table of page × ink and the machine's zones on each page go in, a `PageTones` for each page and a `Measured` for
each cell come out. The pages pass two at a time, each with the planes of its own inks alone, so memory does not grow
with the booklet.
"""

from __future__ import annotations

import zlib
from collections import deque
from collections.abc import Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import combinations
from threading import Lock
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.geometry import Box
from imposer.ink.colour import lab_from_rec2020
from imposer.ink.difference import delta_e
from imposer.ink.overprint import shop_model
from imposer.job.model import Job
from imposer.pages.drawn_facts import Drawn
from imposer.pages.measure import measure_tones
from imposer.pages.model import ArtKind, Measured, PageArt, PageTable
from imposer.pages.page_planes import decode, page_plane
from imposer.pages.pdfs import drawn as drawn_on
from imposer.pages.tone_facts import MAP_CELL, Band, InkMasks, InkTones, PageTones, PairTones, Rim, ToneMap, Zones
from imposer.progress import Progress
from imposer.tones.agreement import Agreement, agreement
from imposer.tones.content import Content, describe_content
from imposer.tones.coverage import ink_outside, mean_tone, worst_sum, worst_window
from imposer.tones.drift import Drift
from imposer.tones.enlargement import find_enlargement
from imposer.tones.ink_areas import ink_areas
from imposer.tones.levels import measure_levels
from imposer.tones.likeness import Match, compare_tones, match_layers
from imposer.tones.margins import Heavy, corner_marks, edge_details, edge_runs, heavy_outside, ink_parts
from imposer.tones.plane import MM_PER_INCH, Plane
from imposer.tones.screened import Screen, find_screen
from imposer.tones.slivers import Slivers, slivers_of_areas
from imposer.tones.solids import find_solids
from imposer.tones.strokes import Thin, thin_gaps, thin_lines
from imposer.tones.trials import MOST_INKS

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Pages looked at side by side.
_AT_ONCE = 2
#: An image that is decoded lies in memory twice for a while: one at a time, so that the most there is at once does not
#: hang on how pages happen to meet.
_ONE_DECODES = Lock()
#: Side of the window of the worst coverage, mm.
WINDOW = 20.0
#: Cells an inch that the closed form is worked out on: it is for ranking, and changes little down to 75.
RANKING_PPI = 100.0
#: Cells an inch of the masks that shifts are tried on.
MASK_PPI = 150.0
#: A page on which the closed form expects less than this, ΔE over the page, shows nothing: an own choice, far under any
#: limit.
WORTH_TRYING = 0.01
#: The least drift that is worked with, mm: a machine that is said not to drift at all still does.
_LEAST_DRIFT = 0.01
#: The shop states how far passes turn as mm in so many.
_TURN_MEASURED_OVER = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Surveyed:
    """What was found: by page and ink, and by page. Pages that carry no ink at all have no `PageTones`."""

    measured: Mapping[tuple[int, str], Measured]
    pages: Mapping[int, PageTones]


def survey_tones(job: Job, table: PageTable, zones: Mapping[int, Zones], progress: Progress | None = None) -> Surveyed:
    """Look at every page of a table once.

    Raises:
        ImposerError: a page cannot be decoded or rendered.
    """
    pages = sorted({page for page, _ in table.cells})
    arts = {page: {ink: table.cells[page, ink] for ink in table.inks if (page, ink) in table.cells} for page in pages}
    measured: dict[tuple[int, str], Measured] = {}
    found: dict[int, PageTones] = {}
    for done, (page, (cells, tones)) in enumerate(_each(job, arts, zones)):
        if progress:
            progress("measuring pages", done, len(pages))
        measured.update({(page, ink): one for ink, one in cells.items()})
        if tones.inks:
            found[page] = tones
    if progress:
        progress("measuring pages", len(pages), len(pages))
    return Surveyed(measured={cell: measured[cell] for cell in table.cells}, pages=found)


_Looked = tuple[dict[str, Measured], PageTones]


def _each(
    job: Job, arts: Mapping[int, Mapping[str, PageArt]], zones: Mapping[int, Zones]
) -> Iterator[tuple[int, _Looked]]:
    """Yield the pages in order, no more of them at work than at once are wanted; the next ones stand ready."""
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        waiting: deque[tuple[int, Future[_Looked]]] = deque()
        try:
            for page, art in arts.items():
                if len(waiting) == 2 * _AT_ONCE:
                    number, future = waiting.popleft()
                    yield number, future.result()
                waiting.append((page, pool.submit(look_at_page, job, art, zones.get(page, Zones()))))
            for number, future in waiting:
                yield number, future.result()
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def look_at_page(job: Job, art: Mapping[str, PageArt], zones: Zones) -> _Looked:
    """Measure one page: its art in each ink in, what each carries and all inks together out.

    Raises:
        ImposerError: the page cannot be decoded or rendered.
    """
    cells: dict[str, Measured] = {}
    planes: dict[str, Plane] = {}
    # A panel narrower than the others, or a poster, is a page of its own size.
    job = replace(job, page=next((one.own(job.page) for one in art.values()), job.page))
    for ink, one in art.items():
        with _ONE_DECODES:
            tones = decode(one)
        plane = page_plane(tones, one, job.page)
        # What is known of the plane serves here too, if the plane is the art as it is.
        cells[ink] = measure_tones(tones, one, job.page, plane if plane.tones is tones else None)
        if cells[ink].prints:
            planes[ink] = plane
    inks = {
        ink: (one.source.kind, drawn_on(one.source, one.to_page) if one.source.kind == "pdf" else None)
        for ink, one in art.items()
        if ink in planes
    }
    return cells, page_tones(job, planes, inks, zones)


def page_tones(
    job: Job, planes: Mapping[str, Plane], art: Mapping[str, tuple[ArtKind, Drawn | None]], zones: Zones
) -> PageTones:
    """Measure the planes of one page, one an ink that prints, each of trim plus bleed; `art` says what they are of."""
    inks = {ink: _ink_tones(plane, *art[ink], job, zones) for ink, plane in planes.items()}
    summed = worst_sum(list(planes.values())) if len(planes) > 1 else None
    pairs = _pairs(job, planes, inks)
    return PageTones(inks=inks, summed=summed, pairs=pairs, masks=_masks(planes, pairs))


def _masks(planes: Mapping[str, Plane], pairs: tuple[PairTones, ...]) -> InkMasks | None:
    """Keep where the inks lie, if drift may show anything and no more of them print than can be tried together."""
    if not 2 <= len(planes) <= MOST_INKS:
        return None
    size = next(iter(planes.values())).size
    if sum(pair.slivers.visible for pair in pairs) < WORTH_TRYING * size.width * size.height:
        return None
    areas = ink_areas(list(planes.values()), MASK_PPI)
    rows, columns = areas.masks[0].shape
    bits = np.packbits(np.stack(areas.masks).reshape(-1))
    return InkMasks(
        inks=tuple(planes),
        rows=rows,
        columns=columns,
        ppi=MM_PER_INCH / areas.pitch,
        packed=zlib.compress(bits.tobytes(), 1),
    )


def _ink_tones(plane: Plane, kind: ArtKind, drawn: Drawn | None, job: Job, zones: Zones) -> InkTones:
    limits, bleed = job.shop.check, job.page.bleed
    trim = Box(0, 0, job.page.trim.width, job.page.trim.height).moved(bleed, bleed)
    parts = ink_parts(plane)
    screen = find_screen(plane)
    content = describe_content(plane)
    return InkTones(
        kind=kind,
        ppi=plane.ppi,
        size=plane.size,
        bleed=bleed,
        ink=mean_tone(plane) * plane.size.width * plane.size.height,
        window=worst_window(plane, WINDOW),
        outside={box: ink_outside(plane, box.moved(bleed, bleed)) for box in zones.safe},
        heavy={rim: _heavy(plane, rim, bleed, limits.careful_tone / 100) for rim in zones.rims},
        bands={box: _band(plane, box.moved(bleed, bleed)) for box in zones.bands},
        bare_edges=edge_runs(plane, trim, bleed),
        details=edge_details(plane, parts, trim, 2 * limits.edge_detail),
        levels=measure_levels(plane, limits.lightest / 100, limits.darkest / 100),
        solids=find_solids(plane, tone=limits.solid_tone / 100, width=limits.solid_width),
        content=content,
        screen=screen,
        enlargement=None if screen or kind == "pdf" else find_enlargement(plane),
        lines=_thin(plane, limits.line, content, screen, gaps=False),
        gaps=_thin(plane, limits.gap, content, screen, gaps=True),
        map=_tone_map(plane),
        marks=corner_marks(plane, parts, trim),
        drawn=drawn,
    )


def _heavy(plane: Plane, rim: Rim, bleed: float, tone: float) -> Heavy:
    """What cannot be printed does not stick: whoever tells of what is lost tells of that."""
    return heavy_outside(plane, rim.careful.moved(bleed, bleed), tone, within=rim.safe.moved(bleed, bleed))


def _band(plane: Plane, box: Box) -> Band:
    return Band(mean_tone(plane, box), worst_window(plane, WINDOW, box))


def _thin(plane: Plane, limit: float, content: Content, screen: Screen | None, *, gaps: bool) -> Thin | None:
    """Return strokes thinner than a limit.

    Nothing thinner than its pixels can be in a coarse plane; a picture's grain is no stroke, and a screen's dots are
    none either.
    """
    if limit < plane.pitch or content.kind == "tone":
        return None
    without = screen.boxes if screen else ()
    return thin_gaps(plane, limit, without) if gaps else thin_lines(plane, limit, without)


def _tone_map(plane: Plane) -> ToneMap:
    columns, rows = (max(round(side / MAP_CELL), 1) for side in (plane.size.width, plane.size.height))
    small = Image.fromarray(plane.means.values).resize((columns, rows), Image.Resampling.BOX)
    return ToneMap(rows=rows, columns=columns, packed=zlib.compress(small.tobytes(), 6))


def _pairs(job: Job, planes: Mapping[str, Plane], inks: Mapping[str, InkTones]) -> tuple[PairTones, ...]:
    """Hold every two inks of a page against one another; likeness only against the ink with the most outlines."""
    names = tuple(planes)
    if len(names) < 2:
        return ()
    key = max(names, key=lambda name: inks[name].content.edge * inks[name].content.inked)
    found = []
    for slivers in _slivers(job, planes):
        first, second = names[slivers.first], names[slivers.second]
        if second == key:
            first, second = second, first
        match = match_layers(planes[first], planes[second]) if first == key else None
        found.append(
            PairTones(
                first=first,
                second=second,
                match=match,
                agreement=_agreement(job, planes[first], planes[second], match),
                sameness=compare_tones(planes[first], planes[second]),
                slivers=slivers,
            )
        )
    return tuple(found)


def _agreement(job: Job, first: Plane, second: Plane, match: Match | None) -> Agreement | None:
    """Return what detail agrees where the second layer would lie better; None where it would not."""
    limits = job.shop.check
    if match is None or match.score < limits.match or match.score - match.as_is < limits.match_gain:
        return None
    return agreement(first, second, match)


def _slivers(job: Job, planes: Mapping[str, Plane]) -> tuple[Slivers, ...]:
    """Return what drift is expected to show, as if inks that cannot all share a pass had each one of its own."""
    one_pass = len(job.inks) <= job.shop.machine.drums
    names, drift = tuple(planes), machine_drift(job)
    areas = ink_areas(list(planes.values()), RANKING_PPI)
    if len(names) <= MOST_INKS:
        passes = [1] * len(names) if one_pass else list(range(len(names)))
        return slivers_of_areas(areas, passes, drift, differences(job, names))
    # A table of all sets of so many inks would be large: two at a time, as if the others were not there.
    found = []
    for first, second in combinations(range(len(names)), 2):
        two = replace(areas, masks=(areas.masks[first], areas.masks[second]))
        passes = [1, 1] if one_pass else [1, 2]
        (pair,) = slivers_of_areas(two, passes, drift, differences(job, (names[first], names[second])))
        found.append(replace(pair, first=first, second=second))
    return tuple(found)


def machine_drift(job: Job) -> Drift:
    """Return the standard deviations of the machine's drift: the shop states about two of them."""
    drift = job.shop.machine.drift
    same = max(drift.same_pass / 2, _LEAST_DRIFT)
    return Drift(
        same_pass=same, between_passes=max(drift.between_passes / 2, same), turn=drift.turn / 2 / _TURN_MEASURED_OVER
    )


def differences(job: Job, inks: tuple[str, ...]) -> NDArray[np.float64]:
    """Return the colour differences between all sets of some inks on the job's paper, ΔE; bit i stands for ink i."""
    by_name = {ink.name: ink.ink for ink in job.inks}
    model = shop_model(job.sheet.paper, [by_name[name] for name in inks], job.shop.overprints)
    lab = lab_from_rec2020(np.array(model.solids))
    return delta_e(lab[:, None, :], lab[None, :, :])
