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

import numpy as np
import numpy.typing as npt

from imposer.geometry import Box
from imposer.tones.coverage import window_sums
from imposer.tones.plane import Plane, Raster

Singles = npt.NDArray[np.float32]

#: Rulings looked for, lines per inch. Common practice, no source: presses of this kind offer about 38 to 200.
COARSEST, FINEST = 25.0, 220.0
#: Width of a patch, mm, before it is rounded to a power of two of pixels: eight rows of the coarsest usual screen.
_PATCH = 5.4
#: A cell whose tones span this much has an edge in it; a patch with this share of such cells is worth a look.
_EDGE, _BUSY = 64, 0.25
#: Patches transformed.
_LOOKS = 16
#: The two frequencies of a lattice hold at least this part of a patch's change; type reaches a tenth of it.
_PURITY = 0.20
#: The weaker of the two has at least this part of the stronger; a hatching's has next to nothing.
_BALANCE = 0.20
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
        boxes: Where it lies, mm, in patches of about 5 mm put together along the rows; none overlap.
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
    busy = _busy_patches(plane, side)
    seen = [look for top, left in _choose(busy) if (look := _look(plane, top, left, side)) is not None]
    alike = _agreeing(seen)
    if len(alike) < _AGREE:
        return None
    sharp = _sharpen(plane, alike[0], side)
    spots = [
        (top, left) for _, top, left in sorted(busy, key=lambda one: one[1:]) if _has(plane, sharp, top, left, side)
    ]
    boxes = tuple(_joined(plane.pixels, spots, side))
    area = plane.size.width * plane.size.height
    return Screen(
        ruling=sharp.frequency * plane.ppi,
        angle=sharp.angle,
        boxes=boxes,
        share=sum(box.width * box.height for box in boxes) / area,
    )


def _busy_patches(plane: Plane, side: int) -> list[tuple[float, int, int]]:
    """Return share of cells with edges, top and left of the patches that have many; patches lie side by side."""
    edges = (plane.most.values - plane.least.values) >= _EDGE
    factor = plane.least.pitch / plane.pitch
    cells = max(round(side / factor), 1)
    sums = window_sums(edges, min(cells, edges.shape[0]), min(cells, edges.shape[1]))
    tops, lefts = (np.arange(0, extent - side + 1, side) for extent in plane.tones.shape)
    rows, columns = (
        np.minimum(np.round(at / factor).astype(np.intp), last - 1)
        for at, last in zip((tops, lefts), sums.shape, strict=True)
    )
    shares = sums[np.ix_(rows, columns)] / cells**2
    found = np.argwhere(shares >= _BUSY)
    return [(float(shares[i, j]), int(tops[i]), int(lefts[j])) for i, j in found]


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
    fade = np.hanning(side).astype(np.float32)
    faded: Singles = (patch - patch.mean()) * fade * fade[:, None]
    return faded


def _power(plane: Plane, top: int, left: int, side: int) -> Singles:
    """Return the power of frequencies down (-side/2 … side/2 - 1, 0 in the middle) and across (0 … side/2)."""
    spectrum = np.fft.rfft2(_windowed(plane, top, left, side))
    return np.fft.fftshift(np.abs(spectrum) ** 2, axes=0).astype(np.float32)


def _ring(side: int, ppi: float) -> npt.NDArray[np.bool_]:
    """Tell which of these frequencies may be a screen's."""
    down, across = np.arange(side)[:, None] - side // 2, np.arange(side // 2 + 1)
    frequency = np.hypot(down, across) / side
    ring: npt.NDArray[np.bool_] = (frequency >= COARSEST / ppi) & (frequency <= min(FINEST / ppi, 0.4))
    return ring


def _look(plane: Plane, top: int, left: int, side: int) -> _Look | None:
    """Return the lattice that a patch shows."""
    power = _power(plane, top, left, side)
    ring = _ring(side, plane.ppi)
    place = int(np.where(ring, power, 0).argmax())
    row, column = divmod(place, power.shape[1])
    down, across = row - side // 2, column
    coarse = np.hypot(np.arange(side)[:, None] - side // 2, np.arange(side // 2 + 1)) * plane.ppi / side < COARSEST / 2
    whole = float(np.where(coarse, 0, power).sum(dtype=np.float64))
    first = _lump(power, down, across)
    second = max(
        (_lump(power, across + y, -down + x) for y in (-1, 0, 1) for x in (-1, 0, 1)),
        default=0.0,
    )
    if whole <= 0 or first + second < _PURITY * whole or second < _BALANCE * first:
        return None
    return _Look(*_top(power, down, across, side), top, left)


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


def _sharpen(plane: Plane, look: _Look, side: int) -> _Look:
    """Look again at a larger patch, if the plane has room: four times as wide, four times as sharp."""
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
    sharp = _top(power, rows.start + row - large // 2, columns.start + column, large)
    found = _Look(*sharp, look.top, look.left)
    return found if _alike(found, look) else look


def _has(plane: Plane, look: _Look, top: int, left: int, side: int) -> bool:
    """Tell whether a patch has the lattice: whether its change lies in these two frequencies."""
    patch = _windowed(plane, top, left, side)
    places = np.arange(side)
    held = 0.0
    for down, across in ((look.down, look.across), (look.across, -look.down)):
        # The waves of a step to either side too: the picture's own tones spread a screen's frequency.
        steps = np.array((-1, 0, 1))[:, None] / side
        rows, columns = (np.exp(-2j * np.pi * (f + steps) * places).astype(np.complex64) for f in (down, across))
        held += float((np.abs(rows @ patch @ columns.T) ** 2).sum())
    # Parseval: the power of all frequencies, of which a real picture has each twice, is side² times that of the pixels.
    whole = float((patch * patch).sum(dtype=np.float64)) * side * side / 2
    return whole > 0 and held > _PURITY / 2 * whole


def _joined(pixels: Raster, spots: list[tuple[int, int]], side: int) -> Iterator[Box]:
    """Return the boxes of patches, those that follow one another along a row put together."""
    start: tuple[int, int] | None = None
    for index, (top, left) in enumerate(spots):
        start = start or (top, left)
        following = spots[index + 1] if index + 1 < len(spots) else None
        if following != (top, left + side):
            yield pixels.box(start[0], start[1], top + side, left + side)
            start = None
