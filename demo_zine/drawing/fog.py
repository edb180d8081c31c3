"""Page 6: a photograph that nobody took. Continuous tone, reckoned dot by dot: fog, lamps out of focus, a wet road."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from drawing.hand import Dice
from drawing.plates import HEIGHT, Page, Raster

Tones = NDArray[np.float64]
#: Points and width of a line; a width of 0 fills the shape.
Stroke = tuple[list[tuple[float, float]], float]
#: How dark, how soft (mm), and what.
Layer = tuple[float, float, list[Stroke]]

#: The picture on the page, mm: left, bottom, right, top.
FRAME = (9.0, 9.0, 131.0, 191.0)
HORIZON = 92.0
#: Grays in all; a photograph on a coarse screen shows no more, and the file stays small.
LEVELS = 30


def fog(page: Page) -> None:
    """Draw the picture on the black plate, which must be a raster."""
    plate = page.black
    if not isinstance(plate, Raster):
        raise TypeError("a photograph needs a raster")
    scale = plate.resolution / 25.4
    wide, high = plate.size
    x = (np.arange(wide) + 0.5)[None, :] / scale
    y = HEIGHT - (np.arange(high) + 0.5)[:, None] / scale
    light = _sky_and_road(x, y)
    light = _shapes(light, scale, (wide, high), _behind())
    for lamp in _lamps():
        light = _shine(light, x, y, *lamp)
    light = _shapes(light, scale, (wide, high), _before())
    light = _discs(light, x, y)
    light += _grain(high, wide)
    tone = np.clip(1 - light, 0.05, 0.9)
    steps = np.round(tone * LEVELS) / LEVELS
    inside = (x > FRAME[0]) & (x < FRAME[2]) & (y > FRAME[1]) & (y < FRAME[3])
    plate.image.paste(Image.fromarray(np.where(inside, np.round(255 * (1 - steps)), 255).astype(np.uint8)))


def _sky_and_road(x: Tones, y: Tones) -> Tones:
    above = np.clip((y - HORIZON) / (191 - HORIZON), 0, 1)
    below = np.clip((HORIZON - y) / (HORIZON - 9), 0, 1)
    land = 0.5 - 0.5 * np.tanh((y - HORIZON) / 3.5)
    light = (1 - land) * (0.62 - 0.36 * above**0.8) + land * (0.57 - 0.2 * below)
    drift = 0.045 * np.sin(x / 17 + 2.2 * np.sin(y / 31)) * np.cos(y / 19 + 1.3 * np.sin(x / 43))
    kerb = np.abs(x - 62 - (HORIZON - y) * 0.25) / np.maximum(1.5, (HORIZON - y) * 0.62)
    road = np.where((y < HORIZON) & (kerb > 1), -0.1 * np.clip(below * 3, 0, 1), 0.0)
    return light + drift + road


def _lamps() -> list[tuple[float, float, float, float, float]]:
    """Return the lamps along the road: x, y, size, brightness, and the height of the ground under it."""
    lamps = []
    for depth in (1.0, 1.55, 2.3, 3.4, 5.2, 8.0):
        lamps.append((60 + 46 / depth, HORIZON + 60 / depth, 5.2 / depth, 0.95 / depth**0.25, HORIZON - 34 / depth))
    for depth in (1.9, 2.9, 4.4, 7.0):
        lamps.append((60 - 40 / depth, HORIZON + 60 / depth, 5.2 / depth, 0.85 / depth**0.25, HORIZON - 34 / depth))
    return lamps


def _shine(light: Tones, x: Tones, y: Tones, lx: float, ly: float, size: float, bright: float, ground: float) -> Tones:
    away = np.hypot(x - lx, y - ly)
    halo = bright * (0.34 / (1 + (away / (size * 3.2)) ** 2) + 0.75 / (1 + (away / (size * 0.9)) ** 4))
    width = size * 0.75 * (1 + np.clip((ground - y) / 22, 0, 2))
    ripple = 0.62 + 0.38 * np.sin(y * 2.6 / (0.25 + size * 0.11) + 2.4 * np.sin(y * 0.9) + 0.5 * np.sin(x * 1.7))
    length = 16 + 26 * size / 5
    streak = np.exp(-(((x - lx) / width) ** 2)) * np.exp(-np.clip(ground - y, 0, None) / length) * ripple
    wet = np.where(y < ground, 0.52 * bright * streak, 0.0)
    return light + (1 - np.clip(light, 0, 1)) * (halo + wet)


def _behind() -> list[Layer]:
    """Return what stands behind the light; the farther, the paler and softer."""
    return [
        (0.30, 0.5, _posts((5.2, 3.4, 8.0))),
        (0.45, 0.35, _tree(97, 83, 36, 3)),
        (0.5, 0.3, _posts((2.3, 2.9, 1.9))),
        (0.85, 0.3, _tree(18, 60, 84, 11)),
        (0.8, 0.2, [*_posts((1.0, 1.55)), *_wires()]),
    ]


def _before() -> list[Layer]:
    """Return the walker and what falls on the road from him."""
    return [(0.34, 1.3, _shadow(52, 66)), (0.74, 0.24, _walker(52, 66))]


def _shapes(light: Tones, scale: float, size: tuple[int, int], layers: list[Layer]) -> Tones:
    """Lay dark shapes into the fog."""
    for dark, soft, strokes in layers:
        mask = Image.new("L", size, 0)
        pen = ImageDraw.Draw(mask)
        for points, width in strokes:
            dots = [(px * scale, (HEIGHT - py) * scale) for px, py in points]
            if width > 0:
                pen.line(dots, fill=255, width=max(1, round(width * scale)), joint="curve")
            else:
                pen.polygon(dots, fill=255)
        cover = np.asarray(mask.filter(ImageFilter.GaussianBlur(soft * scale)), dtype=np.float64) / 255
        light = light * (1 - dark * cover)
    return light


def _posts(depths: tuple[float, ...]) -> list[Stroke]:
    strokes: list[Stroke] = []
    for depth in depths:
        right = depth in (1.0, 1.55, 2.3, 3.4, 5.2, 8.0)
        x = 60 + (46 if right else -40) / depth
        out = (5.5 if right else -5.5) / depth
        top, ground = HORIZON + 60 / depth, HORIZON - 34 / depth
        arm = [
            (x + out, ground),
            (x + out, top - 2 / depth),
            (x + out * 0.8, top + 3.4 / depth),
            (x, top + 3.2 / depth),
            (x, top),
        ]
        strokes.append((arm, 1.5 / depth))
        strokes.append(([(x + out, ground), (x + out, ground + 14 / depth)], 2.6 / depth))
    return strokes


def _tree(x: float, y: float, height: float, start: int) -> list[Stroke]:
    dice = Dice(start)
    strokes: list[Stroke] = []

    def grow(px: float, py: float, angle: float, length: float, thick: float) -> None:
        bend = angle + dice.around(0.12)
        qx, qy = px + length * math.cos(bend), py + length * math.sin(bend)
        strokes.append(([(px, py), (qx, qy)], thick))
        if length < height * 0.035:
            return
        for turn in (0.42, -0.38) if dice.roll() < 0.8 else (0.5, 0.04, -0.46):
            grow(qx, qy, bend + turn + dice.around(0.22), length * dice.between(0.66, 0.82), thick * 0.68)

    grow(x, y, math.pi / 2, height * 0.24, height * 0.045)
    return strokes


def _wires() -> list[Stroke]:
    sags = []
    for drop in (0, 5):
        points = [(9 + 122 * t, 171 - drop - 22 * t + 26 * t * (t - 1)) for t in (k / 40 for k in range(41))]
        sags.append((points, 0.34))
    return sags


def _walker(x: float, y: float) -> list[Stroke]:
    coat = [(-3.2, 4), (3.4, 4), (2.6, 12), (1.9, 16.6), (-1.7, 16.8), (-2.6, 12)]
    head = [(1.7 * math.cos(a), 18.6 + 2 * math.sin(a)) for a in (k * math.pi / 8 for k in range(16))]
    hat = [(-2.8, 19.6), (3.0, 19.4), (1.6, 20.2), (1.3, 22.4), (-1.2, 22.5), (-1.5, 20.3)]
    whole = [([(x + px, y + py) for px, py in part], 0.0) for part in (coat, head, hat)]
    legs = [([(x - 1.3, y), (x - 1, y + 5)], 1.3), ([(x + 1.5, y + 0.4), (x + 1, y + 5)], 1.3)]
    return [*whole, *legs]


def _shadow(x: float, y: float) -> list[Stroke]:
    return [([(x - 2.2, y + 0.4), (x + 2.4, y + 0.4), (x + 0.4, y - 22), (x - 6.5, y - 21)], 0.0)]


def _discs(light: Tones, x: Tones, y: Tones) -> Tones:
    """Lay the near lamps over all as a lens leaves them: pale discs with a brighter rim."""
    discs = [
        (24, 120, 8.5, 0.16),
        (35, 134, 6, 0.12),
        (113, 70, 7.5, 0.13),
        (122, 96, 5, 0.12),
        (16, 150, 5, 0.1),
        (104, 40, 9, 0.1),
    ]
    for dx, dy, radius, bright in [*discs, (30, 36, 6.5, 0.11), (118, 176, 6, 0.09)]:
        away = np.hypot(x - dx, y - dy) / radius
        disc = 0.5 - 0.5 * np.tanh((away - 1) * radius * 1.75)
        rim = np.exp(-(((away - 0.93) * radius / 0.5) ** 2))
        light = light + (1 - np.clip(light, 0, 1)) * bright * (disc + 0.55 * rim)
    return light


def _grain(high: int, wide: int) -> Tones:
    """Return film grain: a hash of every third dot's place, smoothed."""
    rows, columns = np.meshgrid(
        np.arange(high // 3 + 2, dtype=np.uint32), np.arange(wide // 3 + 2, dtype=np.uint32), indexing="ij"
    )
    mixed = rows * np.uint32(374761393) + columns * np.uint32(668265263)
    mixed = (mixed ^ (mixed >> np.uint32(13))) * np.uint32(1274126177)
    noise = ((mixed ^ (mixed >> np.uint32(16))) & np.uint32(0xFFFF)) / 65535 - 0.5
    return 0.065 * np.kron(noise, np.ones((3, 3)))[:high, :wide]
