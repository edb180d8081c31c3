"""Says which PDF has layers: those that are off are left out. Level: note.

Seen when the artwork is read. The mend: export it without layers.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-layers",
    looks_for="layers in a PDF",
    limit=None,
    find=seen_by_steps("pdf-layers"),
)
