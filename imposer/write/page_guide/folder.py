"""The folder of page guides: every file of it made from a job's parts, and the folder written whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from imposer.geometry import Box
from imposer.impose_parts import ImposedPart
from imposer.job.model import Job
from imposer.own_files import PAGE_GUIDES_FILE, PAGE_GUIDES_FORMAT, is_page_guides
from imposer.progress import Progress
from imposer.write.delivery import delivered
from imposer.write.page_guide.artist_sheet import artist_pdf, artist_text
from imposer.write.page_guide.groups import (
    PageGroup,
    SpreadGroup,
    in_short,
    page_groups,
    spread_groups,
)
from imposer.write.page_guide.layers import guide_pdf, guide_png, guide_svg
from imposer.write.page_guide.shapes import Guide, page_guide, spread_guide
from imposer.write.page_guide.words import artist_words, zone_words
from imposer.write.page_guide.zones import PageZones, guided_pages

_ENDINGS = ("pdf", "png", "svg")


def write_page_guides(folder: Path, job: Job, parts: Sequence[ImposedPart], progress: Progress | None = None) -> int:
    """Write the page guides of a job into a folder, which is replaced as a whole; return how many guides there are.

    Raises:
        ImposerError: the folder holds something else, or cannot be written. What was there before is still there.
    """
    sources = {job.file, job.shop.file, *(art.source.file for part in parts for art in part.table.cells.values())}
    pages, spreads = page_guides(parts)
    of = len(pages) + len(spreads)
    with delivered(folder, sources, ours=is_page_guides) as aside:
        for done, (name, guide) in enumerate(_drawn(job, pages, spreads)):
            if progress is not None:
                progress("drawing page guides", done, of)
            (aside / f"{name}.pdf").write_bytes(guide_pdf(guide))
            (aside / f"{name}.png").write_bytes(guide_png(guide))
            (aside / f"{name}.svg").write_text(guide_svg(guide), encoding="utf-8")
        words = artist_words(job, parts, pages, spreads)
        sheet = parts[0].imposition.layout.stock.size
        (aside / "what-to-send.pdf").write_bytes(artist_pdf(job.title, words, sheet))
        (aside / "what-to-send.txt").write_text(artist_text(job.title, words), encoding="utf-8")
        (aside / PAGE_GUIDES_FILE).write_text(_index(job, pages, spreads), encoding="utf-8")
    return of


def page_guides(parts: Sequence[ImposedPart]) -> tuple[tuple[PageGroup, ...], tuple[SpreadGroup, ...]]:
    """Return the pages and the spreads that share a guide."""
    pages = [page for part in parts for page in guided_pages(part)]
    pages.sort(key=lambda each: each.page)
    return page_groups(pages), spread_groups(pages)


def _drawn(job: Job, pages: Sequence[PageGroup], spreads: Sequence[SpreadGroup]) -> Iterator[tuple[str, Guide]]:
    words = zone_words(job)
    for group in pages:
        yield group.name, page_guide(group.zones, in_short(group), job.title, words)
    for spread in spreads:
        yield spread.name, spread_guide(spread.left, spread.right, in_short(spread), job.title, words)


def _index(job: Job, pages: Sequence[PageGroup], spreads: Sequence[SpreadGroup]) -> str:
    """Return which guide is for which pages and what it shows, for other programs; boxes in page space, mm."""
    facts = {
        "format": PAGE_GUIDES_FORMAT,
        "version": 1,
        "title": job.title,
        "pages": [
            {
                "pages": list(group.numbers),
                "part": group.pages[0].part.name,
                "files": [f"{group.name}.{ending}" for ending in _ENDINGS],
                **_zones(group.zones),
            }
            for group in pages
        ],
        "spreads": [
            {
                "spreads": [list(pair) for pair in spread.numbers],
                "files": [f"{spread.name}.{ending}" for ending in _ENDINGS],
            }
            for spread in spreads
        ],
    }
    return json.dumps(facts, indent=1, ensure_ascii=False) + "\n"


def _zones(zones: PageZones) -> dict[str, Any]:
    return {
        "trim": [round(zones.trim.width, 4), round(zones.trim.height, 4)],
        "bleed": zones.bleed,
        "spine": zones.spine,
        "creep": round(zones.creep, 4),
        "trimmed_more": round(zones.pushed_out, 4),
        "binding": round(zones.binding, 4),
        "prints": _box(zones.prints),
        "text": _box(zones.text),
        "print_limit": _box(zones.print_limit),
        "careful": _box(zones.careful),
        "roller_track": [_box(track) for track in zones.tracks],
    }


def _box(box: Box | None) -> list[float] | None:
    return None if box is None else [round(edge, 4) + 0.0 for edge in (box.x0, box.y0, box.x1, box.y1)]
