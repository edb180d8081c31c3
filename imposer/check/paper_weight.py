"""Looks for paper that is too light, too heavy or too thick for the machine. Level: warning.

46 to 210 g/m² (`lightest_paper`, `heaviest_paper`: an operators' handbook after the maker's manual of such a machine,
as the trade tells it), and `thickest_paper` (0.26 mm, worked out from 210 g/m² at 1.25 µm for every g/m²). The mend:
another paper, or the machine's own manual.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    paper, limits = facts.job.sheet.paper, facts.limits
    if not limits.lightest_paper <= paper.weight <= limits.heaviest_paper:
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"{paper.name} weighs {paper.weight:g} g/m², outside what the machine feeds",
            mend="choose another paper, or ask the machine's manual",
            measured=f"{paper.weight:g} g/m²",
            limit=f"{limits.lightest_paper:g} to {limits.heaviest_paper:g} g/m²",
        )
    if paper.caliper > limits.thickest_paper:
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"{paper.name} is {show(paper.caliper)} mm thick, more than the machine feeds",
            mend="choose a thinner paper, or ask the machine's manual",
            measured=f"{show(paper.caliper)} mm",
            limit=f"{show(limits.thickest_paper)} mm",
        )


RULE = Rule(
    name="paper-weight",
    looks_for="paper too light, too heavy or too thick for the machine",
    limit="46 to 210 g/m², 0.26 mm",
    limit_of=lambda limits: (
        f"{limits.lightest_paper:g} to {limits.heaviest_paper:g} g/m², {show(limits.thickest_paper)} mm"
    ),
    find=gathered(_find),
)
