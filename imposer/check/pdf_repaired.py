"""Says which PDF was damaged: a reader rebuilds what it can, and may rebuild it wrongly. Level: warning.

Seen when the artwork is read. The mend: export the file again.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-repaired",
    looks_for="a PDF that is damaged and was repaired in reading",
    limit=None,
    find=seen_by_steps("pdf-repaired"),
)
