"""Looks for ink in the margin at the spine that a side stitch or a stab binding takes. Level: warning.

Pages stapled or pierced through the side open only as far as the holes: what stands nearer to the spine is pierced or
swallowed. The margin is 12 mm for a side stitch and 20 mm for a stab binding if the job does not say; common practice,
no source. A job that does not name its stitch gets one note for all its pages. The mend: move the art from the spine.
"""

from __future__ import annotations

from collections.abc import Mapping

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.sheet.stitches import Stitching, stitching_of
from imposer.units import TOLERANCE, show
from imposer.words import pages_of


def find(facts: Facts) -> tuple[Finding, ...]:
    """Return a finding for every page and ink that reaches into the margin, or an error if no page is left."""
    trim = facts.job.page.trim
    stitching = stitching_of(facts.job.binding, trim)
    if stitching is None or not stitching.margin:
        return ()
    if 2 * stitching.margin >= trim.width:
        return (_too_wide(stitching, trim.width),)
    near = _nearest_ink(facts, stitching.margin)
    if stitching.named:
        return tuple(
            _of_page(page, ink, reach, stitching, _strip(facts, page, ink, stitching.margin))
            for (page, ink), reach in sorted(near.items())
        )
    return (_of_job(near, stitching),) if near else ()


def _nearest_ink(facts: Facts, margin: float) -> dict[tuple[int, str], float]:
    """Return how near the spine ink stands, mm, for every page and ink that reaches into the margin."""
    left = _spine_at_left(facts)
    width = facts.job.page.trim.width
    found = {}
    for (page, ink), measured in facts.measured.items():
        if measured.inked is None or page not in left:
            continue
        reach = measured.inked.x0 if left[page] else width - measured.inked.x1
        if reach < margin - TOLERANCE:
            found[page, ink] = max(0.0, reach)
    return found


def _spine_at_left(facts: Facts) -> Mapping[int, bool]:
    """Tell for every page whether its spine is at its left: that of a leaf's first page is, read left to right."""
    booklet = facts.imposition.booklet
    sides = {}
    for piece in booklet.pieces:
        for leaf in piece.leaves:
            if leaf.front is not None and leaf.back is not None:
                sides[min(leaf.front, leaf.back)] = not booklet.right_to_left
                sides[max(leaf.front, leaf.back)] = booklet.right_to_left
    return sides


def _strip(facts: Facts, page: int, ink: str, margin: float) -> Box | None:
    """Return the part of the margin on the page that the ink's box reaches into."""
    trim, inked = facts.job.page.trim, facts.measured[page, ink].inked
    left = 0.0 if _spine_at_left(facts)[page] else trim.width - margin
    return None if inked is None else inked.common(Box(left, 0.0, left + margin, trim.height))


def _of_page(page: int, ink: str, reach: float, stitching: Stitching, box: Box | None) -> Finding:
    return Finding(
        rule=RULE.name,
        level="warning",
        message=f"ink {show(reach)} mm from the spine stands in the {show(stitching.margin)} mm that the binding takes",
        mend=f"keep art {show(stitching.margin)} mm from the spine, or set [binding] binding_margin",
        page=page,
        ink=ink,
        box=box,
        measured=f"{show(reach)} mm",
        limit=f"{show(stitching.margin)} mm",
    )


def _of_job(near: Mapping[tuple[int, str], float], stitching: Stitching) -> Finding:
    pages = sorted({page for page, _ in near})
    return Finding(
        rule=RULE.name,
        level="note",
        message=(
            f"ink stands in the {show(stitching.margin)} mm at the spine that a side stitch takes, as near as "
            f"{show(min(near.values()))} mm: {pages_of(pages)}"
        ),
        mend=f"keep art {show(stitching.margin)} mm from the spine, or name the [binding] stitch that is meant",
        measured=f"{show(min(near.values()))} mm",
        limit=f"{show(stitching.margin)} mm",
    )


def _too_wide(stitching: Stitching, width: float) -> Finding:
    return Finding(
        rule=RULE.name,
        level="error",
        message=f"a binding margin of {show(stitching.margin)} mm takes half of a page {show(width)} mm wide, or more",
        mend='set a smaller [binding] binding_margin, or stitch = "sewn"',
        measured=f"{show(stitching.margin)} mm",
        limit=f"{show(width / 2)} mm",
    )


RULE = Rule(
    name="binding-margin",
    looks_for="ink in the margin that the binding takes",
    limit="12 mm (side), 20 mm (stab), or as the job says",
    find=find,
)
