"""Tints: from the tone asked of every ink to the colour of the screened print, given the colours of the solids.

Tones, coverages and reflectances are 0…1. These are the textbook laws alone; `overprint` puts them together.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from imposer.ink.colour import Floats


def effective_coverage(tones: npt.ArrayLike, gain: npt.ArrayLike) -> Floats:
    """Return the share of the paper that a tone covers in effect: `t + 4 g t (1 - t)`, kept within 0…1.

    Args:
        tones: What was asked of the ink.
        gain: g, what a 50 % tint gains; one number, or one for each entry of the last axis of `tones`.

    >>> effective_coverage([0.0, 0.5, 1.0], 0.12).tolist()
    [0.0, 0.62, 1.0]
    """
    tone = np.asarray(tones, dtype=np.float64)
    covered: Floats = np.clip(tone + 4 * np.asarray(gain, dtype=np.float64) * tone * (1 - tone), 0.0, 1.0)
    return covered


def mix(solids: npt.ArrayLike, coverages: npt.ArrayLike) -> Floats:
    """Mix the solids by the areas they take when the inks fall independently of one another.

    The areas are those of Demichel (1924): ink i is there with probability a_i. Their sum over the solids (H. E. J.
    Neugebauer, 1937) is worked ink by ink as nested straight mixes, which is the same sum.

    Args:
        solids: One row for every set of the k inks, shape (2^k, c); bit i of a row's number says if ink i is there.
        coverages: Effective coverage of every ink, shape (..., k).

    Returns:
        The mixtures, shape (..., c).

    >>> mix([[0.8], [0.3]], [[0.25]]).tolist()
    [[0.675]]
    """
    covered = np.asarray(coverages, dtype=np.float64)
    mixture: Floats = np.asarray(solids, dtype=np.float64)
    if len(mixture) != 2 ** covered.shape[-1]:
        raise ValueError(f"{covered.shape[-1]} inks need {2 ** covered.shape[-1]} solids, not {len(mixture)}")
    mixture = np.broadcast_to(mixture, (*covered.shape[:-1], *mixture.shape))
    for ink in range(covered.shape[-1]):
        without, with_ink = mixture[..., 0::2, :], mixture[..., 1::2, :]
        mixture = without + covered[..., ink, None, None] * (with_ink - without)
    return mixture[..., 0, :]


def yule_nielsen(solids: npt.ArrayLike, coverages: npt.ArrayLike, n: float) -> Floats:
    """Mix reflectances with light that spreads in the paper: `(sum w P^(1/n))^n` (J. A. C. Yule, W. J. Nielsen, 1951).

    With n = 1 this is Neugebauer's mixture, and for one ink that of Murray and Davies (1936). Shapes as for `mix`.
    """
    mixture: Floats = mix(np.asarray(solids, dtype=np.float64) ** (1 / n), coverages) ** n
    return mixture


def apparent_coverage(paper: npt.ArrayLike, solid: npt.ArrayLike, tint: npt.ArrayLike, n: float) -> Floats:
    """Return the coverage at which one ink's tint would have been predicted: Yule–Nielsen turned round.

    Args:
        paper: Reflectance of the bare paper, shape (c,).
        solid: Reflectance of the ink's full tone, shape (c,).
        tint: Measured reflectances, shape (..., c). With several channels the nearest point between paper and solid
            counts, channel differences squared.
        n: The Yule–Nielsen factor.

    Returns:
        Coverages, shape (...).
    """
    start, end, reading = (np.asarray(value, dtype=np.float64) ** (1 / n) for value in (paper, solid, tint))
    way = end - start
    coverage: Floats = (reading - start) @ way / (way @ way)
    return coverage


def fit_gain(tones: npt.ArrayLike, coverages: npt.ArrayLike) -> float:
    """Return the gain at 50 % that fits an ink's ramp best, by least squares of coverage.

    Args:
        tones: What was asked, shape (m,); at least one lies between 0 and 1.
        coverages: What was read there, from `apparent_coverage`, shape (m,).

    >>> round(fit_gain([0.25, 0.5], [0.34, 0.62]), 3)
    0.12
    """
    tone = np.asarray(tones, dtype=np.float64)
    bulge = 4 * tone * (1 - tone)
    return float((np.asarray(coverages, dtype=np.float64) - tone) @ bulge / (bulge @ bulge))
