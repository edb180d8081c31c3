"""How far apart two colours look: CIEDE2000.

Lab in, differences out; 1 is about what one can just see side by side. Formula: G. Sharma, W. Wu, E. N. Dalal, The
CIEDE2000 color-difference formula, Color Research and Application 30(1), 21–30, 2005, equations 2–22, with
kL = kC = kH = 1.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from imposer.ink.colour import Floats


def delta_e(first: npt.ArrayLike, second: npt.ArrayLike) -> Floats:
    """Return CIEDE2000 between two arrays of CIE Lab, shape (..., 3), element by element.

    >>> float(delta_e((50, 2.5, 0), (73, 25, -18)).round(4))
    27.1492
    """
    lightness1, chroma1, hue1 = _upright(first, second)
    lightness2, chroma2, hue2 = _upright(second, first)
    grey = chroma1 * chroma2 == 0
    turn = np.where(grey, 0.0, hue2 - hue1)
    turn = turn - 360 * (turn > 180) + 360 * (turn < -180)
    mean_hue = np.where(grey, hue1 + hue2, _mean_hue(hue1, hue2))
    mean_lightness, mean_chroma = (lightness1 + lightness2) / 2, (chroma1 + chroma2) / 2

    scale_l = 1 + 0.015 * (mean_lightness - 50) ** 2 / np.sqrt(20 + (mean_lightness - 50) ** 2)
    scale_c = 1 + 0.045 * mean_chroma
    scale_h = 1 + 0.015 * mean_chroma * _hue_weight(mean_hue)
    light = (lightness2 - lightness1) / scale_l
    chroma = (chroma2 - chroma1) / scale_c
    hue = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.radians(turn / 2)) / scale_h
    bend = -2 * _high_chroma(mean_chroma) * np.sin(np.radians(60 * np.exp(-(((mean_hue - 275) / 25) ** 2))))
    difference: Floats = np.sqrt(np.maximum(light**2 + chroma**2 + hue**2 + bend * chroma * hue, 0.0))
    return difference


def _upright(lab: npt.ArrayLike, other: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Return lightness, chroma and hue in degrees, with a* stretched near grey (equations 2–7)."""
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    _, other_a, other_b = np.moveaxis(np.asarray(other, dtype=np.float64), -1, 0)
    mean_chroma = (np.hypot(a, b) + np.hypot(other_a, other_b)) / 2
    stretched = a * (1.5 - 0.5 * _high_chroma(mean_chroma))
    return lightness, np.hypot(stretched, b), np.degrees(np.arctan2(b, stretched)) % 360


def _high_chroma(chroma: Floats) -> Floats:
    """Return the weight that grows from 0 at grey to 1 at high chroma (equations 4 and 19)."""
    weight: Floats = np.sqrt(chroma**7 / (chroma**7 + 25.0**7))
    return weight


def _mean_hue(hue1: Floats, hue2: Floats) -> Floats:
    """Return the middle of the shorter arc between two hues in degrees (equation 14)."""
    middle = (hue1 + hue2) / 2
    across = np.where(hue1 + hue2 < 360, middle + 180, middle - 180)
    shorter: Floats = np.where(np.abs(hue1 - hue2) > 180, across, middle)
    return shorter


def _hue_weight(hue: Floats) -> Floats:
    """Return T of equation 15; hue in degrees."""
    weight: Floats = (
        1
        - 0.17 * np.cos(np.radians(hue - 30))
        + 0.24 * np.cos(np.radians(2 * hue))
        + 0.32 * np.cos(np.radians(3 * hue + 6))
        - 0.20 * np.cos(np.radians(4 * hue - 63))
    )
    return weight
