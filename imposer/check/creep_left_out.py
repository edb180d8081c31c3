"""Says so when creep is left out because it is finer than the machine's register. Level: note.

Seen when the pieces are laid on the sheet. Nothing need be done.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="creep-left-out",
    looks_for="creep too small to compensate",
    limit="0.05 mm in all",
    find=seen_by_steps("creep-left-out"),
)
