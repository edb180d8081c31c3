"""What a rule is, and the finished values it looks at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from imposer.findings import Finding
from imposer.job.check_limits import CheckLimits
from imposer.job.model import Job
from imposer.pages.model import Measured, PageTable
from imposer.plan.model import PassPlan
from imposer.sheet.facing import Facing
from imposer.sheet.model import Imposition
from imposer.sheet.places import PagePlace

if TYPE_CHECKING:
    from imposer.pages.tone_facts import InkTones, PageTones
    from imposer.tones.trials import Trials


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """A job read, found, measured, imposed and planned."""

    job: Job
    table: PageTable
    measured: Mapping[tuple[int, str], Measured]
    imposition: Imposition
    plan: PassPlan
    #: What the steps themselves saw.
    seen: tuple[Finding, ...]
    #: What was measured on every page that prints.
    tones: Mapping[int, PageTones] = field(default_factory=dict)
    #: Where every page lies.
    places: tuple[PagePlace, ...] = ()
    #: What drift would show, for the pages on which it may show anything.
    trials: Mapping[int, Trials] = field(default_factory=dict)
    #: What lies against the pages of this part in the finished thing, pages of other parts too.
    facing: Mapping[int, tuple[Facing, ...]] = field(default_factory=dict)
    #: What was measured on every page of all parts that prints.
    tones_of_job: Mapping[int, PageTones] = field(default_factory=dict)

    @property
    def limits(self) -> CheckLimits:
        """The shop's limits."""
        return self.job.shop.check

    def inks(self) -> Iterator[tuple[int, str, InkTones]]:
        """Yield every ink that prints on every page: page, ink, what was measured."""
        for page, tones in self.tones.items():
            for ink, found in tones.inks.items():
                yield page, ink, found

    def places_of(self, page: int) -> tuple[PagePlace, ...]:
        """Return the places of a page."""
        return tuple(place for place in self.places if place.page == page)

    def shown(self, page: int, ink: str) -> str | None:
        """Return the file of a page's art in an ink, as people know it."""
        art = self.table.art(page, ink)
        return None if art is None else art.source.place


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One thing that is looked for in every job."""

    #: Lower case with hyphens; the name its findings carry.
    name: str
    #: What it looks for, in plain words.
    looks_for: str
    #: The limit it holds things against, in words; None where there is none. Where the shop sets it: `limit_of`.
    limit: str | None
    find: Callable[[Facts], tuple[Finding, ...]]
    #: The limit in words, from the shop's settings.
    limit_of: Callable[[CheckLimits], str] | None = None

    def limit_in(self, limits: CheckLimits) -> str | None:
        """Return the limit that a shop has set, in words."""
        return self.limit if self.limit_of is None else self.limit_of(limits)


def gathered(each: Callable[[Facts], Iterator[Finding]]) -> Callable[[Facts], tuple[Finding, ...]]:
    """Return a rule's function from one that yields findings."""

    def find(facts: Facts) -> tuple[Finding, ...]:
        return tuple(each(facts))

    return find


def seen_by_steps(name: str) -> Callable[[Facts], tuple[Finding, ...]]:
    """Return a rule's function that gathers what a step saw under this name."""

    def find(facts: Facts) -> tuple[Finding, ...]:
        return tuple(finding for finding in facts.seen if finding.rule == name)

    return find


def percent(share: float, over: float | None = None) -> str:
    """Write a share for people: whole per cents, tenths under ten; hundredths at most beside a limit it is over.

    >>> percent(0.834), percent(0.0412), percent(1.3)
    ('83 %', '4.1 %', '130 %')
    >>> percent(0.8531, 85), percent(0.85004, 85), percent(0.9, 85)
    ('85.3 %', '85 %', '90 %')
    """
    value = 100 * share
    words = f"{value:.0f} %" if value >= 9.95 or value == round(value) else f"{value:.1f} %"
    if over is None or words != f"{over:g} %":
        return words
    # A measure that reads like its limit seems to be within it.
    finer = (f"{value:.{places}f}" for places in (1, 2))
    return next((f"{one} %" for one in finer if float(one) != over), words)


def is_told(share: float) -> bool:
    """Tell whether a share is more than nought when it is written for people.

    >>> is_told(0.0004), is_told(0.0006)
    (False, True)
    """
    return round(100 * share, 1) > 0


def of_all_ink(share: float) -> str:
    """Write what part of a page's ink something is, to stand inside a sentence; empty if it is next to nothing.

    >>> of_all_ink(0.12), of_all_ink(0.0001)
    (", 12 % of the page's ink in all,", '')
    """
    return f", {percent(share)} of the page's ink in all," if is_told(share) else ""
