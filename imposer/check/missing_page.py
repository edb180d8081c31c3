"""Looks for pages that no ink has although later pages exist: often a file that was not sent. Level: warning.

Seen when the artwork is read. The mend: send the page, or mean it as a blank.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="missing-page",
    looks_for="a page below the last that no ink has",
    limit=None,
    find=seen_by_steps("missing-page"),
)
