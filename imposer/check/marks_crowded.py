"""Looks for a stated number of pieces that fits only by leaving crop, cut and fold marks out. Level: warning.

Seen when the grid is chosen. The mend: fewer pieces a side, or a smaller trim.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="marks-crowded",
    looks_for="a number of pieces a side that leaves no room for marks",
    limit="2 mm beyond trim and bleed",
    find=seen_by_steps("marks-crowded"),
)
