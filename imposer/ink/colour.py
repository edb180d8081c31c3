"""Colours as numbers: hex codes, CIE XYZ and Lab in; linear Rec.2020, sRGB and Lab out.

The overprint model works in linear Rec.2020, because there three numbers behave most nearly like three bands of the
spectrum; everything else is a way in or out. Arrays have the shape (..., 3). XYZ is scaled so that Y of a perfect white
is 1.

Sources: primaries and transfer curve of sRGB, IEC 61966-2-1; primaries of Rec.2020, ITU-R BT.2020-2; matrices from
primaries and white, SMPTE RP 177; XYZ and Lab, CIE 15; white points: D65 from its chromaticity (0.3127, 0.3290), D50 of
ICC.1 (0.9642, 1, 0.8249); adaptation between them, the Bradford transform, ICC.1 annex E.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Bytes = npt.NDArray[np.uint8]
Triple = tuple[float, float, float]
Chromaticity = tuple[float, float]

D50: Triple = (0.9642, 1.0, 0.8249)
D65: Triple = (0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290)

#: The linear part of Lab's curve lies below the cube of this (CIE 15).
_LAB_BEND = 6 / 29
_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])

#: A colour is on the screen if no encoded channel leaves 0…1 by more than half a step of 8 bits.
_HALF_STEP = 0.5 / 255


def _xyz_from_rgb(primaries: tuple[Chromaticity, Chromaticity, Chromaticity], white: Triple) -> Floats:
    """Return the matrix from linear RGB to XYZ under that RGB's own white (SMPTE RP 177)."""
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, np.array(white)), dtype=np.float64)


def _adaptation(source: Triple, target: Triple) -> Floats:
    """Return the Bradford matrix from XYZ under one white to XYZ under another."""
    gains = (_BRADFORD @ target) / (_BRADFORD @ source)
    return np.asarray(np.linalg.inv(_BRADFORD) @ np.diag(gains) @ _BRADFORD, dtype=np.float64)


def _inverse(matrix: Floats) -> Floats:
    """Return the matrix of the way back."""
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


_XYZ65_FROM_SRGB = _xyz_from_rgb(((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)), D65)
_XYZ65_FROM_REC2020 = _xyz_from_rgb(((0.708, 0.292), (0.170, 0.797), (0.131, 0.046)), D65)

#: Linear Rec.2020 to linear sRGB; both have the white D65.
SRGB_FROM_REC2020: Floats = _inverse(_XYZ65_FROM_SRGB) @ _XYZ65_FROM_REC2020
REC2020_FROM_SRGB: Floats = _inverse(SRGB_FROM_REC2020)
#: XYZ under D50 to linear Rec.2020 and back.
XYZ_FROM_REC2020: Floats = _adaptation(D65, D50) @ _XYZ65_FROM_REC2020
REC2020_FROM_XYZ: Floats = _inverse(XYZ_FROM_REC2020)


def encode_srgb(linear: npt.ArrayLike) -> Floats:
    """Encode linear sRGB; what no screen can show is cut to 0…1.

    >>> float(encode_srgb(0.215861).round(4))
    0.502
    """
    light = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    curved: Floats = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return curved


def decode_srgb(encoded: npt.ArrayLike) -> Floats:
    """Turn encoded sRGB, 0…1, into linear light."""
    code = np.asarray(encoded, dtype=np.float64)
    light: Floats = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    return light


def srgb8_from_rec2020(linear: npt.ArrayLike) -> Bytes:
    """Turn linear Rec.2020 into the nearest 8-bit sRGB codes, cut to what a screen can show."""
    encoded = encode_srgb(np.asarray(linear, dtype=np.float64) @ SRGB_FROM_REC2020.T)
    codes: Bytes = np.floor(encoded * 255 + 0.5).astype(np.uint8)
    return codes


def rec2020_from_srgb8(codes: npt.ArrayLike) -> Floats:
    """Turn 8-bit sRGB codes into linear Rec.2020."""
    linear: Floats = decode_srgb(np.asarray(codes, dtype=np.float64) / 255) @ REC2020_FROM_SRGB.T
    return linear


def lab_from_xyz(xyz: npt.ArrayLike, white: Triple = D50) -> Floats:
    """Turn XYZ into CIE Lab under its own white (CIE 15).

    >>> lab_from_xyz(D50).round(6).tolist()
    [100.0, 0.0, 0.0]
    """
    ratio = np.asarray(xyz, dtype=np.float64) / np.array(white)
    curved = np.where(ratio > _LAB_BEND**3, np.cbrt(ratio), ratio / (3 * _LAB_BEND**2) + 4 / 29)
    x, y, z = np.moveaxis(curved, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def xyz_from_lab(lab: npt.ArrayLike, white: Triple = D50) -> Floats:
    """Turn CIE Lab into XYZ under the same white (CIE 15)."""
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    y = (lightness + 16) / 116
    curved = np.stack([y + a / 500, y, y - b / 200], axis=-1)
    ratio = np.where(curved > _LAB_BEND, curved**3, 3 * _LAB_BEND**2 * (curved - 4 / 29))
    xyz: Floats = ratio * np.array(white)
    return xyz


def lab_from_rec2020(linear: npt.ArrayLike) -> Floats:
    """Turn linear Rec.2020 into CIE Lab under D50, as printed colours are measured."""
    return lab_from_xyz(np.asarray(linear, dtype=np.float64) @ XYZ_FROM_REC2020.T)


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour of paper or ink, whichever way it was given.

    Attributes:
        rec2020: Linear Rec.2020; 1 is white. A fluorescent ink may lie above 1, a very pure one below 0.
    """

    rec2020: Triple

    @classmethod
    def from_hex(cls, code: str) -> Self:
        """Read `#rrggbb` (sRGB).

        >>> Colour.from_hex("#e04080").hex
        '#e04080'

        Raises:
            ValueError: the text is not of that form.
        """
        digits = code.removeprefix("#")
        if len(digits) != 6 or not set(digits) <= set("0123456789abcdefABCDEF") or digits == code:
            raise ValueError(f"{code!r} is not a colour such as #e04080")
        return cls(_triple(rec2020_from_srgb8(list(bytes.fromhex(digits)))))

    @classmethod
    def from_xyz(cls, xyz: npt.ArrayLike) -> Self:
        """Take a measured XYZ (D50, Y of white = 1)."""
        return cls(_triple(np.asarray(xyz, dtype=np.float64) @ REC2020_FROM_XYZ.T))

    @classmethod
    def from_lab(cls, lab: npt.ArrayLike) -> Self:
        """Take a measured CIE Lab (D50)."""
        return cls.from_xyz(xyz_from_lab(lab))

    @property
    def hex(self) -> str:
        """The nearest `#rrggbb` that a screen can show."""
        return "#" + bytes(srgb8_from_rec2020(self.rec2020).tolist()).hex()

    @property
    def on_screen(self) -> bool:
        """Whether an sRGB screen can show it: linear sRGB within 0…1, give or take half a step of 8 bits.

        >>> Colour.from_hex("#ff0000").on_screen, Colour.from_lab((70, 75, -30)).on_screen
        (True, False)
        """
        light = np.array(self.rec2020) @ SRGB_FROM_REC2020.T
        least, most = -_HALF_STEP / 12.92, float(decode_srgb(1 + _HALF_STEP))
        return bool(np.all((light >= least) & (light <= most)))


def _triple(values: Floats) -> Triple:
    """Return three floats as a plain tuple.

    Raises:
        ValueError: they are not three finite numbers.
    """
    if values.shape != (3,) or not np.all(np.isfinite(values)):
        raise ValueError(f"a colour is three numbers, not {values.tolist()}")
    first, second, third = values.tolist()
    return (first, second, third)


#: The paper on which ink colours are given, unless said otherwise.
WHITE = Colour.from_hex("#ffffff")
