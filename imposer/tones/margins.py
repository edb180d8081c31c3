"""What lies near the edges of a page: heavy ink beyond a box, ink that runs along a trimmed edge, fine detail by it.

Boxes are in mm from the lower left corner of the plane, as everywhere in this package.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box, Edge
from imposer.tones.parts import Parts, find_parts
from imposer.tones.plane import Plane, Raster
from imposer.tones.rim import ONE_STRETCH, Beyond, ink_beyond, stretches

#: From this tone on a pixel at the edge, and a cell of fine detail, has ink: a quarter.
_INK = 64
#: How far inside the trim ink counts as running to it, mm: the trimming knife is no finer. Common practice, no source.
AT_EDGE = 0.4
#: A part no larger than this each way is a letter or a small thing, mm; an own choice.
_SMALL = 8.0
#: A larger part is drawn in lines if its area over its longer side is no more than this, mm; an own choice.
_LINE = 1.5
#: How far along an edge its neighbours are looked at, mm; an own choice.
_BESIDE = 15.0
#: Parts smaller than this are grain, mm².
_GRAIN = 0.3


@dataclass(frozen=True, slots=True)
class Heavy:
    """Heavy ink in some place.

    Attributes:
        area: How much, mm².
        places: Where it lies, by edge and stretch.
    """

    area: float
    places: tuple[Beyond, ...]


@dataclass(frozen=True, slots=True)
class Detail:
    """Fine detail near one edge.

    Attributes:
        distance: Of the nearest to the edge, mm.
        box: The nearest one, mm.
        crossing: How many strokes and small things beside it run over the edge: a texture does, type does not.
    """

    distance: float
    box: Box
    crossing: int = 0


def ink_parts(plane: Plane) -> Parts:
    """Return the connected parts of a plane's ink, on its plane of means."""
    return find_parts(plane.means.values >= _INK)


def heavy_outside(plane: Plane, box: Box, tone: float, within: Box | None = None) -> Heavy:
    """Return what of at least a tone (0 … 1), as a mean of a third of a millimetre, lies outside a box, in another."""
    means, whole = plane.means, Box(0, 0, plane.size.width, plane.size.height)
    outer = whole if within is None else whole.common(within)
    if outer is None:
        return Heavy(0.0, ())
    deep = _depths(box, outer)
    # Cells stand out beyond a box, or short of it, by half of one at most: areas go by how deep the strip really is.
    counted = _depths_of_cells(means, box, within)
    places = tuple(
        replace(place, area=place.area * share, laid=place.laid * share)
        for place in ink_beyond(means, box, math.ceil(tone * 255), within)
        if (share := deep[place.edge] / counted[place.edge]) > 0
    )
    return Heavy(sum(place.area for place in places), places)


def _depths_of_cells(raster: Raster, box: Box, within: Box | None) -> dict[Edge, float]:
    """Return how deep the cells are that count for the strips between a box and one around it, or all there are, mm."""
    rows, columns = raster.cells(box)
    all_rows, all_columns = (slice(0, side) for side in raster.values.shape) if within is None else raster.cells(within)
    return {
        "left": (columns.start - all_columns.start) * raster.pitch,
        "right": (all_columns.stop - columns.stop) * raster.pitch,
        "bottom": (all_rows.stop - rows.stop) * raster.pitch,
        "top": (rows.start - all_rows.start) * raster.pitch,
    }


def _depths(box: Box, outer: Box) -> dict[Edge, float]:
    """Return how deep the strips are between a box and one around it, mm; the box may lie beside that in part."""
    return {
        "left": min(max(box.x0 - outer.x0, 0.0), outer.width),
        "right": min(max(outer.x1 - box.x1, 0.0), outer.width),
        "bottom": min(max(box.y0 - outer.y0, 0.0), outer.height),
        "top": min(max(outer.y1 - box.y1, 0.0), outer.height),
    }


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of an edge: from where to where on the plane, from the left or from below, and how much has ink."""

    start: float
    end: float
    inked: float


@dataclass(frozen=True, slots=True)
class Run:
    """Ink along an edge of the trim that does not go on over the bleed.

    Attributes:
        length: How long in all, mm.
        stretches: Where.
    """

    length: float
    stretches: tuple[Stretch, ...]


def edge_runs(plane: Plane, trim: Box, bleed: float) -> Mapping[Edge, Run]:
    """Return where ink runs along each edge of the trim without going on over the bleed.

    Args:
        plane: The plane, trim and bleed.
        trim: The trim on it, mm.
        bleed: How far the plane goes beyond the trim, mm.
    """
    inside = _strips(plane, trim, AT_EDGE)
    beyond = _strips(plane, trim.grown(bleed), AT_EDGE) if bleed > AT_EDGE else {}
    found: dict[Edge, Run] = {}
    for edge, strip in inside.items():
        inked = strip >= _INK
        if edge in beyond:
            outer = beyond[edge] >= _INK
            skip = (len(outer) - len(inked)) // 2
            inked = inked & ~outer[skip : skip + len(inked)]
        found[edge] = _run(plane, trim, inked, level=edge in ("top", "bottom"))
    return found


def _run(plane: Plane, trim: Box, inked: npt.NDArray[np.bool_], *, level: bool) -> Run:
    rows, columns = plane.pixels.cells(trim)
    pitch = plane.pitch
    found = []
    for first, last in stretches(inked, ONE_STRETCH / pitch):
        # Pixels run from the left, and from the top down.
        start, end = (columns.start + first, columns.start + last) if level else (rows.start + first, rows.start + last)
        if not level:
            start, end = plane.tones.shape[0] - end, plane.tones.shape[0] - start
        found.append(Stretch(start * pitch, end * pitch, float(inked[first:last].sum()) * pitch))
    return Run(float(inked.sum()) * pitch, tuple(found))


def _strips(plane: Plane, box: Box, depth: float) -> dict[Edge, npt.NDArray[np.uint8]]:
    """Return the darkest tones along the inner side of each edge of a box."""
    rows, columns = plane.pixels.cells(box)
    deep = max(round(depth / plane.pitch), 1)
    tones = plane.tones[rows, columns]
    if not tones.size:
        return {}
    return {
        "left": tones[:, :deep].max(axis=1),
        "right": tones[:, -deep:].max(axis=1),
        "top": tones[:deep].max(axis=0),
        "bottom": tones[-deep:].max(axis=0),
    }


#: Crop marks: how long they are, how thick at most, and how far from the page's corner they lie, mm. Own choices, for
#: what layout programs draw.
_MARK_LENGTH, _MARK_WIDTH, _MARK_REACH = (2.0, 15.0), 1.1, 20.0
#: How many corners must have them.
_CORNERS = 3


def corner_marks(plane: Plane, parts: Parts, trim: Box) -> Box | None:
    """Return the rectangle that crop marks drawn inside the page point at, mm; None if there are none.

    A corner has crop marks if a level and an upright line near it, alone and short, would meet inside the page where
    both point, and neither reaches that point.
    """
    means = plane.means
    if not len(parts):
        return None
    wide, high = (parts.right - parts.left) * means.pitch, (parts.bottom - parts.top) * means.pitch
    long = (np.maximum(wide, high) >= _MARK_LENGTH[0]) & (np.maximum(wide, high) <= _MARK_LENGTH[1])
    thin = np.minimum(wide, high) <= _MARK_WIDTH
    boxes = [
        means.box(parts.top[i], parts.left[i], parts.bottom[i], parts.right[i])
        for i in np.flatnonzero(long & thin)[:400]
    ]
    met = [point for corner in _corners(trim) if (point := _pointed_at(boxes, corner, trim)) is not None]
    if len(met) < _CORNERS:
        return None
    xs, ys = zip(*met, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _corners(trim: Box) -> tuple[tuple[float, float], ...]:
    return ((trim.x0, trim.y0), (trim.x1, trim.y0), (trim.x0, trim.y1), (trim.x1, trim.y1))


def _pointed_at(boxes: list[Box], corner: tuple[float, float], trim: Box) -> tuple[float, float] | None:
    """Return the point inside the page that two marks by a corner point at."""
    x, y = corner
    into = (1 if x == trim.x0 else -1, 1 if y == trim.y0 else -1)
    near = [b for b in boxes if abs(b.centre[0] - x) <= _MARK_REACH and abs(b.centre[1] - y) <= _MARK_REACH]
    for level in (b for b in near if b.width > b.height):
        for upright in (b for b in near if b.height > b.width):
            point = upright.centre[0], level.centre[1]
            # The level mark ends before the upright's line, on the corner's side of it; and the other way round.
            tip_x = level.x1 if into[0] > 0 else level.x0
            tip_y = upright.y1 if into[1] > 0 else upright.y0
            ahead = (point[0] - tip_x) * into[0], (point[1] - tip_y) * into[1]
            inside = (point[0] - x) * into[0] > AT_EDGE and (point[1] - y) * into[1] > AT_EDGE
            if inside and all(-0.5 <= gap <= _MARK_REACH for gap in ahead):
                return point
    return None


def edge_details(plane: Plane, parts: Parts, trim: Box, within: float) -> Mapping[Edge, Detail]:
    """Return the fine detail nearest to each edge of the trim, if it is nearer than `within` mm.

    Fine detail is a part of the ink that is small, or drawn in lines, and lies wholly inside the trim: what runs to
    the edge is meant to be cut, and a large shape may lie anywhere.
    """
    means = plane.means
    if not len(parts):
        return {}
    wide, high = (parts.right - parts.left) * means.pitch, (parts.bottom - parts.top) * means.pitch
    area = parts.pixels * means.pitch**2
    fine = (np.maximum(wide, high) <= _SMALL) | (area <= _LINE * np.maximum(wide, high))
    distances = _distances(plane, parts.left, parts.right, parts.top, parts.bottom, trim)
    fine &= area >= _GRAIN
    crossing = {edge: fine & (distance <= AT_EDGE) for edge, distance in distances.items()}
    fine &= np.min(list(distances.values()), axis=0) > AT_EDGE
    found: dict[Edge, Detail] = {}
    for edge, distance in distances.items():
        near = np.flatnonzero(fine & (distance < within))
        if len(near):
            first = near[int(distance[near].argmin())]
            box = means.box(parts.top[first], parts.left[first], parts.bottom[first], parts.right[first])
            along = (parts.top, parts.bottom) if edge in ("left", "right") else (parts.left, parts.right)
            middles = (along[0] + along[1]) / 2
            beside = crossing[edge] & (np.abs(middles - middles[first]) * means.pitch <= _BESIDE)
            found[edge] = Detail(float(distance[first]), box, int(np.count_nonzero(beside)))
    return found


def _distances(
    plane: Plane,
    left: npt.NDArray[np.integer],
    right: npt.NDArray[np.integer],
    top: npt.NDArray[np.integer],
    bottom: npt.NDArray[np.integer],
    trim: Box,
) -> dict[Edge, npt.NDArray[np.float64]]:
    """Return how far cells of the plane of means lie from each edge of the trim, mm."""
    height = plane.size.height
    first, last, high, low = ((cells * plane.means.pitch).astype(np.float64) for cells in (left, right, top, bottom))
    return {
        "left": first - trim.x0,
        "right": trim.x1 - last,
        "top": trim.y1 - height + high,
        "bottom": height - trim.y0 - low,
    }
