"""Says which PDF page uses transparency: it is kept, and mixed in gray. Level: note.

Seen when the artwork is read. Old advice is to flatten it on export; the mend is a look at the proof.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-transparency",
    looks_for="transparency in a PDF",
    limit=None,
    find=seen_by_steps("pdf-transparency"),
)
