"""The colour of every set of inks at full tone, from films laid on one another and from a studio's own chart.

The paper, one colour an ink and whatever a chart measured come in; one colour for each of the 2^k sets of inks comes
out, linear Rec.2020. What a chart does not hold is filled by the film model.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from imposer.ink import defaults
from imposer.ink.colour import Colour, Floats
from imposer.ink.film import Film, film_of, lay

#: Measured colours of sets of inks at full tone; the empty set is the paper they were printed on.
Chart = Mapping[frozenset[str], Colour]

#: Where two films let through less than this together, a measured pair says nothing about how they meet: the ratio
#: would be noise. A working value, no source.
_LEAST_TRANSMITTANCE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class InkAppearance:
    """How an ink looks in print.

    Attributes:
        name: The ink's name in the shop.
        colour: Its full tone on the paper that ink colours are given on.
        gain: What a 50 % tint gains, as a share of coverage.
        opacity: How much of what lies under it it hides, 0…1.
    """

    name: str
    colour: Colour
    gain: float = defaults.GAIN
    opacity: float = defaults.OPACITY

    def __post_init__(self) -> None:
        if not -0.5 <= self.gain <= 0.5:
            raise ValueError(f"{self.name}: a gain of {self.gain} at 50 % tone leaves the range -0.5 to 0.5")
        if not 0 <= self.opacity <= 1:
            raise ValueError(f"{self.name}: an opacity of {self.opacity} leaves the range 0 to 1")


def overprint_solids(
    paper: Colour, inks: Sequence[InkAppearance], *, chart: Chart, reference: Colour, floor: float
) -> list[Floats]:
    """Return linear Rec.2020 of every set of inks on the paper; bit i of a set's number is ink i.

    Args:
        paper: The job's paper.
        inks: In the order they are printed.
        chart: Measured colours. Without the empty set, it was printed on the job's paper.
        reference: The paper on which the inks' own colours are given.
        floor: The surface floor.
    """
    names = [ink.name for ink in inks]
    chart_paper = chart.get(frozenset(), paper)
    films = [_film(ink, chart, chart_paper, reference, floor) for ink in inks]
    measured = _measured_overprints(chart, chart_paper, floor)
    solids: list[Floats] = [np.maximum(np.array(paper.rec2020), 0.0)]
    for number in range(1, 2 ** len(films)):
        members = [ink for ink in range(len(films)) if number >> ink & 1]
        overprint = measured.get(frozenset(names[ink] for ink in members))
        if overprint:
            solids.append(lay(overprint, solids[0]))
            continue
        colour = solids[0]
        for ink in members:
            colour = lay(films[ink], colour)
        correction = _pair_correction(members, films, measured, names)
        if correction is not None:
            corrected = np.where(colour > floor, floor + (colour - floor) * correction, colour)
            # Noise in the readings must not make an ink more a lighter print.
            colour = np.min([corrected, *(solids[number & ~(1 << ink)] for ink in members)], axis=0)
        solids.append(colour)
    return solids


def _film(ink: InkAppearance, chart: Chart, chart_paper: Colour, reference: Colour, floor: float) -> Film:
    """Find an ink's film, from the chart if it was measured there, else from its own colour."""
    measured = chart.get(frozenset((ink.name,)))
    solid, paper = (measured, chart_paper) if measured else (ink.colour, reference)
    return film_of(np.array(solid.rec2020), np.array(paper.rec2020), floor=floor, opacity=ink.opacity)


def _measured_overprints(chart: Chart, chart_paper: Colour, floor: float) -> dict[frozenset[str], Film]:
    """Turn the measured overprints of two and more inks into one film each, so that they can go on another paper."""
    paper = np.array(chart_paper.rec2020)
    overprints = {inked: np.array(colour.rec2020) for inked, colour in chart.items() if len(inked) > 1}
    return {inked: film_of(colour, paper, floor=floor) for inked, colour in overprints.items()}


def _pair_correction(
    members: Sequence[int], films: Sequence[Film], measured: Mapping[frozenset[str], Film], names: Sequence[str]
) -> Floats | None:
    """Return how the measured pairs among three or more inks part from the film model, as one factor per channel.

    Each pair's factor is taken to hold whatever else lies there (the superposition approximation of J. G. Kirkwood,
    1935, put to films). None if no pair was measured, or an ink hides what is under it.
    """
    pairs = [pair for pair in combinations(members, 2) if frozenset(names[ink] for ink in pair) in measured]
    if len(members) < 3 or not pairs or any(films[ink].opacity for ink in members):
        return None
    correction: Floats = np.ones(3)
    for first, second in pairs:
        alone = films[first].transmittance * films[second].transmittance
        together = measured[frozenset((names[first], names[second]))].transmittance
        tells = alone > _LEAST_TRANSMITTANCE
        correction = correction * np.where(tells, together / np.where(tells, alone, 1.0), 1.0)
    return correction
