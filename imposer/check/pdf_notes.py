"""Says which PDF page has notes or form fields: they print as a viewer would print them. Level: note.

Seen when the artwork is read. The mend: take out what is not meant to print.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-notes",
    looks_for="notes and form fields in a PDF",
    limit=None,
    find=seen_by_steps("pdf-notes"),
)
