"""Pages of two and three inks for the tests of registration, and a table of colour differences for them."""

from __future__ import annotations

import numpy as np

from imposer.tones.plane import Plane

#: Invented inks: a light one, a dark one and black, by lightness alone. Differences are those of the lightness, which
#: is what a grey scale's would be; black hides what lies under it nearly wholly.
LIGHTNESS = {0: 95, 1: 80, 2: 45, 3: 35, 4: 15, 5: 14, 6: 12, 7: 11}


def differences(inks: int) -> np.ndarray:
    lightness = np.array([LIGHTNESS[state] for state in range(2**inks)], dtype=float)
    return np.abs(lightness[:, None] - lightness)


def kissing(ppi: float, overlap: float = 0.0, *, length: float = 100.0) -> list[Plane]:
    """Two blocks that meet along an upright edge of `length` mm, the left one spread under the right by `overlap`."""
    mm = ppi / 25.4
    height, width = round((length + 20) * mm), round(120 * mm)
    left, right = np.zeros((height, width), dtype=np.uint8), np.zeros((height, width), dtype=np.uint8)
    rows = slice(round(10 * mm), round(10 * mm) + round(length * mm))
    left[rows, round(10 * mm) : round(60 * mm) + round(overlap * mm)] = 255
    right[rows, round(60 * mm) : round(110 * mm)] = 255
    return [Plane(left, ppi), Plane(right, ppi)]


def blobs(drawing: str, ppi: float = 200, *, trap: float = 0.0) -> list[Plane]:
    """Dark discs on a light ground, with black outlines if there are any.

    "kiss": the ground is cut out exactly; with a trap it runs under the discs by as much. "outlined": both meet in the
    middle of a black line of 1.4 mm. "overprint": the ground runs through. "apart": discs of both inks, far from one
    another.
    """
    mm = ppi / 25.4
    height, width = round(120 * mm), round(100 * mm)
    y, x = (np.mgrid[:height, :width] + 0.5) / mm
    light, dark, black = (np.zeros((height, width), dtype=bool) for _ in range(3))
    light[(x > 8) & (x < 92) & (y > 8) & (y < 112)] = True
    for index, (at_x, at_y, radius) in enumerate(_places()):
        distance = np.hypot(x - at_x, y - at_y)
        if drawing == "apart":
            (light if index % 2 else dark)[distance < radius] = True
            continue
        dark[distance < radius] = True
        if drawing in ("kiss", "outlined"):
            light[distance < radius - trap] = False
        if drawing == "outlined":
            black[np.abs(distance - radius) < 0.7] = True
    if drawing == "apart":
        light[(x > 8) & (y > 60)] = False
    return [Plane(mask.astype(np.uint8) * 255, ppi) for mask in (light, dark, black)]


def _places() -> list[tuple[float, float, float]]:
    return [(16 + 17 * column, 18 + 17 * row, 4 + (row * 3 + column) % 4) for row in range(6) for column in range(5)]
