"""Says where files were put in order by their names because those hold no clear page numbers. Level: note or warning.

Seen when the artwork is read. The mend: give every file its page number, or list the files in order.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="page-order",
    looks_for="names that do not tell the order of the pages",
    limit=None,
    find=seen_by_steps("page-order"),
)
