"""Whole pages through the overprint model: ink planes of 8 bits in, sRGB pixels out, in bounded memory.

The same law as `overprint.predict`, arranged for speed. The nested mixes of the solids are one polynomial in the
coverages, with a coefficient for every set of inks; in Horner's form it needs one product and one sum a term. Pages are
worked in strips whose arrays stay near the processor; a plane that is even throughout a strip, as bare paper is, costs
nothing. For n = 1 and 2 the pixels meet only sums and products of 32-bit floats, which are the same on every machine.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from imposer.ink.colour import SRGB_FROM_REC2020, Bytes, Floats, encode_srgb
from imposer.ink.halftone import effective_coverage
from imposer.ink.overprint import OverprintModel

Singles = npt.NDArray[np.float32]

#: Pixels worked at a time. Smaller strips pay for the calls, larger ones leave the cache.
_STRIP_PIXELS = 65_536
#: Steps of linear light that are told apart when sRGB codes are looked up; at its steepest that curve climbs a
#: twentieth of a code from one to the next.
_LIGHT_STEPS = 65_535


def predict_srgb8(model: OverprintModel, planes: Bytes) -> Bytes:
    """Return what the print of these ink planes will look like.

    Args:
        model: The overprint model.
        planes: Tones in the order of `model.inks`, shape (k, height, width), 0 = no ink, 255 = full tone.

    Returns:
        8-bit sRGB, shape (height, width, 3). A channel may differ by one from the rounded prediction of `predict`.
        Beside it, the work takes a few megabytes, whatever the size of the page.

    Raises:
        ValueError: the planes are not of that shape or type.
    """
    check_planes(model, planes)
    _, height, width = planes.shape
    picture = np.empty((height, width, 3), dtype=np.uint8)
    if not picture.size:
        return picture
    strips = _Strips(model, most=max(_STRIP_PIXELS, width))
    rows = max(1, _STRIP_PIXELS // width)
    for top in range(0, height, rows):
        strips.predict(planes[:, top : top + rows], picture[top : top + rows].reshape(-1, 3))
    return picture


def check_planes(model: OverprintModel, planes: Bytes) -> None:
    """Refuse ink planes that do not fit the model.

    Raises:
        ValueError: the planes are not (k, height, width) of 8 bits.
    """
    if planes.ndim != 3 or len(planes) != len(model.inks) or planes.dtype != np.uint8:
        raise ValueError(
            f"{len(model.inks)} inks need as many 8-bit planes, not {planes.dtype} of shape {planes.shape}"
        )


class _Strips:
    """The arrays that every strip of a page shares. Not safe for two threads at once."""

    def __init__(self, model: OverprintModel, most: int) -> None:
        self._model = model
        self._coefficients = _polynomial(model.roots)
        # Codes by linear sRGB; the matrix is scaled so that light comes out as a number in this list.
        self._codes = np.floor(encode_srgb(np.arange(_LIGHT_STEPS + 1) / _LIGHT_STEPS) * 255 + 0.5).astype(np.uint8)
        self._to_steps = (SRGB_FROM_REC2020 * _LIGHT_STEPS).astype(np.float32)
        ink_count = len(model.inks)
        self._coverages = np.empty((ink_count, most), dtype=np.float32)
        self._partial_sums = np.empty((max(ink_count, 1), most), dtype=np.float32)
        self._channels = np.empty((3, most), dtype=np.float32)
        self._light = np.empty(most, dtype=np.float32)
        self._steps = np.empty(most, dtype=np.intp)

    def predict(self, planes: Bytes, pixels: Bytes) -> None:
        """Write the strip's sRGB into `pixels`, shape (count, 3)."""
        coefficients, inks = self._fold_even_planes(planes)
        channels = self._channels[:, : len(pixels)]
        for channel, sums in enumerate(channels):
            self._sum(coefficients[:, channel], inks, sums)
            self._raise(sums)
        self._encode(channels, pixels)

    def _fold_even_planes(self, planes: Bytes) -> tuple[Singles, list[Singles]]:
        """Put every plane that has one tone throughout into the coefficients; return the rest as coverages."""
        coefficients, coverages = self._coefficients, []
        # From the last ink to the first, so that the earlier inks' bits keep their places.
        for ink in reversed(range(len(planes))):
            plane, gain = planes[ink], self._model.gains[ink]
            least, most = int(plane.min()), int(plane.max())
            if least == most:
                halves = coefficients.reshape(-1, 2, 2**ink, 3)
                covered = float(effective_coverage(least / 255, gain))
                coefficients = (halves[:, 0] + covered * halves[:, 1]).reshape(-1, 3)
            else:
                coverages.append(self._cover(plane, gain, self._coverages[ink, : plane.size]))
        return coefficients.astype(np.float32), coverages[::-1]

    def _cover(self, plane: Bytes, gain: float, coverage: Singles) -> Singles:
        """Write the effective coverage, `t (1 + 4 g - 4 g t)`, of a plane."""
        factor = self._light[: plane.size]
        np.multiply(plane.reshape(-1), np.float32(1 / 255), out=coverage)
        np.multiply(coverage, np.float32(-4 * gain), out=factor)
        np.add(factor, np.float32(1 + 4 * gain), out=factor)
        np.multiply(coverage, factor, out=coverage)
        if abs(gain) > 0.25:
            np.clip(coverage, 0, 1, out=coverage)
        return coverage

    def _sum(self, coefficients: Singles, inks: list[Singles], out: Singles) -> None:
        """Write the polynomial of the coverages: `low + a · high`, by the last ink, and so on down."""
        if not inks:
            out.fill(coefficients[0])
            return
        *earlier, last = inks
        half = len(coefficients) // 2
        if not earlier:
            np.multiply(last, coefficients[1], out=out)
            np.add(out, coefficients[0], out=out)
            return
        self._sum(coefficients[half:], earlier, out)
        np.multiply(out, last, out=out)
        low = self._partial_sums[len(earlier), : out.size]
        self._sum(coefficients[:half], earlier, low)
        np.add(out, low, out=out)

    def _raise(self, roots: Singles) -> None:
        """Raise to the power n in place; rounding may have left a black a hair below nothing."""
        if self._model.n == 2:
            np.multiply(roots, roots, out=roots)
        elif self._model.n != 1:
            np.maximum(roots, 0, out=roots)
            np.power(roots, np.float32(self._model.n), out=roots)

    def _encode(self, channels: Singles, pixels: Bytes) -> None:
        """Turn linear Rec.2020 into 8-bit sRGB."""
        light, steps = self._light[: len(pixels)], self._steps[: len(pixels)]
        part = self._partial_sums[0, : len(pixels)]
        for channel, (red, green, blue) in enumerate(self._to_steps):
            np.multiply(channels[0], red, out=light)
            np.add(light, np.multiply(channels[1], green, out=part), out=light)
            np.add(light, np.multiply(channels[2], blue, out=part), out=light)
            np.add(light, np.float32(0.5), out=light)
            np.clip(light, 0, _LIGHT_STEPS, out=light)
            np.copyto(steps, light, casting="unsafe")
            pixels[:, channel] = self._codes[steps]


def _polynomial(roots: Floats) -> Floats:
    """Turn the solids' roots into coefficients of products of coverages: entry S belongs to the product over S."""
    coefficients = roots.copy()
    for ink in range(len(roots).bit_length() - 1):
        halves = coefficients.reshape(-1, 2, 2**ink, 3)
        halves[:, 1] -= halves[:, 0]
    return coefficients
