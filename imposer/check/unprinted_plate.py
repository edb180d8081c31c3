"""Looks for ink on plates that no ink of the job is, in files of which other plates are printed. Level: warning.

A plate counts as inked where some of it is darker than 8 of 255, an own choice: a lossy coding leaves that much on a
bare one. The mend: say which ink it is.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="unprinted-plate",
    looks_for="ink on a plate that no ink of the job is",
    limit=None,
    find=seen_by_steps("unprinted-plate"),
)
