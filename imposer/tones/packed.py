"""Shapes worked 64 pixels at a time: a mask packed into words, and openings of it by discs at true size.

Morphology on bytes at 600 pixels per inch costs seconds; on packed words it costs milliseconds, in exact whole pixels.
A packed mask carries a margin of whole words on the left and right, so that the plane may be taken as one long row of
bits: a shift in any direction is then one move along it, and what runs over a row's end lands in the margin.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from itertools import accumulate
from operator import sub

import numpy as np
import numpy.typing as npt

from imposer.tones.plane import Mask, Tones

Words = npt.NDArray[np.uint64]

#: Pixels in a word, and the width of the margin on the left and right.
WORD = 64
#: The widest disc that fits the margin twice over.
WIDEST_DISC = WORD // 2

#: Rows packed, and rows of words worked, at a time: what is worked on stays near the processor, and its memory is used
#: again.
_BAND, _BAND_OF_WORDS = 512, 640


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Packed:
    """A mask of one bit a pixel, with a margin all round.

    Attributes:
        words: Shape (height + 2 × margin, words a row), uint64; the lowest bit is the leftmost pixel. A row is one word
            of margin, the pixels, and at least one word of margin.
        height: Rows of the mask.
        width: Pixels a row of the mask.
        margin: Rows of margin above and below.
    """

    words: Words
    height: int
    width: int
    margin: int

    def with_words(self, words: Words) -> Packed:
        """Return a mask of the same shape with other bits."""
        return replace(self, words=words)

    def inside(self) -> Packed:
        """Return the mask with the margin cleared."""
        return self.with_words(self.words & _frame(self.height, self.width, self.margin))

    def unpacked(self) -> Mask:
        """Return the mask, shape (height, width), bool."""
        rows = self.words[self.margin : self.margin + self.height]
        bits = np.unpackbits(np.ascontiguousarray(rows).view(np.uint8), axis=1, bitorder="little")
        return bits[:, WORD : WORD + self.width].view(np.bool_)

    def positions(self, places: npt.NDArray[np.intp], bits: npt.NDArray[np.intp]) -> tuple[npt.NDArray[np.intp], ...]:
        """Return rows and columns of the mask for bits of words, the words counted through all rows."""
        row, word = np.divmod(places, self.words.shape[1])
        return row - self.margin, (word - 1) * WORD + bits


def pack(values: Tones, least: int = 1, *, below: bool = False, margin: int = 0, outside: bool = False) -> Packed:
    """Pack the pixels of at least a value, or those below it.

    Args:
        values: Shape (height, width), uint8; a mask of bools goes in by `mask.view(np.uint8)`.
        least: The value.
        below: Take the pixels below `least` instead.
        margin: Rows to add above and below; the sides get at least 64 pixels.
        outside: What lies beyond the plane.
    """
    height, width = values.shape
    stride = (width + WORD - 1) // WORD + 2
    every = ~np.uint64(0) if outside else np.uint64(0)
    words = np.full((height + 2 * margin, stride), every)
    compare = np.less if below else np.greater_equal
    strip = np.full((_BAND, stride * WORD), outside)
    for top in range(0, height, _BAND):
        rows = values[top : top + _BAND]
        compare(rows, np.uint8(least), out=strip[: len(rows), WORD : WORD + width])
        bits = np.packbits(strip[: len(rows)].reshape(-1), bitorder="little")
        words[margin + top : margin + top + len(rows)] = bits.view("<u8").reshape(len(rows), stride)
    return Packed(words=words, height=height, width=width, margin=margin)


def pack_pairs(values: Tones, least: int = 1, *, below: bool = False, margin: int = 0, outside: bool = False) -> Packed:
    """Pack a plane of half the size: squares of 2 × 2 pixels of which any would be packed by `pack`."""
    height, width = (-(-side // 2) for side in values.shape)
    extreme = np.minimum if below else np.maximum
    compare = np.less if below else np.greater_equal
    pairs = np.empty((height, width), dtype=np.bool_)
    whole = values.shape[1] // 2 * 2
    for top in range(0, height, _BAND):
        rows = values[2 * top : 2 * (top + _BAND)]
        joined = extreme(rows[: len(rows) // 2 * 2 : 2], rows[1::2])
        if len(rows) % 2:
            joined = np.concatenate((joined, rows[-1:]))
        marked = compare(joined, np.uint8(least))
        # Two bytes at a time: a pair of pixels is marked if either byte is.
        pairs[top : top + len(marked), : whole // 2] = np.ascontiguousarray(marked[:, :whole]).view(np.uint16)
        if whole < values.shape[1]:
            pairs[top : top + len(marked), -1] = marked[:, -1]
    return pack(pairs.view(np.uint8), margin=margin, outside=outside)


def opened(packed: Packed, diameter: int) -> Packed:
    """Return what of a mask a disc of `diameter` pixels can reach without leaving it.

    The margin must be twice the diameter, or what lies outside will not count as it should.

    Raises:
        ValueError: the disc or the margin does not allow it.
    """
    if not 1 <= diameter <= WIDEST_DISC:
        raise ValueError(f"a disc of {diameter} pixels does not fit a margin of {WORD}")
    if packed.margin < 2 * diameter:
        raise ValueError(f"a disc of {diameter} pixels needs {2 * diameter} rows of margin, not {packed.margin}")
    moves = disc_moves(diameter)
    return packed.with_words(_in_bands(packed.words, diameter, lambda words: _dilate(_erode(words, moves), moves)))


def eroded(packed: Packed, radius: int) -> Packed:
    """Return the pixels whose disc of `radius` pixels round them lies in the mask."""
    moves = disc_moves(2 * radius + 1)
    left, top = _middle(moves)
    return packed.with_words(
        _in_bands(packed.words, 2 * radius + 1, lambda words: shifted(_erode(words, moves), -left, -top))
    )


def dilated(packed: Packed, radius: int) -> Packed:
    """Return the pixels within `radius` pixels of the mask."""
    moves = disc_moves(2 * radius + 1)
    left, top = _middle(moves)
    return packed.with_words(
        _in_bands(packed.words, 2 * radius + 1, lambda words: shifted(_dilate(words, moves), left, top))
    )


def disc_moves(diameter: int) -> tuple[tuple[int, int], ...]:
    """Return the moves (right, down) that make a digital disc of one pixel, each joining what there is with its copy.

    A pixel belongs to the disc if its centre lies within half the diameter of the middle. What is made is the polygon
    of sixteen sides nearest to that: the same up to 21 pixels, and different in 8 pixels of the outline at most up to
    32. A polygon is the sum, in Minkowski's sense, of its sides, so that an erosion by it is one by each of them.

    >>> disc_moves(4)
    ((1, 0), (0, 1), (1, 1), (-1, 1))
    """
    straight, diagonal, steep = _polygon(diameter)
    sides = (
        ((1, 0), straight), ((0, 1), straight), ((1, 1), diagonal), ((-1, 1), diagonal),
        ((2, 1), steep), ((1, 2), steep), ((-1, 2), steep), ((-2, 1), steep),
    )  # fmt: skip
    moves = []
    for (right, down), pixels in sides:
        # By doubling: moves of 1, 2, 4 … pixels, the last of what is left.
        have = 1
        while have <= pixels:
            more = min(have, pixels + 1 - have)
            moves.append((right * more, down * more))
            have += more
    return tuple(moves)


@cache
def _polygon(diameter: int) -> tuple[int, int, int]:
    """Return how far the sides of the polygon nearest to a disc run: straight, at 1 across to 1 down, and at 2 to 1."""
    middle, squared = (diameter - 1) / 2, diameter * diameter / 4
    upper = (diameter + 1) // 2
    disc = [
        next(left for left in range(diameter) if (left - middle) ** 2 + (row - middle) ** 2 <= squared)
        for row in range(upper)
    ]

    def differing(sides: tuple[int, int, int]) -> int:
        straight, diagonal, steep = sides
        # Row by row the outline goes left by so many pixels; in the end straight down.
        to_left = [2] * steep + [1] * diagonal + [0, 1] * steep + [0] * straight
        lefts = accumulate(to_left, sub, initial=2 * steep + diagonal + steep)
        return sum(abs(one - other) for one, other in zip(disc, lefts, strict=False))

    return min(
        (
            (diameter - 1 - 2 * diagonal - 6 * steep, diagonal, steep)
            for steep in range((diameter - 1) // 6 + 1)
            for diagonal in range((diameter - 1 - 6 * steep) // 2 + 1)
        ),
        key=differing,
    )


def _middle(moves: tuple[tuple[int, int], ...]) -> tuple[int, int]:
    """Return the middle (right, down) of a disc of odd diameter from where it is held."""
    return sum(right for right, _ in moves) // 2, sum(down for _, down in moves) // 2


def shifted(words: Words, dx: int, dy: int) -> Words:
    """Return the words whose pixel (x, y) is pixel (x + dx, y + dy) of the old ones; zeros run in at the ends."""
    moved = np.zeros(words.size, dtype=np.uint64)
    _move(words.reshape(-1), dy * words.shape[1] * WORD + dx, moved)
    return moved.reshape(words.shape)


def _in_bands(words: Words, reach: int, work: Callable[[Words], Words]) -> Words:
    """Work bands of rows one after another, each with `reach` rows of its neighbours."""
    result = np.empty_like(words)
    for top in range(0, len(words), _BAND_OF_WORDS):
        bottom = min(top + _BAND_OF_WORDS, len(words))
        above = min(reach, top)
        worked = work(words[top - above : bottom + reach])
        result[top:bottom] = worked[above : above + bottom - top]
    return result


def _move(flat: Words, by: int, into: Words) -> slice:
    """Set the words of `into` that bits moved down by `by` fall in, and return which; the others are left as they are.

    A word that only some bits fall in is filled up with zeros.
    """
    count = len(flat)
    whole, part = divmod(by, WORD)
    if not -count < whole < count:
        return slice(0, 0)
    if not part:
        here = slice(max(-whole, 0), count - max(whole, 0))
        into[here] = flat[here.start + whole : here.stop + whole]
        return here
    # A word is made of the upper bits of one and the lower bits of the next; at either end one of the two is missing.
    here = slice(max(-whole - 1, 0), count - max(whole, 0))
    first, last = max(-whole, 0), min(here.stop, count - whole - 1)
    np.right_shift(flat[first + whole : here.stop + whole], np.uint64(part), out=into[first : here.stop])
    into[here.start : first] = 0
    into[here.start : last] |= flat[here.start + whole + 1 : last + whole + 1] << np.uint64(WORD - part)
    return here


def _erode(words: Words, moves: tuple[tuple[int, int], ...]) -> Words:
    """Return the pixels at which a shape may be held with all of it inside the mask."""
    flat = words.reshape(-1)
    for right, down in moves:
        moved = np.empty_like(flat)
        here = _move(flat, down * words.shape[1] * WORD + right, moved)
        moved[here] &= flat[here]
        moved[here.stop :] = 0
        flat = moved
    return flat.reshape(words.shape)


def _dilate(words: Words, moves: tuple[tuple[int, int], ...]) -> Words:
    """Return all that the shape covers when it is held at pixels of the mask."""
    flat = words.reshape(-1)
    for right, down in moves:
        moved = np.empty_like(flat)
        here = _move(flat, -(down * words.shape[1] * WORD + right), moved)
        moved[here] |= flat[here]
        moved[: here.start] = flat[: here.start]
        flat = moved
    return flat.reshape(words.shape)


def _frame(height: int, width: int, margin: int) -> Words:
    """Return words that are set inside the plane and clear in the margin."""
    stride = (width + WORD - 1) // WORD + 2
    row = np.zeros(stride * WORD, dtype=np.bool_)
    row[WORD : WORD + width] = True
    words = np.packbits(row, bitorder="little").view("<u8").astype(np.uint64, copy=False)
    frame = np.zeros((height + 2 * margin, stride), dtype=np.uint64)
    frame[margin : margin + height] = words
    return frame
