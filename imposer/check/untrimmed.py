"""Says that the sheet is not trimmed, so that its edges stay white where the machine cannot print. Level: note.

Seen when the sheet is laid out. The mend: keep art that matters inside, or choose a smaller trim.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="untrimmed",
    looks_for="a sheet that is not trimmed, whose edges stay white",
    limit=None,
    find=seen_by_steps("untrimmed"),
)
