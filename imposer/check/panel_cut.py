"""Says which art is as wide as a full panel although its panel is tucked in and narrower. Level: warning.

Seen when the artwork is placed. The mend: keep the strip that is cut off free, or export the page at its panel's width.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="panel-cut",
    looks_for="art that is cut off because its panel is tucked in",
    limit=None,
    find=seen_by_steps("panel-cut"),
)
