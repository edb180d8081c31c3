"""Says which page or object could not stay vector art in gray and was drawn at 600 ppi. Level: note.

Seen when the artwork is read. The mend: export the layer in gray.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="rasterised",
    looks_for="vectors that had to become pixels",
    limit="600 ppi",
    find=seen_by_steps("rasterised"),
)
