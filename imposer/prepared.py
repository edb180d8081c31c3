"""A job with every decision made and nothing written: what check, proof, report and masters are made from.

A job is printed in *parts*: one, or several where a cover, a body or an insert has a paper, inks or a binding of its
own. A part is a job of its own in all it holds; page numbers are the reader's, and sheets and passes are counted over
the whole job, so no two parts share one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from imposer.findings import Finding, Side
from imposer.job.model import Job
from imposer.pages.model import Measured, PageTable
from imposer.plan.model import PassPlan
from imposer.sheet.model import Frame, Imposition

if TYPE_CHECKING:
    from imposer.pages.tone_facts import PageTones
    from imposer.tones.trials import Trials


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparedPart:
    """One part: what is printed on one paper and bound in one way."""

    #: The part as a job of its own.
    job: Job
    #: "" where the job is one part.
    name: str = ""
    #: The reader's pages it carries, blanks included, in order; an extra's are numbered after them.
    pages: tuple[int, ...]
    #: A thing laid in or around, whose pages no reader counts: a jacket, a band, a poster.
    extra: bool = False
    #: The art of its pages alone.
    table: PageTable
    measured: Mapping[tuple[int, str], Measured]
    imposition: Imposition
    #: By sheet number and side.
    frames: Mapping[tuple[int, Side], Frame]
    plan: PassPlan
    findings: tuple[Finding, ...]
    #: What was measured on every page that prints, and what drift would show on it.
    tones: Mapping[int, PageTones] = field(default_factory=dict)
    trials: Mapping[int, Trials] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A whole job."""

    job: Job
    #: In running order; one part for most jobs.
    parts: tuple[PreparedPart, ...]
    #: What every rule found, errors first.
    findings: tuple[Finding, ...]

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that forbid masters."""
        return tuple(finding for finding in self.findings if finding.stops)

    @property
    def pages(self) -> int:
        """How many pages the reader counts, blanks included."""
        return sum(len(part.pages) for part in self.parts if not part.extra)

    @property
    def sheets(self) -> int:
        """How many press sheets there are to one set of them."""
        return sum(len(part.imposition.sheets) for part in self.parts)
