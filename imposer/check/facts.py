"""What a rule is, and the finished values it looks at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from imposer.findings import Finding
from imposer.job.model import Job
from imposer.pages.model import Measured, PageTable
from imposer.plan.model import PassPlan
from imposer.sheet.model import Imposition


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One thing that is looked for in every job."""

    #: Lower case with hyphens; the name its findings carry.
    name: str
    #: What it looks for, in plain words.
    looks_for: str
    #: The limit it holds things against, in words; None where there is none.
    limit: str | None
    find: Callable[[Facts], tuple[Finding, ...]]


def seen_by_steps(name: str) -> Callable[[Facts], tuple[Finding, ...]]:
    """Return a rule's function that gathers what a step saw under this name."""

    def find(facts: Facts) -> tuple[Finding, ...]:
        return tuple(finding for finding in facts.seen if finding.rule == name)

    return find
