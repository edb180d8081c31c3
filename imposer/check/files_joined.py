"""Says in which order files of several pages were taken to follow one another. Level: note.

Seen when the artwork is read. The mend: look at the order, or list the files in it.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="files-joined",
    looks_for="files of several pages that follow one another",
    limit=None,
    find=seen_by_steps("files-joined"),
)
