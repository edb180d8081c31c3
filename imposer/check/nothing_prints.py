"""Looks for a whole job of white pages, from which no master would be cut. Level: error.

Counted over all parts of a job, since the body of a notebook may well be blank; the limit is one pass of the stack. The
mend: export the layers again.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps
from imposer.findings import Finding

RULE = Rule(
    name="nothing-prints",
    looks_for="a job whose pages are all white",
    limit="at least 1 pass",
    find=seen_by_steps("nothing-prints"),
)


def of_whole_job(passes: int) -> tuple[Finding, ...]:
    """Return a finding if all parts of a job together make no pass of the stack."""
    if passes:
        return ()
    return (
        Finding(
            rule=RULE.name,
            level="error",
            message="no page prints anything in any ink, so there is no master to cut",
            mend="export the layers again: their art may be hidden, or white instead of black",
            measured="0 passes",
            limit="at least 1 pass",
        ),
    )
