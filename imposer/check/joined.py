"""Says that a strip is longer than the sheet and is joined from several pieces. Level: note.

Seen when the booklet is folded. The mend: cut the flap off the last piece.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="joined",
    looks_for="a strip that is joined from pieces",
    limit=None,
    find=seen_by_steps("joined"),
)
