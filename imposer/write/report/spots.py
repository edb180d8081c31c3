"""The spot that a finding is about, as a figure."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from imposer.findings import Finding
from imposer.geometry import Box
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.places import page_places
from imposer.write.report.pictures import Picture, page_in_inks, spot_of_page


def picture_of(prepared: Prepared, finding: Finding, close_ups: Mapping[Finding, Picture]) -> Picture | None:
    """Return the spot a finding is about, where it is one of a page: close up if there is such a picture of it."""
    if finding in close_ups:
        return close_ups[finding]
    part = part_of(prepared, finding)
    if part is None or finding.page is None:
        return None
    if _over_each_other(finding):
        return page_in_inks(part, finding.page, [name for name in (finding.ink, finding.other_ink) if name])
    return spot_of_page(part, finding.page, finding.ink, on_page(part, finding))


def shows(finding: Finding) -> str:
    """Return what the picture of a finding shows, where that is more than its spot; else nothing."""
    return f"{finding.ink} and {finding.other_ink} over each other" if _over_each_other(finding) else ""


def _over_each_other(finding: Finding) -> bool:
    return finding.rule == "misplaced-layer" and finding.other_ink is not None


def on_page(part: PreparedPart, finding: Finding) -> Box | None:
    """Return a finding's box in page space, mm; one on a press sheet is led back to the page that lies there."""
    box = finding.box
    if box is None or finding.sheet is None:
        return box
    here = [
        place
        for place in page_places(part.imposition, part.job.shop.machine)
        if (place.page, place.sheet, place.side) == (finding.page, finding.sheet, finding.side)
    ]
    # Where a page lies several times on the sheet, the box is nearest to the one it is about.
    nearest = min(here, key=lambda place: _apart(place.on_sheet, box), default=None)
    return None if nearest is None else nearest.to_sheet.inverse().apply_box(box)


def _apart(one: Box, other: Box) -> float:
    return max(abs(a - b) for a, b in zip(one.centre, other.centre, strict=True))


def part_of(prepared: Prepared, finding: Finding) -> PreparedPart | None:
    """Return the part that a finding's page belongs to."""
    return next((part for part in prepared.parts if finding.page in part.pages), None)


def figure(picture: Picture, words: str, below: str = "") -> str:
    """Return a picture with its spot marked: what it shows, for who cannot see it, and what stands below it."""
    mark = ""
    if picture.spot is not None:
        left, top, width, height = (f"{100 * share:.2f}%" for share in picture.spot)
        mark = f'<i style="left:{left};top:{top};width:{width};height:{height}"></i>'
    caption = f"<figcaption>{escape(below)}</figcaption>" if below else ""
    return (
        f'<figure class="spot"><div><img alt="{escape(words)}" src="{picture.uri}" width="{picture.width}" '
        f'height="{picture.height}">{mark}</div>{caption}</figure>'
    )
