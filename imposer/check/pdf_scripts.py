"""Says which PDF holds scripts or attached files: both are ignored, never run and never opened. Level: note.

Seen when the artwork is read. The mend: export it without them, if they should not be there.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-scripts",
    looks_for="scripts and attached files in a PDF",
    limit=None,
    find=seen_by_steps("pdf-scripts"),
)
