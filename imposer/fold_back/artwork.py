"""Masters held against the artwork itself, pixel by pixel, where the artwork is at hand.

Both are taken at 72 pixels an inch. A renderer snaps lines to whole pixels, and
not the same way on a turned page; so a pixel may differ by as much as the tones vary around it in both pictures, and a
difference is one where many pixels of a small square differ by more.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image

from imposer.fold_back.compose import preview_tones
from imposer.fold_back.look import PrintedSheet
from imposer.fold_back.printed import Look
from imposer.fold_back.record import MasterRecord, PanelRecord
from imposer.geometry import Box
from imposer.pages.measure import PREVIEW_PPI
from imposer.pages.model import Measured
from imposer.prepared import Prepared
from imposer.tones.sketch import Tones
from imposer.units import show

#: Both pictures are brought to this many pixels an inch. So each pixel is a mean over its neighbours too, and fine
#: screens and lines, which beat against the pixels and not twice alike, are even.
_PPI = 72.0
#: A pixel may differ by so much of 255, and by as much again as the tones vary around it.
_SLACK = 40
#: Side of the squares that are judged, pixels (2 mm), and how many of their pixels must differ.
_SQUARE, _MANY = 6, 7
#: Neighbours' art may reach this far into a panel by the renderer's pixels, mm.
_INSET = 0.6

_Mask = npt.NDArray[np.bool_]
_Places = npt.NDArray[np.intp]


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
    high, wide = (max(1, round(side * _PPI / PREVIEW_PPI)) for side in artwork.shape)
    wanted = np.asarray(Image.fromarray(artwork).resize((wide, high), Image.Resampling.BILINEAR))
    squares = _squares(_upright(sheet, panel, (high, wide)), wanted, _printed(panel, (high, wide)))
    if int(squares.max(initial=0)) < _MANY:
        return ""
    row, column = np.unravel_index(int(squares.argmax()), squares.shape)
    page = panel.trim.size if panel.rotation in (0, 180) else panel.trim.size.turned
    x = (int(column) + 0.5) * _SQUARE / wide * page.width
    y = page.height - (int(row) + 0.5) * _SQUARE / high * page.height
    places = int((squares >= _MANY).sum())
    more = f", and in {places - 1} more places" if places > 1 else ""
    return f"page {panel.page} differs from its artwork {show(x)} mm from the left and {show(y)} mm up{more}"


def _upright(sheet: PrintedSheet, panel: PanelRecord, shape: tuple[int, int]) -> Tones:
    """Return a panel's trim turned upright, in so many pixels."""
    high, wide = shape if panel.rotation in (0, 180) else shape[::-1]
    trim, scale = panel.trim, sheet.scale
    left, top = trim.x0 * scale, (sheet.size.height - trim.y1) * scale
    right, bottom = trim.x1 * scale, (sheet.size.height - trim.y0) * scale
    rows, columns = sheet.tones.shape
    window = max(0.0, left), max(0.0, top), min(float(columns), right), min(float(rows), bottom)
    picture = Image.fromarray(sheet.tones).resize((wide, high), Image.Resampling.BILINEAR, box=window)
    return np.rot90(np.asarray(picture), -panel.rotation // 90)


def _squares(one: Tones, other: Tones, judged: _Mask) -> npt.NDArray[np.int64]:
    """Return how many pixels of every square differ by more than the tones vary around them in both pictures."""
    gap = np.maximum(one, other) - np.minimum(one, other)
    rows, columns = np.nonzero((gap > _SLACK) & judged)
    explained = np.minimum(_ranges(one, rows, columns), _ranges(other, rows, columns))
    differs = gap[rows, columns].astype(np.int64) > explained + _SLACK
    down, across = (-(-side // _SQUARE) for side in gap.shape)
    at = rows[differs] // _SQUARE * across + columns[differs] // _SQUARE
    return np.bincount(at, minlength=down * across).reshape(down, across)


def _ranges(tones: Tones, rows: _Places, columns: _Places) -> npt.NDArray[np.int64]:
    """Return the range among some pixels and their eight neighbours."""
    padded = np.pad(tones, 1, mode="edge")
    around = np.stack([padded[rows + i, columns + j] for i in range(3) for j in range(3)])
    ranges: npt.NDArray[np.int64] = around.max(axis=0).astype(np.int64) - around.min(axis=0)
    return ranges


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
