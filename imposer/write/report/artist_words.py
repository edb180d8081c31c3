"""The words of one finding for the artist: on which page it is seen, where on it, how much, and what she can do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from string import Formatter

from imposer.findings import Finding
from imposer.geometry import Box, Size
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.places import page_places
from imposer.units import show
from imposer.write.page_colours import part_of, prints, trim_of
from imposer.write.report.plain_words import WORDS
from imposer.write.report.spots import on_page

#: A spot that takes more than this share of a page one way is not told by its place that way. Own choice.
_WIDE = 0.6


def is_told(finding: Finding) -> bool:
    """Tell whether an artist can mend a finding: the rest is the studio's own business."""
    words = WORDS.get(finding.rule)
    return words is not None and not (words.page_only and finding.page is None)


def at_page(prepared: Prepared, finding: Finding) -> Finding:
    """Return a finding of a press sheet as one of the page that its spot lies on; unchanged if there is none."""
    box, part = finding.box, _part_of_sheet(prepared, finding)
    if finding.page is not None or box is None or part is None:
        return finding
    bleed = part.job.page.bleed
    for place in page_places(part.imposition, part.job.shop.machine):
        if (place.sheet, place.side) == (finding.sheet, finding.side) and place.on_sheet.grown(bleed).contains(box):
            return replace(finding, page=place.page)
    return finding


def pages_of(prepared: Prepared, finding: Finding) -> Sequence[int]:
    """Return the pages of the side of a press sheet that a finding is about, as far as they print; or its own page."""
    if finding.page is not None:
        return (finding.page,)
    part = _part_of_sheet(prepared, finding)
    if part is None or finding.sheet is None or finding.side is None:
        return ()
    inks = part.job.ink_names if finding.ink is None else (finding.ink,)
    pages = {art.page for art in part.frames[finding.sheet, finding.side].art}
    return sorted(page for page in pages if any(prints(part, page, ink) for ink in inks))


def file_of(prepared: Prepared, finding: Finding) -> str | None:
    """Return the file that a finding is of, as the artist knows it."""
    if finding.file is not None or finding.page is None or finding.ink is None:
        return finding.file
    art = part_of(prepared, finding.page).table.art(finding.page, finding.ink)
    return None if art is None else art.source.place


def how_much(prepared: Prepared, finding: Finding) -> str:
    """Return how much of it there is, as a sentence; empty where there is nothing to say."""
    return _filled(WORDS[finding.rule].much, _facts_of(prepared, finding)) or ""


def what_to_do(prepared: Prepared, finding: Finding) -> str:
    """Return what the artist can do about it, as sentences."""
    return WORDS[finding.rule].do.format_map(_facts_of(prepared, finding))


def where_on_page(prepared: Prepared, finding: Finding) -> str:
    """Return where on its page the spot is: "at the top left"; empty where it names none, or all of it."""
    if finding.page is None or finding.box is None:
        return ""
    part = part_of(prepared, finding.page)
    box = on_page(part, finding)
    return "" if box is None else _place(box, trim_of(part, finding.page))


def _place(box: Box, trim: Size) -> str:
    x, y = box.centre
    across = "" if box.width > _WIDE * trim.width else _third(x / trim.width, ("left", "", "right"))
    along = "" if box.height > _WIDE * trim.height else _third(y / trim.height, ("bottom", "", "top"))
    if across or along:
        return f"at the {' '.join(filter(None, (along, across)))}"
    small = box.width <= _WIDE * trim.width and box.height <= _WIDE * trim.height
    return "in the middle" if small else ""


def _third(share: float, names: tuple[str, str, str]) -> str:
    return names[min(max(int(3 * share), 0), 2)]


def _part_of_sheet(prepared: Prepared, finding: Finding) -> PreparedPart | None:
    here = (finding.sheet, finding.side)
    return next((part for part in prepared.parts if here in part.frames), None)


def _facts_of(prepared: Prepared, finding: Finding) -> Mapping[str, object]:
    """Return what the words of `WORDS` may ask for; None for what the finding lacks."""
    part = None if finding.page is None else part_of(prepared, finding.page)
    box = None if part is None else on_page(part, finding)
    job = prepared.job if part is None else part.job
    bleed = job.page.bleed
    return {
        "measured": finding.measured,
        "limit": finding.limit,
        "message": finding.message,
        "ink": finding.ink,
        "other": finding.other_ink,
        "size": None if box is None else f"{max(box.width, 1):.0f} × {max(box.height, 1):.0f} mm",
        "limits": job.shop.check,
        "drift": f"{show(job.shop.machine.drift.between_passes)} mm",
        "beyond": (
            f"Draw on over the {show(bleed)} mm around the page that are cut off"
            if bleed
            else "Ask the studio how far to draw on beyond the page"
        ),
    }


def _filled(words: str, facts: Mapping[str, object]) -> str | None:
    """Return words with their facts; None if one of them is not there."""
    asked = [name.partition(".")[0] for _, name, _, _ in Formatter().parse(words) if name]
    return None if any(facts[name] is None for name in asked) else words.format_map(facts)
