"""Art that was screened before it came: dots in a square lattice, with their ruling and angle.

A patch of a screen has nearly all its change in one frequency and the one across it, whatever the picture's tones;
type, drawings and grain spread theirs, and hatching has one direction only. So patches of some 5 mm with much change
are looked at by Fourier transform, and a screen is one that several of them agree on. A drawing hatched crosswise by a
ruler is a lattice too, and is taken for a screen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box
from imposer.tones.coverage import window_sums
from imposer.tones.plane import Mask, Plane, fold

Singles = npt.NDArray[np.float32]

#: Rulings looked for, lines per inch. Common practice, no source: presses of this kind offer about 38 to 200.
COARSEST, FINEST = 25.0, 220.0
#: Width of a patch, mm, before it is rounded to a power of two of pixels: eight rows of the coarsest usual screen.
_PATCH = 5.4
#: A cell whose tones span this much has an edge in it; a patch with this share of such cells is worth a look.
_EDGE, _BUSY = 64, 0.25
#: Once a screen is known, patches with this share are held against it: a picture's edge may fill only part of one.
_TOUCHED = 0.02
#: Cells are counted in fours, along each side, where that goes.
_FOLD = 4
#: Patches transformed.
_LOOKS = 12
#: The two frequencies of a lattice hold at least this part of a patch's change; type reaches a tenth of it.
_PURITY = 0.20
#: And a patch four times as wide shows them as sharp lines that hold this part of its change: screens were measured
#: with a quarter and more there, type drawn up smoothly with a twelfth at most. A working value of our own.
_PURITY_WIDE = 0.12
#: The weaker of the two has at least this part of the stronger; a hatching's has next to nothing.
_BALANCE = 0.20
#: A patch with this many neighbours of the screen, of four, is of it too.
_SURROUNDED = 3
#: Patches are of one screen if their rulings agree to this part, and their angles to this many degrees.
_SAME_RULING, _SAME_ANGLE = 0.06, 4.0
#: Fewer patches that agree prove nothing.
_AGREE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A screen found in the art.

    Attributes:
        ruling: Rows of dots an inch.
        angle: Of the rows, degrees counter-clockwise from the horizontal, 0 ≤ angle < 90.
        boxes: Where it lies, mm, in patches of about 5 mm put together along the rows and cut back to where their edges
            begin; none overlap.
        share: Their part of the plane's area, 0 … 1.
    """

    ruling: float
    angle: float
    boxes: tuple[Box, ...]
    share: float


@dataclass(frozen=True, slots=True)
class _Look:
    """A lattice seen in a patch: cycles a pixel across and down, and where the patch is."""

    across: float
    down: float
    top: int
    left: int

    @property
    def frequency(self) -> float:
        return math.hypot(self.across, self.down)

    @property
    def angle(self) -> float:
        angle = math.degrees(math.atan2(-self.down, self.across)) % 90
        return angle if angle < 89.995 else 0.0


def find_screen(plane: Plane) -> Screen | None:
    """Return the screen that a plane's art already has; None if there is none.

    Needs at least two and a half pixels a row of dots: at 300 pixels an inch, screens up to 120 lines.
    """
    side = 1 << round(math.log2(_PATCH / plane.pitch))
    if min(plane.tones.shape) < side:
        return None
    patches = _patches(plane, side)
    busy = [patch for patch in patches if patch[0] >= _BUSY]
    seen = [look for top, left in _choose(busy) if (look := _look(plane, top, left, side)) is not None]
    alike = _agreeing(seen)
    if len(alike) < _AGREE:
        return None
    sharp = _sharpen(plane, alike[0], side)
    if sharp is None:
        return None
    touched = sorted(patch[1:] for patch in patches if patch[0] >= _TOUCHED)
    has = {(top, left) for top, left in touched if _has(plane, sharp, top, left, side)}
    # Nearly bare and nearly solid places of a picture hardly show its lattice; their neighbours do.
    spots = [spot for spot in touched if spot in has or _neighbours(spot, has, side) >= _SURROUNDED]
    boxes = tuple(_joined(plane, spots, side))
    area = plane.size.width * plane.size.height
    return Screen(
        ruling=sharp.frequency * plane.ppi,
        angle=sharp.angle,
        boxes=boxes,
        share=sum(box.width * box.height for box in boxes) / area,
    )


def _patches(plane: Plane, side: int) -> list[tuple[float, int, int]]:
    """Return share of cells with edges, top and left of all patches that have any.

    Patches lie side by side; the last of a row or column lies at the plane's end and may cover part of another.
    """
    edges = _edges(plane)
    factor = plane.least.pitch / plane.pitch
    cells = max(round(side / factor), 1)
    counts: npt.NDArray[np.uint8] = edges.view(np.uint8)
    if cells % _FOLD == 0:
        counts, cells, factor = fold(fold(counts, _FOLD, 0, np.add), _FOLD, 1, np.add), cells // _FOLD, factor * _FOLD
    sums = window_sums(counts, min(cells, counts.shape[0]), min(cells, counts.shape[1]))
    tops, lefts = (
        np.unique(np.append(np.arange(0, extent - side + 1, side), extent - side)) for extent in plane.tones.shape
    )
    rows, columns = (
        np.minimum(np.round(at / factor).astype(np.intp), last - 1)
        for at, last in zip((tops, lefts), sums.shape, strict=True)
    )
    shares = sums[np.ix_(rows, columns)] / (side * plane.pitch / plane.least.pitch) ** 2
    down, across = np.nonzero(shares)
    return list(zip(shares[down, across].tolist(), tops[down].tolist(), lefts[across].tolist(), strict=True))


def _edges(plane: Plane) -> Mask:
    """Return the cells of the planes of least and greatest tones that have an edge in them."""
    edges: Mask = (plane.most.values - plane.least.values) >= _EDGE
    return edges


def _choose(busy: list[tuple[float, int, int]]) -> Iterator[tuple[int, int]]:
    """Return patches to look at: the busiest, and some of the rest, spread evenly."""
    ranked = sorted(busy, reverse=True)
    rest = ranked[_LOOKS // 2 :]
    step = max(len(rest) // (_LOOKS - _LOOKS // 2), 1)
    for _, top, left in ranked[: _LOOKS // 2] + rest[::step][: _LOOKS - _LOOKS // 2]:
        yield top, left


def _windowed(plane: Plane, top: int, left: int, side: int) -> Singles:
    """Return a patch less its mean, faded out towards its edges by a Hann window."""
    patch = plane.tones[top : top + side, left : left + side].astype(np.float32)
    fade = _fade(side)
    faded: Singles = (patch - patch.mean()) * fade * fade[:, None]
    return faded


@cache
def _fade(side: int) -> Singles:
    return np.hanning(side).astype(np.float32)


def _power(plane: Plane, top: int, left: int, side: int) -> Singles:
    """Return the power of frequencies down (-side/2 … side/2 - 1, 0 in the middle) and across (0 … side/2)."""
    spectrum = np.fft.rfft2(_windowed(plane, top, left, side))
    return np.fft.fftshift(np.abs(spectrum) ** 2, axes=0).astype(np.float32)


@cache
def _rings(side: int, ppi: float) -> tuple[Singles, Singles]:
    """Return weights, 1 or 0, of the frequencies that may be a screen's, and of those that are no slow change."""
    down, across = np.arange(side)[:, None] - side // 2, np.arange(side // 2 + 1)
    frequency = np.hypot(down, across) / side
    ring = (frequency >= COARSEST / ppi) & (frequency <= min(FINEST / ppi, 0.4))
    return ring.astype(np.float32), (frequency >= COARSEST / ppi / 2).astype(np.float32)


def _look(plane: Plane, top: int, left: int, side: int) -> _Look | None:
    """Return the lattice that a patch shows."""
    power = _power(plane, top, left, side)
    ring, quick = _rings(side, plane.ppi)
    row, column = divmod(int((power * ring).argmax()), power.shape[1])
    down, across = row - side // 2, column
    whole = _summed(power, quick)
    first = _lump(power, down, across)
    if whole <= 0 or first < _PURITY / 2 * whole:
        return None
    second = _across(power, down, across)
    if first + second < _PURITY * whole or second < _BALANCE * first:
        return None
    return _Look(*_top(power, down, across, side), top, left)


def _summed(power: Singles, weights: Singles) -> float:
    """Return the power under weights; not as a product of vectors, which libraries share out over waiting threads."""
    return float(np.einsum("ij,ij->", power, weights))


def _across(power: Singles, down: int, across: int) -> float:
    """Return the power round the frequency at a right angle to one, as near as steps go."""
    return max(_lump(power, across + y, -down + x) for y in (-1, 0, 1) for x in (-1, 0, 1))


def _held(power: Singles, down: int, across: int) -> float:
    """Return the power of a lattice: round one frequency and round the one across it."""
    return _lump(power, down, across) + _across(power, down, across)


def _lump(power: Singles, down: int, across: int) -> float:
    """Return the power round one frequency; that of a negative one is its opposite's."""
    side = len(power)
    if across < 0:
        down, across = -down, -across
    row = down + side // 2
    if not (1 <= row < side - 1 and across < power.shape[1] - 1):
        return 0.0
    return float(power[row - 1 : row + 2, max(across - 1, 0) : across + 2].sum(dtype=np.float64))


def _top(power: Singles, down: int, across: int, side: int) -> tuple[float, float]:
    """Return the peak's frequency across and down to a part of a step, cycles a pixel: its lump's centre of gravity."""
    rows = np.arange(max(down - 1, -side // 2), min(down + 2, side // 2))
    columns = np.arange(across - 1, across + 2)
    # A Hann window spreads a lone frequency over three steps in the amplitudes 1 : 2 : 1 when it falls on a step.
    lump = np.sqrt(power[np.ix_(rows + side // 2, np.minimum(np.abs(columns), power.shape[1] - 1))].astype(np.float64))
    return _between(lump.sum(axis=0), columns) / side, _between(lump.sum(axis=1), rows) / side


def _between(weights: npt.NDArray[np.float64], places: npt.NDArray[np.intp]) -> float:
    """Return where a frequency lies between steps, from the amplitudes of three under a Hann window."""
    if len(weights) < 3:
        return float(places[int(weights.argmax())])
    before, here, after = weights
    # Exact for the two largest of three: their ratio r tells the part of a step, (2 r - 1) / (r + 1).
    side, ratio = (1, after / here) if after >= before else (-1, before / here)
    return float(places[1] + side * min(max((2 * ratio - 1) / (ratio + 1), -0.5), 0.5))


def _agreeing(seen: list[_Look]) -> list[_Look]:
    """Return the largest group of patches of one screen, the one nearest to the rest first."""
    groups = [[other for other in seen if _alike(look, other)] for look in seen]
    if not groups:
        return []
    best = max(range(len(seen)), key=lambda i: len(groups[i]))
    return [seen[best], *(look for look in groups[best] if look is not seen[best])]


def _alike(one: _Look, other: _Look) -> bool:
    turn = abs(one.angle - other.angle)
    ruling = abs(one.frequency / other.frequency - 1)
    return ruling <= _SAME_RULING and min(turn, 90 - turn) <= _SAME_ANGLE


def _sharpen(plane: Plane, look: _Look, side: int) -> _Look | None:
    """Look again at a larger patch, if the plane has room: four times as wide, four times as sharp.

    Words of a smooth line that happen to be as far apart as the lines show a lattice in one patch, but no sharp one.
    """
    height, width = plane.tones.shape
    large = min(4 * side, 1 << int(math.log2(min(height, width))))
    top = min(max(look.top - (large - side) // 2, 0), height - large)
    left = min(max(look.left - (large - side) // 2, 0), width - large)
    power = _power(plane, top, left, large)
    down, across = round(look.down * large), round(look.across * large)
    rows = slice(max(down + large // 2 - 3, 1), min(down + large // 2 + 4, large - 1))
    columns = slice(max(across - 3, 0), across + 4)
    near = power[rows, columns]
    row, column = divmod(int(near.argmax()), near.shape[1])
    down, across = rows.start + row - large // 2, columns.start + column
    _, quick = _rings(large, plane.ppi)
    if _held(power, down, across) < _PURITY_WIDE * _summed(power, quick):
        return None
    found = _Look(*_top(power, down, across, large), look.top, look.left)
    return found if _alike(found, look) else look


def _has(plane: Plane, look: _Look, top: int, left: int, side: int) -> bool:
    """Tell whether a patch has the lattice: whether its change lies in these two frequencies."""
    power = _power(plane, top, left, side)
    _, quick = _rings(side, plane.ppi)
    down, across = round(look.down * side), round(look.across * side)
    held = _lump(power, down, across) + _lump(power, across, -down)
    return held > _PURITY / 2 * _summed(power, quick)


def _neighbours(spot: tuple[int, int], spots: set[tuple[int, int]], side: int) -> int:
    """Count the patches beside a patch, above and below it that are among these."""
    top, left = spot
    return sum((top + down, left + across) in spots for down, across in ((side, 0), (-side, 0), (0, side), (0, -side)))


def _joined(plane: Plane, spots: list[tuple[int, int]], side: int) -> Iterator[Box]:
    """Return the boxes of patches, those that follow one another along a row put together, none over another.

    Where no patch follows, a box ends where the last edges lie: a screen seldom fills the patches of its rim.
    """
    # Patches at the plane's end begin where the ones before them stop.
    height, width = (extent // side * side for extent in plane.tones.shape)
    rows: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for top, left in spots:
        row = rows.setdefault((top if top % side == 0 else height, top + side), [])
        start = left if left % side == 0 else width
        if row and row[-1][1] == start:
            row[-1] = row[-1][0], left + side
        else:
            row.append((start, left + side))
    edges = _edges(plane)
    factor = plane.least.pitch / plane.pitch
    for (top, bottom), runs in rows.items():
        above = [run for (_, end), others in rows.items() if end == top for run in others]
        below = [run for (start, _), others in rows.items() if start == bottom for run in others]
        for left, right in runs:
            within = edges[round(top / factor) : round(bottom / factor), round(left / factor) : round(right / factor)]
            down, across = (np.flatnonzero(within.any(axis=axis)) for axis in (1, 0))
            if not len(down):
                continue
            first, last = (round(at * factor) for at in (down[0], down[-1] + 1))
            yield plane.pixels.box(
                top if _meets(above, left, right) else top + first,
                left + round(across[0] * factor),
                bottom if _meets(below, left, right) else min(top + last, bottom),
                min(left + round((across[-1] + 1) * factor), right),
            )


def _meets(runs: list[tuple[int, int]], left: int, right: int) -> bool:
    """Tell whether one of the runs lies over or under some of these columns."""
    return any(start < right and left < end for start, end in runs)
