"""Looks for layers that hold colour: only its lightness becomes tone, so yellow art prints faintly. Level: warning.

A layer is a strength map (black = full tone); common practice, no source. Seen when the artwork is read. The mend:
export the layer in gray, black for full tone.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="coloured-layer",
    looks_for="a layer that is coloured, not gray",
    limit=None,
    find=seen_by_steps("coloured-layer"),
)
