"""Lines, and gaps between ink, that are thinner than a limit, at true size.

What an opening by a disc of the limit's width takes away is a candidate: thin strokes, but also corners, dots and
rough edges. Probes on these tell the strokes by their length and by a width measured from the grey of their edges.
Screened pictures are full of thin shapes; areas known to be screened are left out by the caller.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box
from imposer.tones.coverage import LEAST_INK, mean_tone
from imposer.tones.packed import WIDEST_DISC, Packed, opened, pack, pack_pairs
from imposer.tones.plane import Plane
from imposer.tones.stroke_extents import HALF_WINDOW, are_long, extents
from imposer.tones.stroke_probes import Prober

#: A line's pixel has at least a fifth of full tone: half of a hairline's, when it falls on two pixels.
_LINE_TONE = 51
#: A gap's pixel has less than three fifths: its sides may be a solid held to 70 %.
_GAP_TONE = 153
#: A stroke is at least this many times the limit long; what is shorter is a dot, a corner or a serif's tip.
_LENGTH = 2.5
#: Candidates looked at closely. They are spread evenly over the plane, so a share of them is a share of the plane.
_PROBES = 300
#: From this limit on, pixels, squares of 2 × 2 are sieved: a fourth of the work, and the probes see the pixels anyway.
_PAIRED = 6.0
#: A width is measured to about a tenth of a pixel and some per cent; nearer to the limit it is not told as thinner.
_UNSURE_PIXELS, _UNSURE_SHARE = 0.1, 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Thin:
    """Strokes thinner than a limit.

    Attributes:
        width: The thinnest, mm.
        box: Where it is, mm: a stretch of it of some millimetres at most.
        area: Area of all such strokes, mm², estimated from the candidates looked at: mostly within a fifth, within a
            half for gaps of a pixel or two.
        share: That area as a part of the plane's ink, 0 … 1.
    """

    width: float
    box: Box
    area: float
    share: float


def thin_lines(plane: Plane, limit: float, without: Sequence[Box] = ()) -> Thin | None:
    """Return the lines thinner than `limit` mm; None if there are none.

    Args:
        plane: The plane. Lines on a ground of more than a fifth of full tone are not seen.
        limit: The least width, mm; at most 29 pixels.
        without: Boxes to leave out, mm, such as screened pictures.
    """
    return _find(plane, limit, without, gaps=False)


def thin_gaps(plane: Plane, limit: float, without: Sequence[Box] = ()) -> Thin | None:
    """Return the gaps between ink, reversed lines among them, thinner than `limit` mm; None if there are none.

    Args:
        plane: The plane. Gaps in a ground lighter than 65 % are not seen.
        limit: The least width, mm; at most 29 pixels.
        without: Boxes to leave out, mm, such as screened pictures.
    """
    return _find(plane, limit, without, gaps=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strokes:
    """Candidates that are strokes, in pixels.

    Attributes:
        width: Width of the thinnest.
        area: Area of all.
        extent: Where the thinnest runs near the point looked at: first row and column, and those past the last.
    """

    width: float
    area: float
    extent: tuple[int, int, int, int]


def _find(plane: Plane, limit: float, without: Sequence[Box], *, gaps: bool) -> Thin | None:
    pixels = limit / plane.pitch
    if pixels > WIDEST_DISC - 3:
        raise ValueError(f"a limit of {limit} mm is {pixels:.0f} pixels, more than can be looked for")
    rows, columns = _inked(plane, math.ceil(pixels) + 4)
    if rows.stop == rows.start:
        return None
    to_plane = (columns.start * plane.pitch, plane.size.height - rows.stop * plane.pitch)
    part = Plane(plane.tones[rows, columns], plane.ppi)
    found = _find_in(part, pixels, [box.moved(-to_plane[0], -to_plane[1]) for box in without], gaps=gaps)
    if not found:
        return None
    thinnest = min(found, key=lambda strokes: strokes.width)
    area = max(strokes.area for strokes in found) * plane.pitch**2
    return Thin(
        width=thinnest.width * plane.pitch,
        box=part.pixels.box(*thinnest.extent).moved(*to_plane),
        area=area,
        share=min(area / (mean_tone(plane) * plane.size.width * plane.size.height), 1.0),
    )


def _inked(plane: Plane, around: int) -> tuple[slice, slice]:
    """Return the rows and columns that hold ink, and some more, for nothing lies in the rest."""
    sides = []
    for darkest in (plane.row_most, plane.column_most):
        inked = np.flatnonzero(darkest >= LEAST_INK)
        if not len(inked):
            return slice(0, 0), slice(0, 0)
        sides.append(slice(max(int(inked[0]) - around, 0), min(int(inked[-1]) + around + 1, len(darkest))))
    return sides[0], sides[1]


def _find_in(plane: Plane, limit: float, without: Sequence[Box], *, gaps: bool) -> list[_Strokes]:
    """Return the strokes thinner than `limit` pixels that each sieve finds."""
    least = _GAP_TONE if gaps else _LINE_TONE
    step = 2 if limit >= _PAIRED else 1
    # A pair of pixels is marked if one is: a stroke covers up to one pair more than its width has.
    widest = math.ceil(limit / step - 1e-6) + step
    # What lies beyond the plane counts as marked: a stroke cut by its edge is not thin for that.
    margin = max(2 * widest, HALF_WINDOW + 1)
    packing = pack_pairs if step == 2 else pack
    marks = _Marks(packing(plane.tones, least, below=gaps, margin=margin, outside=True), step)
    prober = Prober(plane.tones, 256 - least if gaps else least, limit, inverted=gaps)
    # The coarser sieve alone would bury one hairline under a thousand corners; the finer one holds few of these.
    found = (_strokes(plane, marks, prober, diameter, limit, without) for diameter in _sieves(widest))
    return [strokes for strokes in found if strokes]


def _sieves(widest: int) -> tuple[int, ...]:
    """Return the diameters to open by: about a third of the limit, and just over it."""
    return tuple(sorted({max(widest // 3, 2), widest}))


@dataclass(frozen=True, slots=True, eq=False)
class _Marks:
    """Marked pixels, or squares of them: the mask and the side of a square in pixels."""

    mask: Packed
    step: int


def _strokes(
    plane: Plane, marks: _Marks, prober: Prober, diameter: int, limit: float, without: Sequence[Box]
) -> _Strokes | None:
    """Return the strokes thinner than `limit` pixels among what an opening takes away; None if there are none."""
    mask, step = marks.mask, marks.step
    taken = ~opened(mask, diameter).words
    taken &= mask.words
    removed = mask.with_words(taken).inside()
    flat = removed.words.reshape(-1)
    places = np.flatnonzero(flat != 0)
    looked_at = places[np.linspace(0, len(places) - 1, min(len(places), _PROBES)).astype(np.intp)]
    weight = np.bitwise_count(flat[looked_at]) * (len(places) / max(len(looked_at), 1)) * step**2
    cells = removed.positions(looked_at, _inner_bit(flat[looked_at]))
    rows, columns = cells if step == 1 else prober.most_marked(cells[0] * step, cells[1] * step)
    kept = np.flatnonzero(_beside(plane, rows, columns, without))
    # In cells of the mask: most candidates are dots and corners, and these go first.
    kept = kept[are_long(removed, cells[0][kept], cells[1][kept], min(_LENGTH * max(limit, 2) / step, HALF_WINDOW))]
    narrow, across = prober.glance(rows[kept], columns[kept])
    kept, across = kept[narrow], across[narrow]
    probed = prober.probe(rows[kept], columns[kept], across)
    thin = np.flatnonzero(probed.width < limit - _UNSURE_PIXELS - _UNSURE_SHARE * limit)
    if not len(thin):
        return None
    thinnest = thin[[int(probed.width[thin].argmin())]]
    extent = extents(removed, cells[0][kept[thinnest]], cells[1][kept[thinnest]])[:, 0] * step
    area = weight[kept[thin]] * np.minimum(probed.crossing[thin] / (probed.pixels[thin] + step - 1), 1)
    return _Strokes(
        width=float(probed.width[thinnest[0]]),
        area=float(area.sum()),
        extent=(int(extent[0]), int(extent[1]), int(extent[2]) + step, int(extent[3]) + step),
    )


def _inner_bit(words: npt.NDArray[np.uint64]) -> npt.NDArray[np.intp]:
    """Return the place of a set bit of words that have one: the first of the upper half, or of all.

    A row of candidates often begins or ends in a word; its end, where a stroke has no width yet, is passed by.
    """
    upper = words & np.uint64(0xFFFFFFFF00000000)
    chosen = np.where(upper != 0, upper, words)
    lowest = chosen & (~chosen + np.uint64(1))
    place: npt.NDArray[np.intp] = np.bitwise_count(lowest - np.uint64(1)).astype(np.intp)
    return place


def _beside(
    plane: Plane, rows: npt.NDArray[np.intp], columns: npt.NDArray[np.intp], boxes: Sequence[Box]
) -> npt.NDArray[np.bool_]:
    """Tell which pixels lie in none of the boxes."""
    beside = np.ones(len(rows), dtype=np.bool_)
    for box in boxes:
        high, wide = plane.pixels.cells(box)
        beside &= ~((rows >= high.start) & (rows < high.stop) & (columns >= wide.start) & (columns < wide.stop))
    return beside
