"""The whole model against real prints: single-ink data in, every patch of two and more inks predicted.

The prints are published characterisation sets of offset printing on white uncoated paper, yellowish uncoated paper and
newsprint (charts/SOURCES.txt). The floor was chosen on the overprints of the same sets (see `defaults`), so this says
how well one number for all serves each of them; it is not a blind trial.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from imposer.ink.colour import lab_from_rec2020, lab_from_xyz
from imposer.ink.difference import delta_e
from tests.ink import other_models
from tests.ink.charts.choose import SETS, choose
from tests.ink.printed_charts import INKS, chart_of, chosen_chart, ti3_rows, whole_chart

#: Where Debian's icc-profiles-free puts the whole sets.
WHOLE_SETS = Path("/usr/share/color/icc")

sets = pytest.mark.parametrize("name", SETS)


@sets
@pytest.mark.parametrize("fitted", [False, True], ids=["default gain", "gain of each ink's own ramp"])
def test_the_chosen_patches(name, fitted):
    chart = chosen_chart(name)
    errors = chart.differences(chart.model(fitted=fitted))
    assert len(errors) >= 120
    assert errors.mean() <= 3.6
    assert np.percentile(errors, 95) <= 7.5


@sets
def test_two_inks_come_out_better_than_the_rest(name):
    chart = chosen_chart(name)
    assert chart.differences(chart.model(), most_inks=2).mean() <= 2.8


@sets
def test_multiplied_light_would_be_twice_as_wrong(name):
    chart = chosen_chart(name)
    ours = chart.differences(chart.model()).mean()
    assert chart.differences(chart.model(floor=0)).mean() > 2 * ours
    # The plain way of a screen: no floor, no gain, no spread of light.
    assert chart.differences(chart.model(floor=0, gain=0, n=1)).mean() > 2.4 * ours


def test_full_tones_come_out_better_than_with_plainer_laws():
    """Eleven overprints of full tones in each set: film with a floor, multiplied light, added absorptions.

    Added absorptions come nearer on the newsprint, and need no floor; over the three papers the film is ahead.
    """
    film, multiplied, absorbed = np.mean([_full_tone_errors(chosen_chart(name)) for name in SETS], axis=0)
    assert film < 4.5
    assert multiplied > 3 * film
    assert absorbed > 1.1 * film


def _full_tone_errors(chart):
    measured = chart.overprints(4)
    labs = np.array([lab_from_rec2020(colour.rec2020) for colour in measured.values()])
    singles = {ink: np.array(chart.solid(ink).rec2020) for ink in INKS}
    paper, model = np.array(chart.paper.rec2020), chart.model()
    film = [model.solids[sum(1 << INKS.index(ink) for ink in inked)] for inked in measured]
    multiplied = [other_models.multiplied(paper, *(singles[ink] for ink in inked)) for inked in measured]
    absorbed = [other_models.absorptions_added(paper, *(singles[ink] for ink in inked)) for inked in measured]
    return [delta_e(lab_from_rec2020(np.array(solids)), labs).mean() for solids in (film, multiplied, absorbed)]


@sets
def test_paper_and_single_inks_are_as_measured(name):
    chart = chosen_chart(name)
    assert chart.differences(chart.model(fitted=True), 0, 1).mean() < 1.6
    solids = lab_from_rec2020([chart.model().solids[2**place] for place in range(4)])
    measured = lab_from_rec2020([chart.solid(ink).rec2020 for ink in INKS])
    assert delta_e(solids, measured).max() < 1e-6


@sets
def test_one_fifth_stands_for_the_whole(name):
    """The chosen patches are no easier than the whole set; runs where Debian's icc-profiles-free is installed."""
    file = WHOLE_SETS / SETS[name]
    if not file.exists():
        pytest.skip(f"{file} is not installed")
    whole, part = whole_chart(file), chosen_chart(name)
    errors = whole.differences(whole.model())
    assert errors.mean() <= 3.6
    assert np.percentile(errors, 95) <= 7.5
    assert part.differences(part.model()).mean() == pytest.approx(errors.mean(), abs=0.15)
    assert np.array_equal(chart_of(np.array(choose(ti3_rows(file)), dtype=float)).xyz, part.xyz)


def test_the_numbers_are_the_published_ones():
    # FOGRA29, patches 1 and 9: paper and full m, Lab as the set states it; it has less decimals of XYZ than of Lab.
    chart = chosen_chart("fogra29")
    assert lab_from_xyz(chart.xyz[chart.ink_counts == 0][0]) == pytest.approx([95.71, 0.61, -2.32], abs=0.03)
    assert lab_from_rec2020(chart.solid("m").rec2020) == pytest.approx([55.04, 59.46, -4.00], abs=0.03)
