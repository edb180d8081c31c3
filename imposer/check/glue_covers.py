"""Looks for pages of which a glue flap covers a strip. Level: warning.

Seen when the booklet is folded. The mend: keep that strip free.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="glue-covers",
    looks_for="a page of which a glue flap covers a strip",
    limit=None,
    find=seen_by_steps("glue-covers"),
)
