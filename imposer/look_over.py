"""The two steps that look at pixels for the check: every page's tones, and what drift would show on some.

The survey wants to know where pages lie on the sheet; the trials want to know which ink prints in which pass. This
module asks the sheet and the plan, and hands plain boxes and numbers on.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from imposer.job.model import Job
from imposer.pages.model import PageTable
from imposer.pages.tone_facts import PageTones, Rim, Zones
from imposer.plan.model import PassPlan
from imposer.progress import Progress
from imposer.sheet.places import PagePlace

if TYPE_CHECKING:
    from imposer.pages.tone_survey import Surveyed
    from imposer.tones.trials import Trials


def survey(job: Job, table: PageTable, places: tuple[PagePlace, ...], progress: Progress | None = None) -> Surveyed:
    """Look at every page once; see `pages.tone_survey.survey_tones`.

    Raises:
        ImposerError: a page cannot be decoded or rendered.
    """
    from imposer.pages.tone_survey import survey_tones

    return survey_tones(job, table, zones_of(places), progress)


def zones_of(places: tuple[PagePlace, ...]) -> dict[int, Zones]:
    """Return the machine's zones on every page, each different one once."""
    found: dict[int, Zones] = {}
    for page in dict.fromkeys(place.page for place in places):
        own = [place for place in places if place.page == page]
        bands = [band for place in own for band in (place.track, place.lead) if band is not None]
        found[page] = Zones(
            safe=tuple(dict.fromkeys(place.safe for place in own)),
            rims=tuple(dict.fromkeys(Rim(place.safe, place.careful) for place in own)),
            bands=tuple(dict.fromkeys(bands)),
        )
    return found


def try_drift(
    job: Job,
    pages: Mapping[int, PageTones],
    places: tuple[PagePlace, ...],
    plan: PassPlan,
    progress: Progress | None = None,
) -> dict[int, Trials]:
    """Return what drift would show, for every page on which it may show anything."""
    from imposer.pages.tone_survey import differences, machine_drift
    from imposer.tones.trials import try_registration

    found = {}
    asked = {page: tones.masks for page, tones in pages.items() if tones.masks is not None}
    for done, (page, masks) in enumerate(asked.items()):
        if progress:
            progress("trying how inks drift", done, len(asked))
        passes = passes_of(page, masks.inks, places, plan)
        found[page] = try_registration(masks.planes(), passes, machine_drift(job), differences(job, masks.inks))
    return found


def passes_of(page: int, inks: tuple[str, ...], places: tuple[PagePlace, ...], plan: PassPlan) -> tuple[int, ...]:
    """Return the number of the pass that prints each ink on the side a page lies on; 0 where none does."""
    side = next((place.side for place in places if place.page == page), "front")
    numbers = {ink: run.number for run in plan.passes if run.side == side for _, ink in run.drums}
    return tuple(numbers.get(ink, 0) for ink in inks)
