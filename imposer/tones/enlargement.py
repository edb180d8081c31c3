"""Bitmaps drawn up: art at high resolution that holds the detail of a low one.

An enlargement leaves the old pixels' grid behind. Drawn up without smoothing, tones change only at the borders of the
old pixels. Drawn up with smoothing, the tones' second differences swell and shrink with the old grid (A. C. Gallagher,
Detection of linear and cubic interpolation in JPEG compressed images, 2005), and detail finer than the old pixels is
missing. Soft art has no grid, and art from a camera's files has the grid of their 8 × 8 blocks but finer detail;
neither is taken for an enlargement. A pattern drawn at its own resolution has a grid, too, that of its period: but its
edges are sharper than old pixels drawn smoothly could be, or it leaves out places of the grid or says one thing over
and over, which old pixels do not. What is drawn up smoothly twice or less, is made bilevel afterwards, or is
sharpened strongly, is not found.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import Literal

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Plane, Tones

Numbers = npt.NDArray[np.float64]
Way = Literal["blocks", "smooth"]

#: Bands of rows, and of columns, that are looked at, and the pixels across each: half a line of a processor's cache.
_BANDS, _BAND = 6, 32
#: Of a band's rows every so many are looked at one by one.
_EVERY = 4
#: Planes narrower than this have too few old pixels to show a grid; an own choice.
_SHORTEST = 256
#: Factors looked for.
_LEAST_FACTOR, _GREATEST_FACTOR = 1.95, 24.0
#: Blocks looked for are no wider than this many to an inch: what is laid out in whole mm has borders at 25.4 places an
#: inch, and the coarsest art that comes is a screen's, of 72. A working value of our own between the two.
_COARSEST_PPI = 40.0
#: A step of tone that counts as a border of two pixels: more than a compressed picture's ripple.
_BORDER = 8
#: Borders needed before their places mean anything, and how well they must keep to a grid, 0 … 1.
_FEWEST_BORDERS, _IN_STEP = 24, 0.85
#: Neighbours of a border's place on the grid that hold borders, too: none or few in a pattern whose cells take several
#: places, three in five and more in old pixels. A working value of our own between the two.
_FEWEST_NEIGHBOURS = 0.3
#: Patterns: the two commonest lengths of run make up this part of all (measured: up to 0.73 in bilevel type in blocks,
#: 0.89 and more in patterns), and steps of tone are of so few kinds. A picture in blocks has dozens of steps.
_ALIKE_RUNS, _FEW_STEPS = 0.8, 6.0
#: How sharp edges are, in old pixels: measured as 1.0 … 1.4 after interpolation, and as the whole factor where edges of
#: patterns are one pixel wide.
_SHARPEST = 1.6
#: A grid's line in the spectrum of second differences stands out this many times over the middle of all others.
_STANDS_OUT = 8.0
#: And that of both axes together, taken by the geometric mean; lines of type have spectra with strong lines, too.
_BOTH_STAND_OUT = 14.0
#: A grid has overtones; lines weaker than this part of the strongest are not looked at.
_STRONG = 0.4
#: Detail just finer than the old pixels, as part of that just coarser: less in an enlargement, more in native art.
_FINER_DETAIL = 0.1
#: Beside a picture's frame so many pixels are not looked at: as many as the widest old pixel has.
_FRAME = 24
#: The grid lies alike in all bands, 0 … 1: letters that repeat in lines of type do not.
_TOGETHER = 0.85
#: Side of a compressed picture's blocks, pixels (ITU-T T.81, A.1.1).
_COMPRESSION_BLOCK = 8
#: The factors found along both axes agree to this part.
_SAME_FACTOR = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Enlargement:
    """Art drawn up from fewer pixels.

    Attributes:
        factor: How many times, along a side.
        ppi: Pixels per inch that the art really has.
        way: "blocks" if every old pixel became a block, "smooth" if tones were drawn in between.
    """

    factor: float
    ppi: float
    way: Way


def find_enlargement(plane: Plane) -> Enlargement | None:
    """Return how the plane's art was drawn up; None if no sign of it is found.

    Art that is screened has a grid of its own: leave out planes where `screened.find_screen` finds one.
    """
    if min(plane.tones.shape) < _SHORTEST:
        return None
    bands = [_bands(plane, axis) for axis in (0, 1)]
    if any(not along for along in bands):
        return None
    blocks = [_block_factor(along, plane.ppi / _COARSEST_PPI) for along in bands]
    if (
        blocks[0]
        and blocks[1]
        and abs(blocks[0] / blocks[1] - 1) <= _SAME_FACTOR
        and not any(_is_pattern(along, factor) for along, factor in zip(bands, blocks, strict=True) if factor)
    ):
        return _enlargement(plane, (blocks[0] * blocks[1]) ** 0.5, "blocks")
    one = _grids(bands[0])
    # A grid seen along one axis alone is none.
    factor = _common_factor(one, _grids(bands[1])) if one else None
    return None if factor is None else _enlargement(plane, factor, "smooth")


def _enlargement(plane: Plane, factor: float, way: Way) -> Enlargement:
    return Enlargement(factor=factor, ppi=plane.ppi / factor, way=way)


@dataclass(frozen=True, slots=True)
class _Grid:
    """A grid seen along one axis: its factor, and how strongly its line stands out."""

    factor: float
    strength: float


def _bands(plane: Plane, axis: int) -> list[Tones]:
    """Return the bands with the most change in each part of the plane, their pixels across in rows.

    With axis 0 bands of rows, with axis 1 bands of columns, turned so that one reads along them in both cases.
    """
    # Between cells and not within them: an old pixel that fills a cell shows no change in it.
    cells = plane.most.values
    one, other = (cells[:, 1:], cells[:, :-1]) if axis == 0 else (cells[1:], cells[:-1])
    change = (np.maximum(one, other) - np.minimum(one, other)).sum(axis=1 - axis, dtype=np.uint32).astype(np.int64)
    factor = plane.least.pitch / plane.pitch
    wide = max(round(_BAND / factor), 1)
    found = []
    for part in np.array_split(np.arange(len(change)), _BANDS):
        if len(part) and change[part].any():
            sums = np.convolve(change[part], np.ones(min(wide, len(part))), mode="valid")
            start = round((part[0] + int(sums.argmax())) * factor)
            found.append(_band(plane.tones, axis, start))
    return found


def _band(tones: Tones, axis: int, start: int) -> Tones:
    """Return one band of rows, or of columns turned over to rows."""
    if axis == 0:
        return np.ascontiguousarray(tones[start : start + _BAND])
    # First out of the plane row by row, then turned where it is near the processor.
    return np.ascontiguousarray(np.ascontiguousarray(tones[:, start : start + _BAND]).T)


def _inner(band: Tones) -> Tones:
    """Return a band without the paper at its ends and the edge to it: a picture's frame is sharp whatever is in it."""
    inked, wide = np.flatnonzero(band.max(axis=0) > _BORDER), band.shape[1]
    if not len(inked):
        return band
    first, last = int(inked[0]), int(inked[-1]) + 1
    first, last = first + _FRAME if first else 0, last - _FRAME if last < wide else wide
    return band[:, first:last] if last - first >= _SHORTEST else band


def _block_factor(bands: list[Tones], widest: float) -> float | None:
    """Return the width of the blocks that borders keep to, in pixels."""
    borders = np.zeros(bands[0].shape[1] - 1)
    for band in bands:
        step = np.maximum(band[:, 1:], band[:, :-1]) - np.minimum(band[:, 1:], band[:, :-1])
        borders += (step > _BORDER).view(np.uint8).sum(axis=0, dtype=np.uint8)
    # A long edge says no more about the grid than a short one.
    weights = np.minimum(borders, 4)
    count = int((weights > 0).sum())
    if count < _FEWEST_BORDERS:
        return None
    spectrum = np.abs(np.fft.rfft(weights, _length(len(weights), 4))) / weights.sum()
    frequency = np.arange(len(spectrum)) / _length(len(weights), 4)
    wanted = (frequency >= 1 / min(widest, _GREATEST_FACTOR)) & (frequency <= 1 / _LEAST_FACTOR)
    if not wanted.any():
        return None
    in_step = np.where(wanted, spectrum, 0)
    if in_step.max() < _IN_STEP:
        return None
    # A grid of 8 is a grid of 4 and 2 as well: the coarsest is the old pixels'.
    first = int(np.flatnonzero(in_step >= max(_IN_STEP, 0.9 * in_step.max()))[0])
    return 1 / _peak(in_step, first, frequency)


def _is_pattern(bands: list[Tones], factor: float) -> bool:
    """Tell whether borders that keep to a grid are those of a pattern drawn so, not of old pixels."""
    places, lengths, heights = [], [], []
    for band in bands:
        change = np.diff(band[::_EVERY].astype(np.int16), axis=1)
        for row in change:
            at = np.flatnonzero(np.abs(row) > _BORDER)
            places.append(np.rint((at + 1) / factor))
            lengths.append(np.rint(np.diff(at) / factor))
            heights.append(row[at])
    held = np.unique(np.concatenate(places))
    if not np.isin(held + 1, held).mean() >= _FEWEST_NEIGHBOURS:
        return True
    runs, steps = _shares(np.concatenate(lengths)), _shares(np.concatenate(heights))
    return bool(np.sort(runs)[-2:].sum() >= _ALIKE_RUNS and (steps**2).sum() > 1 / _FEW_STEPS)


def _shares(values: npt.NDArray[np.number]) -> Numbers:
    """Return how large a part of the values each different one makes up."""
    _, counts = np.unique(values, return_counts=True)
    shares: Numbers = counts / max(counts.sum(), 1)
    return shares


def _grids(bands: list[Tones]) -> list[_Grid]:
    """Return the grids that the second differences keep to and that finer detail is missing for."""
    swells = [_swell(band) for band in bands]
    length = _length(len(swells[0]), 4)
    fade = np.hanning(len(swells[0]))
    spectra = np.array([np.fft.rfft(swell * fade, length) for swell in swells])
    frequency = np.arange(spectra.shape[1]) / length
    wanted = (frequency >= 1 / _GREATEST_FACTOR) & (frequency <= 1 / _LEAST_FACTOR)
    lines = np.where(wanted, np.abs(spectra.sum(axis=0)), 0)
    floor = float(np.median(lines[wanted]))
    found = []
    looked_at = _looked_at(bands)
    for place in _peaks(lines, max(_STANDS_OUT * floor, _STRONG * float(lines.max()))) if floor > 0 else []:
        at = _peak(lines, place, frequency)
        if _together(spectra[:, place]) < _TOGETHER or _of_compression(
            at, np.angle(spectra[:, place].sum()), len(swells[0])
        ):
            continue
        if any(
            _finer_detail(power(), at) < _FINER_DETAIL and _sharpness(part, at) < _SHARPEST for part, power in looked_at
        ):
            found.append(_Grid(1 / at, float(lines[place]) / floor))
    return found


def _looked_at(bands: list[Tones]) -> list[tuple[list[Tones], Callable[[], Numbers]]]:
    """Return the bands, and what they hold without a frame if they have one, each with its power when it is wanted."""
    parts = [bands]
    inner = [_inner(band) for band in bands]
    if any(one.shape != band.shape for one, band in zip(inner, bands, strict=True)):
        parts.append(inner)
    return [(part, cache(partial(_power, part))) for part in parts]


def _swell(band: Tones) -> Numbers:
    """Return the size of the second differences along a band, less its slow changes."""
    tones = band.astype(np.int16)
    # 32 second differences of 510 at most fit 16 bits.
    swell = np.abs(tones[:, 2:] - 2 * tones[:, 1:-1] + tones[:, :-2]).sum(axis=0, dtype=np.int16).astype(np.float64)
    # Divided by its own slow changes, so that busy places do not drown the rest.
    even: Numbers = swell / (np.convolve(swell, np.ones(129) / 129, mode="same") + swell.mean() * 0.05 + 1e-9)
    centred: Numbers = even - even.mean()
    return centred


def _together(line: npt.NDArray[np.complexfloating]) -> float:
    """Return how alike the phases of a line are in all bands that show it, 0 … 1; one band proves nothing."""
    strength = np.abs(line)
    shown = line[strength > 0.2 * strength.max()]
    return float(np.abs((shown / np.abs(shown)).mean())) if len(shown) > 1 else 0.0


def _of_compression(frequency: float, phase: float, count: int) -> bool:
    """Tell whether a line is that of a compressed picture's 8 × 8 blocks, by its place and by where its crests lie.

    Blocks meet between pixels 7 and 8, so their second differences are large at both, on places 6 and 7 of the row.
    Art that is drawn up eight or four times has its old pixels' middles half a grid away from there.
    """
    overtone = round(frequency * _COMPRESSION_BLOCK)
    # Peaks are found to a tenth of a step of the spectrum; a factor of 8.01 is a quarter of one from 8 on a small page.
    if not overtone or abs(frequency - overtone / _COMPRESSION_BLOCK) >= 0.15 / count:
        return False
    # Shifted to the block's border, a line of the blocks has phase 0.
    return bool(np.cos(phase + 2 * np.pi * overtone / _COMPRESSION_BLOCK * 6.5) > 0 or overtone == 3)


def _common_factor(one: list[_Grid], other: list[_Grid]) -> float | None:
    """Return the factor of a grid seen along both axes: the one that stands out most, or a coarser one it divides."""
    pairs = [
        (mine.strength * theirs.strength, (mine.factor * theirs.factor) ** 0.5)
        for mine in one
        for theirs in other
        if abs(mine.factor / theirs.factor - 1) <= _SAME_FACTOR
        and mine.strength * theirs.strength >= _BOTH_STAND_OUT**2
    ]
    if not pairs:
        return None
    strength, factor = max(pairs)
    coarser = (other for strong, other in pairs if strong >= _STRONG**2 * strength and _is_multiple(other, factor))
    found: float = max(coarser, default=factor)
    return found


def _is_multiple(coarser: float, factor: float) -> bool:
    times = round(coarser / factor)
    return times >= 2 and abs(coarser / factor / times - 1) < _SAME_FACTOR


def _peaks(lines: Numbers, least: float) -> list[int]:
    """Return the places of peaks of at least that height."""
    inner = lines[1:-1]
    peaks = (inner >= lines[:-2]) & (inner > lines[2:]) & (inner >= least)
    return [int(place) + 1 for place in np.flatnonzero(peaks)]


def _power(bands: list[Tones]) -> Numbers:
    """Return the power of the tones along bands by frequency, in 128 steps up to half a cycle a pixel."""
    power = np.zeros(129)
    fade = np.hanning(256)
    for band in bands:
        rows = band[:: 2 * _EVERY, : band.shape[1] // 256 * 256]
        pieces = rows.reshape(len(rows), -1, 256).astype(np.float64)
        pieces -= pieces.mean(axis=2, keepdims=True)
        power += (np.abs(np.fft.rfft(pieces * fade)) ** 2).sum(axis=(0, 1))
    return power


def _finer_detail(power: Numbers, grid: float) -> float:
    """Return the power density just finer than the old pixels could hold, as part of that just coarser."""
    frequency = np.arange(len(power)) / (2 * (len(power) - 1))
    finer = (frequency >= 0.65 * grid) & (frequency <= min(0.9 * grid, 0.5))
    coarser = (frequency >= 0.3 * grid) & (frequency <= 0.45 * grid)
    if not finer.any() or not coarser.any() or power[coarser].mean() <= 0:
        return 1.0
    return float(power[finer].mean() / power[coarser].mean())


def _sharpness(bands: list[Tones], grid: float) -> float:
    """Return how sharp edges are: their steps, as parts of all change within an old pixel's width, times that width."""
    wide = max(round(1 / grid), 2)
    steps = around = 0.0
    for band in bands:
        step = np.abs(np.diff(band[::_EVERY].astype(np.int16), axis=1)).astype(np.float64)
        sums = np.cumsum(np.pad(step, ((0, 0), (1 + wide // 2, wide - wide // 2))), axis=1)
        within = (sums[:, wide:] - sums[:, :-wide])[:, : step.shape[1]]
        # Not by a product of vectors: libraries share that out over threads that wait for one another.
        steps += float(np.einsum("ij,ij->", step, step))
        around += float(np.einsum("ij,ij->", step, within))
    return steps / around / grid if around else 0.0


def _peak(values: Numbers, place: int, frequency: Numbers) -> float:
    """Return the frequency at the top of the peak that begins at a place, by a parabola."""
    while place + 1 < len(values) and values[place + 1] > values[place]:
        place += 1
    if not 0 < place < len(values) - 1:
        return float(frequency[place])
    before, here, after = values[place - 1 : place + 2]
    bend = before - 2 * here + after
    part = 0.0 if bend >= 0 else float((before - after) / (2 * bend))
    return float(frequency[place] + part * (frequency[1] - frequency[0]))


def _length(count: int, times: int) -> int:
    """Return a power of two that is at least `times` a count, for a spectrum with finer steps."""
    return 1 << (count * times - 1).bit_length()
