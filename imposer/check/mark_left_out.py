"""Looks for marks that fit nowhere in the waste of the sheet, even at their least size. Level: warning or note.

Seen when the marks are placed. The mend: a smaller trim or fewer pieces a side.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="mark-left-out",
    looks_for="marks that have no room outside the pages",
    limit="the least size of each mark",
    find=seen_by_steps("mark-left-out"),
)
