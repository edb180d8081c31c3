"""Real prints to hold the model against: published characterisation sets, read and compared.

See charts/SOURCES.txt for what was printed, by whom, and on what.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from imposer.ink import defaults
from imposer.ink.colour import REC2020_FROM_XYZ, Colour, Floats, lab_from_rec2020, lab_from_xyz
from imposer.ink.difference import delta_e
from imposer.ink.halftone import apparent_coverage, fit_gain
from imposer.ink.overprint import OverprintModel, overprint_model, predict
from imposer.ink.solids import InkAppearance

FOLDER = Path(__file__).parent / "charts"
INKS = ("c", "m", "y", "k")


@dataclass(frozen=True, slots=True, eq=False)
class PrintedChart:
    """Patches of one print: tones of the four inks, 0…1, and measured XYZ (D50, Y of white = 1)."""

    tones: Floats
    xyz: Floats

    @property
    def ink_counts(self):
        return (self.tones > 0).sum(axis=1)

    @property
    def light(self) -> Floats:
        """Linear Rec.2020 of every patch."""
        return self.xyz @ REC2020_FROM_XYZ.T

    @property
    def paper(self) -> Colour:
        return self._mean(self.ink_counts == 0)

    def solid(self, *inks: str) -> Colour | None:
        """The full tone of these inks, if it was printed."""
        patches = np.all(self.tones == [ink in inks for ink in INKS], axis=1)
        return self._mean(patches) if patches.any() else None

    def fitted_gain(self, ink: str, n: float = defaults.YULE_NIELSEN_N) -> float:
        """The gain at 50 % that the ink's own ramp asks for."""
        place = INKS.index(ink)
        ramp = (self.ink_counts == 1) & (self.tones[:, place] > 0) & (self.tones[:, place] < 1)
        readings = np.maximum(self.light[ramp], 0)
        covered = apparent_coverage(self.paper.rec2020, self.solid(ink).rec2020, readings, n)
        return fit_gain(self.tones[ramp, place], covered)

    def model(self, *, gain: float = defaults.GAIN, fitted: bool = False, **settings) -> OverprintModel:
        """The overprint model that knows nothing of this print but its paper and single inks."""
        gains = [self.fitted_gain(ink) if fitted else gain for ink in INKS]
        inks = [InkAppearance(name=i, colour=self.solid(i), gain=g) for i, g in zip(INKS, gains, strict=True)]
        return overprint_model(self.paper, inks, reference=self.paper, **settings)

    def overprints(self, most_inks: int) -> dict[frozenset[str], Colour]:
        """The measured full tones of two to `most_inks` inks."""
        found = {}
        for number in range(1, 2 ** len(INKS)):
            inked = [ink for place, ink in enumerate(INKS) if number >> place & 1]
            if 2 <= len(inked) <= most_inks and (colour := self.solid(*inked)):
                found[frozenset(inked)] = colour
        return found

    def differences(self, model: OverprintModel, least_inks: int = 2, most_inks: int = 4) -> Floats:
        """CIEDE2000 between print and prediction, for every patch of so many inks."""
        patches = (self.ink_counts >= least_inks) & (self.ink_counts <= most_inks)
        predicted = lab_from_rec2020(predict(model, self.tones[patches]))
        return delta_e(predicted, lab_from_xyz(self.xyz[patches]))

    def _mean(self, patches) -> Colour:
        return Colour.from_xyz(self.xyz[patches].mean(axis=0))


def chosen_chart(name: str) -> PrintedChart:
    """Read the chosen patches of a set."""
    with (FOLDER / f"{name}.csv").open(encoding="ascii", newline="") as file:
        rows = [[float(value) for value in row] for row in list(csv.reader(file))[1:]]
    return chart_of(np.array(rows))


def whole_chart(file: Path) -> PrintedChart:
    """Read a whole set from its *.ti3 file."""
    return chart_of(np.array([row[1:8] for row in ti3_rows(file)], dtype=float))


def ti3_rows(file: Path) -> list[list[str]]:
    """The rows between BEGIN_DATA and END_DATA of a *.ti3 file, unparsed."""
    lines = [line.strip() for line in file.read_text(encoding="latin-1").splitlines()]
    rows = [line.split() for line in lines[lines.index("BEGIN_DATA") + 1 :]]
    return [row for row in rows if row and row != ["END_DATA"]]


def chart_of(rows: Floats) -> PrintedChart:
    """Split rows of four tones in % and XYZ in %."""
    return PrintedChart(tones=rows[:, :4] / 100, xyz=rows[:, 4:] / 100)
