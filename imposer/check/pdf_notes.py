"""Says which PDF page has notes or form fields. Level: note where they print as a viewer would print them.

A warning where they bring no picture of their own, so that they do not print, or their text alone. Seen when the
artwork is read. The mend: take out what is not meant to print; print the page to a new PDF.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="pdf-notes",
    looks_for="notes and form fields in a PDF",
    limit=None,
    find=seen_by_steps("pdf-notes"),
)
