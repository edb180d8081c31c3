"""How much independent detail of two layers agrees once one is laid as a match says.

Outlines that correlate prove little: a block matches any block, a disc any disc, and one line of words another. So
both layers are cut into blocks of 5 mm, and a block speaks only if its outlines have structure down and across: of the
strength of change, what rows and columns alone explain is taken away, and with it edges along the page and lines of
type. A block counts for as much as its edges run in more than one direction; an even stroke or a wide arc counts for
next to nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from imposer.tones.likeness import Match, scaled
from imposer.tones.plane import Plane

Singles = npt.NDArray[np.float32]

#: Width of a block, mm: a few letters of running text. A working value of our own.
_BLOCK = 5.0
#: A block agrees from this correlation on.
_AGREES = 0.5
#: Fainter structure than this, in tones of 255 a cell, is the grain of paper or file.
_FAINT = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What agrees of two layers.

    Attributes:
        details: Blocks that agree, each counted by how far its edges run in more than one direction, 0 … 1.
        of_first: Their part of the first layer's outlines, 0 … 1.
        of_second: Their part of the second layer's outlines that fall on the first, 0 … 1.
    """

    details: float
    of_first: float
    of_second: float


def agreement(first: Plane, second: Plane, match: Match) -> Agreement:
    """Return what agrees of two layers, the second laid as a match says."""
    side = max(round(_BLOCK / first.means.pitch), 2)
    one = _Blocks.of(first.means.values.astype(np.float32), side)
    other = _Blocks.of(_laid(first, second, match), side)
    least = side * side * _FAINT**2
    speak = (one.varied > least) & (other.varied > least)
    shared = np.einsum("aibj,aibj->ab", one.structure, other.structure)
    agrees = speak & (shared > _AGREES * np.sqrt(one.varied * other.varied))
    return Agreement(
        details=float(np.minimum(one.corners, other.corners)[agrees].sum()),
        of_first=_part(one.strength, agrees),
        of_second=_part(other.strength, agrees),
    )


def _laid(first: Plane, second: Plane, match: Match) -> Singles:
    """Return the second's tones on the cells of the first, bare where they do not reach."""
    pitch = first.means.pitch
    tones = scaled(second.means.values, match.scale * second.means.pitch / pitch)
    down, across = (side * match.scale / pitch / 2 for side in (second.size.height, second.size.width))
    if match.mirrored:
        tones, across = tones[:, ::-1], tones.shape[1] - across
    for _ in range(match.turn // 90):
        down, across, tones = tones.shape[1] - across, down, np.rot90(tones)
    top = round(first.size.height / pitch / 2 - down - match.dy / pitch)
    left = round(first.size.width / pitch / 2 - across + match.dx / pitch)
    result = np.zeros(first.means.values.shape, dtype=np.float32)
    into = result[max(top, 0) : max(top + tones.shape[0], 0), max(left, 0) : max(left + tones.shape[1], 0)]
    from_top, from_left = max(-top, 0), max(-left, 0)
    into[...] = tones[from_top : from_top + into.shape[0], from_left : from_left + into.shape[1]]
    return result


@dataclass(frozen=True, slots=True, eq=False)
class _Blocks:
    """A layer in blocks.

    Attributes:
        strength: Sums of the strength of change, a block.
        structure: That strength less what rows and columns explain: block down, cell down, block across, cell across.
        varied: Sums of its squares, a block.
        corners: How far edges run in more than one direction, a block: 0 all along one, 1 as much across it.
    """

    strength: Singles
    structure: Singles
    varied: Singles
    corners: Singles

    @classmethod
    def of(cls, tones: Singles, side: int) -> _Blocks:
        padded = np.pad(tones, 1, mode="edge")
        across = _cut(padded[1:-1, 2:] - padded[1:-1, :-2], side)
        down = _cut(padded[2:, 1:-1] - padded[:-2, 1:-1], side)
        change = np.abs(across) + np.abs(down)
        rows, columns = change.mean(axis=3, keepdims=True), change.mean(axis=1, keepdims=True)
        structure = change - rows - columns + rows.mean(axis=1, keepdims=True)
        # The tensor of the edges' directions: one direction alone has no determinant.
        xx, yy, xy = (np.einsum("aibj,aibj->ab", *two) for two in ((across, across), (down, down), (across, down)))
        corners = 4 * np.maximum(xx * yy - xy * xy, 0) / np.maximum(xx + yy, 1) ** 2
        return cls(change.sum(axis=(1, 3)), structure, np.einsum("aibj,aibj->ab", structure, structure), corners)


def _cut(values: Singles, side: int) -> Singles:
    """Return values in square blocks; those at the far ends that are cut short are left out, unless none is whole."""
    rows, columns = (-(-extent // side) if extent < side else extent // side for extent in values.shape)
    whole = np.zeros((rows * side, columns * side), dtype=np.float32)
    kept = values[: rows * side, : columns * side]
    whole[: kept.shape[0], : kept.shape[1]] = kept
    return whole.reshape(rows, side, columns, side)


def _part(strength: Singles, of: npt.NDArray[np.bool_]) -> float:
    whole = float(strength.sum())
    return float(strength[of].sum()) / whole if whole else 0.0
