"""Says which art is scaled to fill the trim, as the job asks with fit = "scale", and by how much. Level: note.

Seen when the artwork is read. The mend: export it at its printed size; lines and dots change with the scale.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="scaled",
    looks_for="art that is not printed at its own size",
    limit=None,
    find=seen_by_steps("scaled"),
)
