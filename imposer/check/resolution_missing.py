"""Says which image states no resolution that can be believed, so that its size was guessed from the page. Level: note.

Seen when the artwork is read. The mend: look at its size in the proof, or export it with its resolution.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="resolution-missing",
    looks_for="an image that states no resolution",
    limit=None,
    find=seen_by_steps("resolution-missing"),
)
