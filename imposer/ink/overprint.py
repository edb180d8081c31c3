"""The overprint model: paper, one colour per full-tone ink and one gain per ink give the colour of every print.

A colour for every set of inks that may meet is worked out once, by `solids`; tints are mixed from these, by `halftone`.
`predict` is the plain reference; `raster`, `table` and `page` do the same for whole pages, previews and browsers. A
prediction is a simulation: see `defaults` for what it rests on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from imposer.ink import defaults
from imposer.ink.colour import WHITE, Colour, Floats, Triple
from imposer.ink.halftone import effective_coverage, yule_nielsen
from imposer.ink.solids import Chart, InkAppearance, overprint_solids

if TYPE_CHECKING:
    from imposer.job.model import Ink, Overprint, Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class OverprintModel:
    """Everything a prediction needs, worked out.

    Attributes:
        inks: Names, in the order they are printed; ink i is bit i of a solid's number.
        solids: Linear Rec.2020 of every set of inks at full tone; number 0 is the bare paper, 2^k rows.
        gains: What a 50 % tint of each ink gains.
        n: The Yule–Nielsen factor.
        measured: The sets of inks whose colour comes from a chart and not from the film model.
        beyond_screen: The inks whose full tone no sRGB screen can show as it was given.
    """

    inks: tuple[str, ...]
    solids: tuple[Triple, ...]
    gains: tuple[float, ...]
    n: float
    measured: frozenset[frozenset[str]] = frozenset()
    beyond_screen: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        ink_count = len(self.inks)
        if len(self.solids) != 2**ink_count or len(self.gains) != ink_count:
            raise ValueError(f"{ink_count} inks, {len(self.gains)} gains and {len(self.solids)} solids do not match")
        if not 1 <= self.n < math.inf:
            raise ValueError(f"a Yule–Nielsen factor of {self.n} is less than 1 or not finite")

    @property
    def paper(self) -> Triple:
        """Linear Rec.2020 of the bare paper."""
        return self.solids[0]

    @property
    def roots(self) -> Floats:
        """The solids in the space where tints mix, `P^(1/n)`, shape (2^k, 3)."""
        roots: Floats = np.array(self.solids) ** (1 / self.n)
        return roots


def overprint_model(
    paper: Colour,
    inks: Sequence[InkAppearance],
    *,
    overprints: Chart | None = None,
    reference: Colour = WHITE,
    floor: float = defaults.UNCOATED_FLOOR,
    n: float = defaults.YULE_NIELSEN_N,
) -> OverprintModel:
    """Work out the colour of every set of inks on the job's paper.

    Args:
        paper: The job's paper.
        inks: The job's inks in the order they are printed. The order matters only to inks that hide.
        overprints: Colours a studio measured on its own chart, at full tone, by the inks that meet: one ink, two or
            more. They take the place of what the model would say. If it holds the empty set, that is the paper of the
            chart, and all its colours are carried to the job's paper; else it was printed on the job's paper. Sets
            with other inks than the job's are left aside.
        reference: The paper on which the inks' own colours are given.
        floor: The surface floor, a property of the paper's class.
        n: The Yule–Nielsen factor.

    Raises:
        ValueError: an ink comes twice, there are too many, or a number is out of its range.
    """
    names = tuple(ink.name for ink in inks)
    if len(set(names)) != len(names):
        raise ValueError(f"an ink comes twice in {', '.join(names)}")
    if len(names) > defaults.MOST_INKS:
        raise ValueError(f"{len(names)} inks are more than the {defaults.MOST_INKS} the model keeps solids for")
    if not 0 <= floor < 1:
        raise ValueError(f"a surface floor of {floor} leaves the range 0 to 1")
    known = {inked: colour for inked, colour in (overprints or {}).items() if inked <= set(names)}
    solids = overprint_solids(paper, inks, chart=known, reference=reference, floor=floor)
    return OverprintModel(
        inks=names,
        solids=tuple((float(red), float(green), float(blue)) for red, green, blue in solids),
        gains=tuple(ink.gain for ink in inks),
        n=n,
        measured=frozenset(known) - {frozenset()},
        beyond_screen=tuple(ink.name for ink in inks if not known.get(frozenset((ink.name,)), ink.colour).on_screen),
    )


def shop_model(paper: Paper, inks: Sequence[Ink], overprints: Sequence[Overprint] = ()) -> OverprintModel:
    """Work out the model from what the shop says of its paper and inks, with the defaults for all it does not say.

    Args:
        paper: The job's paper.
        inks: The job's inks in the order they are printed.
        overprints: What the shop measured of inks on one another, on white paper; those of other inks are left aside.
    """
    chart = {frozenset(): WHITE, **{frozenset(each.inks): stated_colour(each) for each in overprints}}
    looks = [appearance(ink) for ink in inks]
    return overprint_model(Colour.from_hex(paper.colour), looks, overprints=chart if overprints else None)


def appearance(ink: Ink) -> InkAppearance:
    """Return how a shop's ink looks in print: as measured, where the shop says that, else as its colour code says."""
    return InkAppearance(
        name=ink.name,
        colour=stated_colour(ink),
        gain=defaults.GAIN if ink.gain is None else ink.gain,
        opacity=defaults.OPACITY if ink.opacity is None else ink.opacity,
    )


def stated_colour(stated: Ink | Overprint) -> Colour:
    """Return a full tone as the shop states it: as measured, where it says that, else as its colour code says."""
    return Colour.from_hex(stated.colour) if stated.lab is None else Colour.from_lab(stated.lab)


def predict(model: OverprintModel, tones: npt.ArrayLike) -> Floats:
    """Return the colour of a print, averaged over the screen's dots.

    Args:
        model: The overprint model.
        tones: The tone asked of every ink, 0…1, shape (..., k) in the order of `model.inks`.

    Returns:
        Linear Rec.2020, shape (..., 3).
    """
    return yule_nielsen(model.solids, effective_coverage(tones, np.array(model.gains)), model.n)
