"""Looks for an ink that prints nothing at all. Level: warning.

Its art was found and is white throughout: often a layer exported with its art hidden. Such an ink gets no master. The
mend: export the layer again, or take the ink out of the job.
"""

from __future__ import annotations

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding


def find(facts: Facts) -> tuple[Finding, ...]:
    """Return a finding for every ink without a single toned pixel on any page."""
    printing = {ink for (_, ink), measured in facts.measured.items() if measured.prints}
    return tuple(
        Finding(
            rule=RULE.name,
            level="warning",
            message=f"{ink} prints nothing on any page, so it gets no master",
            mend="export its layer again, or take the ink out of the job",
            ink=ink,
            measured="0 pages",
            limit="at least 1 page",
        )
        for ink in facts.job.ink_names
        if ink not in printing
    )


RULE = Rule(name="unused-ink", looks_for="an ink that prints nothing", limit="at least 1 page", find=find)
