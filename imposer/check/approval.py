"""Looks for what has changed since the proof was approved. Level: warning; error if the shop requires approval.

The limit is the approval itself: no page, no setting that prints may be another. The mend: make the proof again and
have it approved.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="approval",
    looks_for="pages and settings that have changed since the proof was approved",
    limit="nothing changed",
    find=seen_by_steps("approval"),
)
