"""Says that the files' numbers begin at 0 and were all moved by one. Level: note.

Seen when the artwork is read. The mend: look at the order in the proof.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="counted-from-zero",
    looks_for="page numbers that begin at 0",
    limit=None,
    find=seen_by_steps("counted-from-zero"),
)
