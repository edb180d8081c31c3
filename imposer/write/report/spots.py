"""The spot that a finding is about, as a figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from html import escape

from imposer.findings import Finding
from imposer.geometry import Box
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.places import page_places
from imposer.write.report.pictures import Picture, page_in_inks, spot_of_page


def pictures_of(prepared: Prepared, finding: Finding, close_ups: Mapping[Finding, Picture]) -> tuple[Picture, ...]:
    """Return what a finding of a page is seen on, its spot marked: close up if there is such a picture of it.

    Two pictures stand beside each other where one alone does not show it: another page that is marked, another ink
    that carries the same.
    """
    if finding in close_ups:
        return (close_ups[finding],)
    part, page = part_of(prepared, finding.page), finding.page
    if part is None or page is None:
        return ()
    if _over_each_other(finding):
        return (page_in_inks(part, page, [name for name in (finding.ink, finding.other_ink) if name]),)
    box = on_page(part, finding)
    shown = spot_of_page(part, page, finding.ink, box)
    if finding.rule == "same-art" and finding.ink is not None and finding.other_ink is not None:
        other = spot_of_page(part, page, finding.other_ink, box)
        return (replace(other, label=finding.other_ink), replace(shown, label=finding.ink))
    against = part_of(prepared, finding.other_page)
    if against is not None and finding.other_page is not None:
        other = spot_of_page(against, finding.other_page, None, finding.other_box, mirrored=True)
        as_it_lies = f"page {finding.other_page}, mirrored, as it lies on page {page}"
        return (replace(shown, label=f"page {page}"), replace(other, label=as_it_lies))
    return (shown,)


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


def part_of(prepared: Prepared, page: int | None) -> PreparedPart | None:
    """Return the part that a page belongs to; None if there is no such page."""
    return next((part for part in prepared.parts if page in part.pages), None)


def figure(pictures: Sequence[Picture], words: str, below: str = "") -> str:
    """Return pictures with their spots marked: what they show, for who cannot see it, and what stands below them."""
    caption = f"<figcaption>{escape(below)}</figcaption>" if below else ""
    if len(pictures) == 1:
        return f'<figure class="spot">{_view(pictures[0], words)}{caption}</figure>'
    views = "".join(
        f"<div>{_view(one, f'{one.label}: {words}')}<small>{escape(one.label)}</small></div>" for one in pictures
    )
    return f'<figure class="spot pair"><div class="beside">{views}</div>{caption}</figure>'


def _view(picture: Picture, words: str) -> str:
    mark = ""
    if picture.spot is not None:
        left, top, width, height = (f"{100 * share:.2f}%" for share in picture.spot)
        mark = f'<i style="left:{left};top:{top};width:{width};height:{height}"></i>'
    return (
        f'<div class="view"><img alt="{escape(words)}" src="{picture.uri}" width="{picture.width}" '
        f'height="{picture.height}">{mark}</div>'
    )
