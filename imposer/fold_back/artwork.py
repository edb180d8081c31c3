"""Masters held against the artwork itself, pixel by pixel, where the artwork is at hand.

Both are taken at the resolution of the previews, about 100 pixels an inch. A renderer snaps lines to whole pixels, and
not the same way on a turned page; so a pixel may differ by as much as the tones vary around it in both pictures, and a
difference is one where many pixels of a small square differ by more.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageFilter

from imposer.fold_back.compose import preview_tones
from imposer.fold_back.look import PrintedSheet
from imposer.fold_back.printed import Look
from imposer.fold_back.record import MasterRecord, PanelRecord
from imposer.geometry import Box
from imposer.pages.model import Measured
from imposer.prepared import Prepared
from imposer.tones.sketch import Tones, ranges
from imposer.units import show

#: A pixel may differ by so much of 255, and by so much of the range around it.
_SLACK, _EDGE = 40, 1.0
#: Side of the squares that are judged, pixels (2 mm), and how many of their pixels must differ.
_SQUARE, _MANY = 8, 10
#: Neighbours' art may reach this far into a panel by the renderer's pixels, mm.
_INSET = 0.6

_Mask = npt.NDArray[np.bool_]


def artwork_of(prepared: Prepared) -> Look:
    """Return what holds a panel against the artwork of a job."""
    measured: dict[tuple[int, str], Measured] = {}
    for part in prepared.parts:
        measured |= part.measured

    def look(sheet: PrintedSheet, record: MasterRecord, panel: PanelRecord) -> str:
        found = measured.get((panel.page or 0, record.name.ink))
        if found is None or not found.prints:
            return "" if panel.sketch is None else f"page {panel.page} has no artwork in this ink, but prints"
        return compare_pixels(sheet, panel, preview_tones(found))

    return look


def compare_pixels(sheet: PrintedSheet, panel: PanelRecord, artwork: Tones) -> str:
    """Return how what lies on a panel differs from its artwork, in words; empty if it does not."""
    placed = _upright(sheet, panel, artwork.shape)
    differs = _differs(placed, artwork) & _printed(panel, artwork.shape)
    squares = _squares(differs)
    worst = int(squares.max(initial=0))
    if worst < _MANY:
        return ""
    row, column = np.unravel_index(int(squares.argmax()), squares.shape)
    page = panel.trim.size if panel.rotation in (0, 180) else panel.trim.size.turned
    x = (int(column) + 0.5) * _SQUARE / artwork.shape[1] * page.width
    y = page.height - (int(row) + 0.5) * _SQUARE / artwork.shape[0] * page.height
    places = int((squares >= _MANY).sum())
    more = f", and in {places - 1} more places" if places > 1 else ""
    return f"page {panel.page} differs from its artwork {show(x)} mm from the left and {show(y)} mm up{more}"


def _upright(sheet: PrintedSheet, panel: PanelRecord, shape: tuple[int, ...]) -> Tones:
    """Return a panel's trim turned upright, as many pixels as its artwork has."""
    high, wide = shape if panel.rotation in (0, 180) else shape[::-1]
    trim, scale = panel.trim, sheet.scale
    left, top = trim.x0 * scale, (sheet.size.height - trim.y1) * scale
    right, bottom = trim.x1 * scale, (sheet.size.height - trim.y0) * scale
    rows, columns = sheet.tones.shape
    window = max(0.0, left), max(0.0, top), min(float(columns), right), min(float(rows), bottom)
    picture = Image.fromarray(sheet.tones).resize((wide, high), Image.Resampling.BILINEAR, box=window)
    return np.rot90(np.asarray(picture), -panel.rotation // 90)


def _differs(one: Tones, other: Tones) -> _Mask:
    one, other = _blurred(one), _blurred(other)
    a, b = one.astype(np.int16), other.astype(np.int16)
    differs: _Mask = np.abs(a - b) > _SLACK + _EDGE * np.minimum(ranges(one), ranges(other))
    return differs


def _blurred(tones: Tones) -> Tones:
    """Return means of 3 × 3 pixels: fine screens and lines beat against the pixels, and not twice alike."""
    return np.asarray(Image.fromarray(tones).filter(ImageFilter.BoxBlur(1)))


def _printed(panel: PanelRecord, shape: tuple[int, ...]) -> _Mask:
    """Return which pixels of an upright page print and are nobody else's."""
    high, wide = shape if panel.rotation in (0, 180) else shape[::-1]
    inner = Box(*_within(panel))
    xs = np.linspace(panel.trim.x0, panel.trim.x1, wide + 1)
    ys = np.linspace(panel.trim.y1, panel.trim.y0, high + 1)
    across = (xs[:-1] >= inner.x0) & (xs[1:] <= inner.x1)
    down = (ys[:-1] <= inner.y1) & (ys[1:] >= inner.y0)
    printed: _Mask = np.rot90(down[:, None] & across[None, :], -panel.rotation // 90)
    return printed


def _within(panel: PanelRecord) -> tuple[float, float, float, float]:
    trim, clip = panel.trim, panel.clip
    x0, y0 = max(trim.x0, clip.x0) + _INSET, max(trim.y0, clip.y0) + _INSET
    return x0, y0, max(x0, min(trim.x1, clip.x1) - _INSET), max(y0, min(trim.y1, clip.y1) - _INSET)


def _squares(differs: _Mask) -> npt.NDArray[np.int64]:
    """Return how many pixels differ in every square."""
    rows, columns = (-(-side // _SQUARE) for side in differs.shape)
    padded = np.zeros((rows * _SQUARE, columns * _SQUARE), np.int64)
    padded[: differs.shape[0], : differs.shape[1]] = differs
    counts: npt.NDArray[np.int64] = padded.reshape(rows, _SQUARE, columns, _SQUARE).sum(axis=(1, 3))
    return counts
