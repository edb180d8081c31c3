"""The cover of a block of leaves that is sewn, stapled or pierced, in words. Values in, text out.

Common practice, no source.
"""

from __future__ import annotations

from imposer.sheet.stitches import Stitching
from imposer.units import show
from imposer.write.guide.facts import GuideFacts


def cover_words(facts: GuideFacts, stitching: Stitching) -> str:
    """Return how a cover goes round the block, with the width of its spine."""
    spine = facts.thickness_in_words
    if stitching.kind == "stab":
        return (
            f"A cover of two loose leaves, or one wrapped round the spine ({spine} wide), goes on before piercing and "
            f"is sewn with the block; score it {show(stitching.margin)} mm from the spine, where it opens."
        )
    if stitching.kind == "sewn":
        return (
            f"A wrapped cover is glued to the spine once the block is sewn and pressed: its spine is {spine} wide, "
            "scored at both edges."
        )
    return (
        f"A wrapped cover goes on after the stitch and hides it: its spine is {spine} wide, scored at both edges; glue "
        f"the spine and up to {show(stitching.from_spine)} mm of both sides, and score it there too, where it opens."
    )
