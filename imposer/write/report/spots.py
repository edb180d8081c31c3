"""The spot that a finding is about, as a figure."""

from __future__ import annotations

from html import escape

from imposer.findings import Finding
from imposer.prepared import Prepared, PreparedPart
from imposer.write.report.pictures import Picture, spot_of_page


def picture_of(prepared: Prepared, finding: Finding) -> Picture | None:
    """Return the spot a finding is about, where it is one of a page."""
    part = part_of(prepared, finding)
    if part is None or finding.page is None or (finding.sheet is not None and finding.box is not None):
        return None
    return spot_of_page(part, finding.page, finding.ink, finding.box)


def part_of(prepared: Prepared, finding: Finding) -> PreparedPart | None:
    """Return the part that a finding's page belongs to."""
    return next((part for part in prepared.parts if finding.page in part.pages), None)


def figure(picture: Picture, finding: Finding) -> str:
    """Return a picture with its spot marked."""
    words = escape(f"{finding.where()}: {finding.message}")
    mark = ""
    if picture.spot is not None:
        left, top, width, height = (f"{100 * share:.2f}%" for share in picture.spot)
        mark = f'<i style="left:{left};top:{top};width:{width};height:{height}"></i>'
    return (
        f'<figure class="spot"><div><img alt="{words}" src="{picture.uri}" width="{picture.width}" '
        f'height="{picture.height}">{mark}</div></figure>'
    )
