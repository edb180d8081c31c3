"""Whether two layers of one page belong together as they lie, or better turned, mirrored, moved or scaled.

Two inks of one page share outlines, whether their tones go together or shun one another. So outlines are compared and
not tones: the strength of change at about 19 cells an inch, correlated over all shifts at once by Fourier transform
(the correlation theorem), in all eight ways a sheet can lie. The best is then set more finely at 75 an inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from imposer.geometry import Size, Turn
from imposer.tones.coverage import inked_box
from imposer.tones.plane import Plane, Tones, fold

Singles = npt.NDArray[np.float32]

#: Whether to mirror, degrees to turn, factor.
_Way = tuple[bool, Turn, float]

_TURNS: tuple[Turn, ...] = (0, 90, 180, 270)
#: Cells of the fine plane along a side of a coarse one.
_COARSE = 4
#: Scales tried besides the one that the inked boxes suggest: a page drawn for the next paper size up or down.
PAPER_STEPS = (0.5**0.5, 2**0.5)
#: Inked boxes whose proportions agree this well may be one drawing at two scales.
_SAME_SHAPE = 0.03
#: Of ways that match this nearly alike the plainest is taken: what is symmetrical needs no mirror. An own choice.
_TIE = 0.03
#: A place within so many coarse cells of the best, 4 mm, or a scale as near to it as this, is no other way to lay it.
_NEIGHBOURS, _NEAR_SCALE = 3, 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How the second layer must be laid so that its outlines fall best on those of the first.

    In this order: mirror it left to right, turn it, scale it about its middle, lay middle on middle and move it. The
    move is good to about a third of a cell of the plane of means, a tenth of a millimetre.

    Attributes:
        mirrored: Whether to mirror.
        turn: Degrees counter-clockwise.
        scale: Factor.
        dx: Move to the right, mm.
        dy: Move up, mm.
        score: Correlation of the outlines then, -1 … 1.
        as_is: Correlation as they lie.
        rival: The best correlation of any other way or place. What is laid neither mirrored nor turned has no rivals
            that are: a drawing may be symmetrical.
    """

    mirrored: bool
    turn: Turn
    scale: float
    dx: float
    dy: float
    score: float
    as_is: float
    rival: float


@dataclass(frozen=True, slots=True)
class Sameness:
    """How alike the tones of two layers are as they lie.

    Attributes:
        correlation: Of the tones, -1 … 1; that one layer is lighter throughout does not lower it.
        differing: Share of the area where they differ by more than a tenth of full tone, 0 … 1.
        unlike: The same share once the paler of the two is made as dark as the other throughout.
    """

    correlation: float
    differing: float
    unlike: float


def compare_tones(first: Plane, second: Plane) -> Sameness:
    """Return how alike two layers of one size are, to find the same art in two inks.

    Even planes, such as bare ones, correlate with nothing; two alike differ nowhere.
    """
    one = first.means.values.astype(np.float32)
    other = _resized(second.means.values, one.shape).astype(np.float32)
    return Sameness(_correlation(one, other), _differing(one, other), _differing(*_evened(one, other)))


def match_layers(
    first: Plane, second: Plane, *, shift_limit: float = 15.0, scales: Sequence[float] = PAPER_STEPS
) -> Match:
    """Return how the second layer must be laid to match the first best.

    Args:
        first: The layer that stays.
        second: The layer that is laid on it.
        shift_limit: Longest move along an axis that is tried, mm.
        scales: Factors to try besides 1 and the ratio of the inked boxes, if these are alike.

    Returns:
        The best of all ways; the layers as they lie, with a score of 0, if one has no outlines.
    """
    pitch = first.means.pitch
    found = _Best(_Outlines.of(first.means.values, pitch, first.size), shift_limit)
    outlines: dict[float, _Outlines] = {}
    for mirrored, turn, scale in _ways(first, second, scales):
        if scale not in outlines:
            values = scaled(second.means.values, scale * second.means.pitch / pitch)
            size = Size(second.size.width * scale, second.size.height * scale)
            outlines[scale] = _Outlines.of(values, pitch, size)
        found.offer(outlines[scale].laid(mirrored, turn), mirrored, turn, scale)
    return found.match()


def _ways(first: Plane, second: Plane, scales: Sequence[float]) -> Iterator[_Way]:
    """Return what to try: as it lies first, so that nothing else wins by a tie."""
    for mirrored in (False, True):
        for turn in _TURNS:
            yield mirrored, turn, 1.0
    one, other = inked_box(first), inked_box(second)
    if one is None or other is None:
        return
    ratios = one.width / other.width, one.height / other.height
    if abs(ratios[0] / ratios[1] - 1) < _SAME_SHAPE and abs(ratios[0] - 1) > 0.01 and 0.25 < ratios[0] < 4:
        yield False, 0, float(ratios[0] * ratios[1]) ** 0.5
    for scale in scales:
        yield False, 0, scale


@dataclass(frozen=True, slots=True, eq=False)
class _Outlines:
    """Outlines of a layer.

    Attributes:
        fine: Strength of change in fine cells.
        coarse: The same in coarse cells, less its mean.
        middle: Where the layer's middle is among the fine cells, down and across.
        pitch: Width of a fine cell, mm.
    """

    fine: Singles
    coarse: Singles
    middle: tuple[float, float]
    pitch: float

    @classmethod
    def of(cls, tones: Tones, pitch: float, size: Size) -> _Outlines:
        change = _change(tones)
        rows, columns = (-(-side // _COARSE) * _COARSE for side in change.shape)
        change = np.pad(change, ((0, rows - change.shape[0]), (0, columns - change.shape[1])))
        coarse = fold(fold(change, _COARSE, 0, np.add), _COARSE, 1, np.add)
        return cls(change, coarse - coarse.mean(), (size.height / pitch / 2, size.width / pitch / 2), pitch)

    def laid(self, mirrored: bool, turn: Turn) -> _Outlines:
        """Return them mirrored left to right, then turned counter-clockwise."""
        fine, coarse = ((v[:, ::-1] if mirrored else v) for v in (self.fine, self.coarse))
        down, across = self.middle[0], (fine.shape[1] - self.middle[1] if mirrored else self.middle[1])
        for _ in range(turn // 90):
            down, across = fine.shape[1] - across, down
            fine, coarse = np.rot90(fine), np.rot90(coarse)
        return _Outlines(fine, coarse, (down, across), self.pitch)


def _change(tones: Tones) -> Singles:
    """Return how strongly tones change, cell by cell."""
    padded = np.pad(tones, 1, mode="edge")
    one, other = padded[1:-1, 2:], padded[1:-1, :-2]
    across = np.maximum(one, other) - np.minimum(one, other)
    one, other = padded[2:, 1:-1], padded[:-2, 1:-1]
    change: Singles = np.add(across, np.maximum(one, other) - np.minimum(one, other), dtype=np.float32)
    return change


class _Best:
    """The best way found so far to lay a layer on a fixed one."""

    def __init__(self, fixed: _Outlines, shift_limit: float) -> None:
        self._fixed = fixed
        self._reach = max(round(shift_limit / (fixed.pitch * _COARSE)), 1)
        self._spectra: dict[tuple[int, int], npt.NDArray[np.complexfloating]] = {}
        self._way: _Way = (False, 0, 1.0)
        self._laid: _Outlines | None = None
        self._offset = (0, 0)
        self._score, self._as_is = 0.0, 0.0
        self._tried: list[tuple[_Way, Singles]] = []

    def offer(self, laid: _Outlines, mirrored: bool, turn: Turn, scale: float) -> None:
        scores = self._scores(laid)
        at = np.unravel_index(int(scores.argmax()), scores.shape)
        if self._laid is None:
            self._as_is = float(scores[self._reach, self._reach])
        self._tried.append(((mirrored, turn, scale), scores))
        if self._laid is None or scores[at] > self._score + _TIE:
            self._score, self._laid, self._way = float(scores[at]), laid, (mirrored, turn, scale)
            self._offset = (int(at[0]) - self._reach, int(at[1]) - self._reach)

    def match(self) -> Match:
        mirrored, turn, scale = self._way
        assert self._laid is not None, "at least one way was offered"
        down, across = (0.0, 0.0) if not self._score else _set_finely(self._fixed, self._laid, self._offset)
        return Match(
            mirrored=mirrored,
            turn=turn,
            scale=scale,
            dx=across * self._fixed.pitch,
            dy=-down * self._fixed.pitch,
            score=self._score,
            as_is=self._as_is,
            rival=self._rival(),
        )

    def _rival(self) -> float:
        """Return the best correlation of all that is not the best way and near the best place."""
        (mirrored, turn, scale), plain = self._way, not self._way[0] and not self._way[1]
        best = 0.0
        for (other_mirrored, other_turn, other_scale), scores in self._tried:
            same = (other_mirrored, other_turn) == (mirrored, turn)
            if plain and not same:
                continue
            if same and abs(other_scale / scale - 1) < _NEAR_SCALE:
                scores = scores.copy()
                top, left = (max(at + self._reach - _NEIGHBOURS, 0) for at in self._offset)
                down, across = (at + self._reach + _NEIGHBOURS + 1 for at in self._offset)
                scores[top:down, left:across] = 0
            best = max(best, float(scores.max()))
        return best

    def _scores(self, laid: _Outlines) -> Singles:
        """Return the correlations at all shifts down and across within the reach, middle on middle in the centre."""
        one, other, reach = self._fixed.coarse, laid.coarse, self._reach
        norm = float(np.sqrt((one * one).sum() * (other * other).sum(), dtype=np.float64))
        if not norm:
            return np.zeros((2 * reach + 1, 2 * reach + 1), dtype=np.float32)
        shape = _round_up(max(len(one), len(other)) + reach), _round_up(max(one.shape[1], other.shape[1]) + reach)
        if shape not in self._spectra:
            self._spectra[shape] = np.fft.rfft2(one, shape)
        product = self._spectra[shape] * np.fft.rfft2(other, shape).conj()
        middle = [(a - b) // 2 for a, b in zip(one.shape, other.shape, strict=True)]
        rows, columns = (np.arange(m - reach, m + reach + 1) % n for m, n in zip(middle, shape, strict=True))
        # Back along the columns first: of their rows only those within the reach go on.
        near = np.fft.irfft(np.fft.ifft(product, axis=0)[rows], shape[1], axis=1)
        scores: Singles = (near[:, columns] / norm).astype(np.float32)
        return scores


def _set_finely(fixed: _Outlines, laid: _Outlines, offset: tuple[int, int]) -> tuple[float, float]:
    """Return the shift down and across in fine cells: climb from a coarse one, then a parabola through the top."""
    one, other = fixed.fine - fixed.fine.mean(), laid.fine - laid.fine.mean()
    known: dict[tuple[int, int], float] = {}

    def score(down: int, across: int) -> float:
        """Return how well they match with the second's first cell on this one of the first."""
        if (down, across) not in known:
            known[down, across] = _overlap(one, other, down, across)
        return known[down, across]

    start = [
        (o + (a - b) // 2) * _COARSE for o, a, b in zip(offset, fixed.coarse.shape, laid.coarse.shape, strict=True)
    ]
    at = (start[0], start[1])
    while True:
        near = [(at[0] + down, at[1] + across) for down in (-1, 0, 1) for across in (-1, 0, 1)]
        best = max(near, key=lambda place: score(*place))
        if score(*best) <= score(*at):
            break
        at = best
    down = at[0] + _vertex(score(at[0] - 1, at[1]), score(*at), score(at[0] + 1, at[1]))
    across = at[1] + _vertex(score(at[0], at[1] - 1), score(*at), score(at[0], at[1] + 1))
    return down + laid.middle[0] - fixed.middle[0], across + laid.middle[1] - fixed.middle[1]


def _overlap(one: Singles, other: Singles, down: int, across: int) -> float:
    """Return the sum of products of two planes, the second's first cell on the first's (down, across)."""
    rows, columns = (
        (max(at, 0), max(min(at + b, a), max(at, 0)))
        for at, a, b in zip((down, across), one.shape, other.shape, strict=True)
    )
    mine = one[rows[0] : rows[1], columns[0] : columns[1]]
    theirs = other[rows[0] - down : rows[1] - down, columns[0] - across : columns[1] - across]
    return float(np.einsum("ij,ij->", mine, theirs))


def _vertex(before: float, here: float, after: float) -> float:
    """Return where between -1/2 and 1/2 the parabola through three values has its top."""
    bend = before - 2 * here + after
    return 0.0 if bend >= 0 else min(max((before - after) / (2 * bend), -0.5), 0.5)


def _round_up(length: int) -> int:
    """Return the next length that a Fourier transform takes quickly: a product of 2, 3 and 5."""
    found = length
    while True:
        rest = found
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return found
        found += 1


def scaled(values: Tones, factor: float) -> Tones:
    """Return tones in cells that are as many times as wide as the factor says."""
    if abs(factor - 1) < 1e-6:
        return values
    return _resized(values, tuple(max(round(side * factor), _COARSE) for side in values.shape))


def _resized(values: Tones, shape: tuple[int, ...]) -> Tones:
    if values.shape == shape:
        return values
    picture = Image.fromarray(np.ascontiguousarray(values))
    return np.asarray(picture.resize((shape[1], shape[0]), Image.Resampling.BILINEAR))


def _differing(one: Singles, other: Singles) -> float:
    """Return the share of cells that differ by more than a tenth of full tone."""
    return float((np.abs(one - other) > 25.5).mean())


def _evened(one: Singles, other: Singles) -> tuple[Singles, Singles]:
    """Return two planes, the paler one made as dark as the other: by the factor that leaves the least squares."""
    squares, products = (float(np.einsum("ij,ij->", *two)) for two in ((one, one), (one, other)))
    if not products:
        return one, other
    if products < squares:
        return one, other * (products / float(np.einsum("ij,ij->", other, other)))
    return one * (products / squares), other


def _correlation(one: Singles, other: Singles) -> float:
    one, other = one - one.mean(), other - other.mean()
    norm = float(np.sqrt(float((one * one).sum()) * float((other * other).sum())))
    return float((one * other).sum()) / norm if norm else 0.0
