"""Tone planes drawn for the tests: shapes whose sizes are known because they were drawn so."""

from __future__ import annotations

import io
import math

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from imposer.data import FOLDER
from imposer.geometry import Box
from imposer.tones.plane import Plane

WORDS = ("the", "moth", "came", "in", "at", "window", "and", "stayed", "for", "hours", "lamp", "rain", "yard", "over")


def blank(width: float, height: float, ppi: float = 300) -> np.ndarray:
    return np.zeros((round(height * ppi / 25.4), round(width * ppi / 25.4)), dtype=np.uint8)


def fill(tones: np.ndarray, ppi: float, box: Box, tone: float = 1.0) -> Box:
    """Fill the pixels whose edges are nearest to a box (mm); return the box that they are, mm."""
    height, mm = tones.shape[0], 25.4 / ppi
    left, right = round(box.x0 / mm), round(box.x1 / mm)
    top, bottom = height - round(box.y1 / mm), height - round(box.y0 / mm)
    tones[top:bottom, left:right] = round(tone * 255)
    return Box(left * mm, (height - bottom) * mm, right * mm, (height - top) * mm)


def stroke(width: float, degrees: float, *, side: int = 400, length: float = 0.7, tone: int = 255, grey: bool = True):
    """Draw a stroke of `width` pixels through the middle of a square, with grey edges or none."""
    times = 6 if grey else 1
    # Middles of the parts of pixels, from the middle of the square.
    at = ((np.arange(side * times) + 0.5) / times - side / 2).astype(np.float32)
    right, up = at[None, :], -at[:, None]
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    # A hair off the grid, so that no row of parts lies on the edge itself.
    inside = (np.abs(up * cosine - right * sine + 0.01) < width / 2) & (
        np.abs(right * cosine + up * sine) < length * side / 2
    )
    parts = inside.reshape(side, times, side, times).mean(axis=(1, 3), dtype=np.float32)
    return np.round(parts * tone).astype(np.uint8)


def typed(width: int, height: int, *, size: float, grey: bool = True, seed: int = 0) -> np.ndarray:
    """Set lines of words, `size` pixels high, over a page, each as long as fits."""
    rng = np.random.default_rng(seed)
    times = 4 if grey else 1
    picture = Image.new("L", (width * times, height * times), 0)
    draw = ImageDraw.Draw(picture)
    draw.fontmode = "L" if grey else "1"
    font = ImageFont.truetype(str(FOLDER / "fonts" / "sans.ttf"), size * times)
    step = size * times * 1.4
    for line in range(int(height * times * 0.9 / step)):
        words = ""
        while font.getlength(words) < width * times * 0.84:
            fits, words = words, f"{words} {WORDS[rng.integers(0, len(WORDS))]}".strip()
        draw.text((width * times * 0.08, step * (line + 0.5)), fits, fill=255, font=font)
    return np.asarray(picture.resize((width, height), Image.Resampling.BOX) if grey else picture)


def photo(width: int, height: int, *, seed: int = 0, grain: float = 3.0) -> np.ndarray:
    """Return a picture like a camera's: large shapes, detail at all scales, sharp outlines, grain."""
    rng = np.random.default_rng(seed)
    frequency = np.hypot(np.fft.fftfreq(height)[:, None], np.fft.rfftfreq(width))
    frequency[0, 0] = 1
    shape = frequency.shape
    clouds = np.fft.irfft2((rng.normal(size=shape) + 1j * rng.normal(size=shape)) / frequency**1.2, (height, width))
    picture = Image.new("L", (width * 2, height * 2), 40)
    draw = ImageDraw.Draw(picture)
    for _ in range(40):
        x, y, r = rng.integers(0, width * 2), rng.integers(0, height * 2), rng.integers(width // 20, width // 4)
        draw.ellipse((x - r, y - r, x + r, y + r), fill=int(rng.integers(0, 120)))
    outlines = np.asarray(picture.resize((width, height), Image.Resampling.BOX)).astype(float)
    tones = (clouds - clouds.mean()) / clouds.std() * 45 + 80 + outlines + rng.normal(0, grain, (height, width))
    return np.clip(tones, 0, 255).astype(np.uint8)


def screened(tones: np.ndarray, ppi: float, ruling: float, degrees: float) -> np.ndarray:
    """Screen tones with round dots in a square lattice, its rows `degrees` counter-clockwise from the horizontal."""
    height, width = tones.shape
    y, x = -np.arange(height, dtype=np.float32)[:, None], np.arange(width, dtype=np.float32)
    cosine, sine, wave = math.cos(math.radians(degrees)), math.sin(math.radians(degrees)), 2 * math.pi * ruling / ppi
    spot = np.cos((x * cosine + y * sine) * wave) + np.cos((y * cosine - x * sine) * wave)
    ranks = np.sort(spot[::5, ::5].reshape(-1))
    threshold = (1 - np.searchsorted(ranks, spot) / len(ranks)) * 255
    return np.where(threshold < tones, 255, 0).astype(np.uint8)


def resized(tones: np.ndarray, size: tuple[int, int], way: Image.Resampling) -> np.ndarray:
    return np.asarray(Image.fromarray(tones).resize(size, way))


def compressed(tones: np.ndarray, quality: int) -> np.ndarray:
    file = io.BytesIO()
    Image.fromarray(tones).save(file, "JPEG", quality=quality)
    return np.asarray(Image.open(file))


def moved(tones: np.ndarray, right: int, down: int) -> np.ndarray:
    """Move tones by whole pixels; bare paper comes in."""
    height, width = tones.shape
    result = np.zeros_like(tones)
    into = result[max(down, 0) : height + min(down, 0), max(right, 0) : width + min(right, 0)]
    into[...] = tones[max(-down, 0) : height + min(-down, 0), max(-right, 0) : width + min(-right, 0)]
    return result


def near(box: Box | None, other: Box, by: float) -> bool:
    """Tell whether two boxes agree in all four edges to within `by` mm."""
    assert box is not None
    return all(
        abs(a - b) <= by
        for a, b in zip((box.x0, box.y0, box.x1, box.y1), (other.x0, other.y0, other.x1, other.y1), strict=True)
    )


def plane(tones: np.ndarray, ppi: float = 300) -> Plane:
    return Plane(np.ascontiguousarray(tones), ppi)
