"""The guide as a whole: the steps in order, set on pages, with head and foot. Finished values in, one PDF out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path

from imposer.data.fonts import SANS_BOLD, shorten
from imposer.geometry import Box
from imposer.units import from_points, to_points
from imposer.write.drawing import open_canvas, printable
from imposer.write.guide.blocks import NAMES, Block, gap, kept
from imposer.write.guide.collating import collate, gather, nest_folded
from imposer.write.guide.cut_order import cut_order
from imposer.write.guide.cutting import cutting
from imposer.write.guide.drying import dry, dry_in_short
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Pages, Section, paginate
from imposer.write.guide.folding import folding
from imposer.write.guide.folding_in_steps import folding_in_steps
from imposer.write.guide.leaflet_folding import leaflet_folding
from imposer.write.guide.masters import master_list
from imposer.write.guide.packing import packing
from imposer.write.guide.paper import GuidePaper, guide_paper
from imposer.write.guide.passes import pass_card
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen
from imposer.write.guide.pictures import PagePictures
from imposer.write.guide.scored_cover import scoring_of_cover
from imposer.write.guide.start import start
from imposer.write.guide.together import finishing
from imposer.write.guide.turning import turn_over
from imposer.write.guide.words import wrap

#: Type of a step's title, points.
_TITLE = 15.0


def write_guide(file: Path, *parts: GuideFacts) -> None:
    """Write the collating guide of a job as a PDF, one part after the other. The same facts give the same bytes."""
    file.write_bytes(guide_pdf(*parts))


def guide_pdf(*parts: GuideFacts) -> bytes:
    """Return the collating guide of a job as a PDF."""
    chapters = [_chapter(facts, parts) for facts in parts]
    of = sum(len(chapter.pages.pages) for chapter in chapters)
    buffer = BytesIO()
    with open_canvas(buffer, chapters[0].paper.size, f"{printable(parts[0].job.title)}: collating guide") as canvas:
        pen = Pen(canvas)
        before = 0
        for chapter in chapters:
            canvas.setPageSize(tuple(map(to_points, (chapter.paper.size.width, chapter.paper.size.height))))
            _draw_chapter(pen, chapter, before, of)
            before += len(chapter.pages.pages)
    return buffer.getvalue()


@dataclass(frozen=True, slots=True)
class _Chapter:
    """The guide of one part, set on pages."""

    facts: GuideFacts
    paper: GuidePaper
    titles: tuple[str, ...]
    pages: Pages


def _chapter(facts: GuideFacts, parts: Sequence[GuideFacts]) -> _Chapter:
    paper = guide_paper(facts.layout.stock.size)
    width, height = paper.text.width, paper.text.height
    steps = [_with_heading(number, step, width) for number, step in enumerate(_steps(facts, parts, width), 1)]
    titles = [step.title for step in steps]
    # Set once to learn on which page each step begins, and once more with the list of steps filled in.
    draft = paginate([start(facts, width, [(title, 0) for title in titles]), *steps], height)
    found = list(zip(titles, draft.starts[1:], strict=True))
    pages = paginate([start(facts, width, found), *steps], height)
    return _Chapter(facts, paper, tuple(titles), pages)


def _draw_chapter(pen: Pen, chapter: _Chapter, before: int, of: int) -> None:
    """Draw the pages of a part; `before` lie earlier in the guide, which has `of` in all."""
    canvas = pen.canvas
    for number in range(1, len(chapter.pages.pages) + 1):
        _draw_furniture(pen, chapter.paper, chapter.facts, before + number, of)
        _draw_page(pen, chapter, number)
        starts = zip(chapter.titles, chapter.pages.starts[1:], strict=True)
        for title in (title for title, begins in starts if begins == number):
            key = f"{before + number} {title}"
            canvas.bookmarkPage(key)
            canvas.addOutlineEntry(title, key, 0)
        canvas.showPage()


def _steps(facts: GuideFacts, parts: Sequence[GuideFacts], width: float) -> list[Section]:
    """Return everything after the first page of a part, in the order of the work."""
    booklet = facts.imposition.booklet
    nested = any(piece.nest for piece in booklet.pieces)
    cut = [cutting(facts, width)] if cut_order(facts.layout) else []
    if booklet.scheme.leaflet:
        folded = leaflet_folding(facts, width)
        steps = [master_list(facts, width), *_printing(facts, width), *cut, *([folded] if folded else [])]
        return [*steps, packing(facts, width)]
    return [
        master_list(facts, width),
        *_printing(facts, width),
        *cut,
        *([collate(facts, width)] if nested and facts.folded_once else []),
        _folding(facts, width),
        *([nest_folded(facts, width)] if nested and not facts.folded_once else []),
        *([gather(facts, width)] if booklet.signatures > 1 else []),
        *finishing(facts, parts, width),
        packing(facts, width),
    ]


def _folding(facts: GuideFacts, width: float) -> Section:
    if facts.job.binding.spine:
        return scoring_of_cover(facts, width)
    return folding(facts, width) if facts.folded_once else folding_in_steps(facts, width)


def _printing(facts: GuideFacts, width: float) -> list[Section]:
    """Return the cards of all passes, with the waits between them and the turn before the first back."""
    pictures = PagePictures(facts.measured, facts.colour)
    passes = facts.plan.passes
    found: list[Section] = []
    for i, run in enumerate(passes):
        found.append(pass_card(facts, run, width, pictures))
        following = passes[i + 1] if i + 1 < len(passes) else None
        if following is None:
            before = "cutting" if cut_order(facts.layout) else "folding"
            found.append(dry_in_short(facts, run, before, width, finishing=True))
        elif following.side == run.side:
            found.append(dry_in_short(facts, run, f"pass {following.number}", width))
        else:
            found += [dry(facts, run, "turning", width), turn_over(facts, width)]
    return found


def _with_heading(number: int, section: Section, width: float) -> Section:
    """Return a section with its number, title and a box for "done" on top."""
    room = width - 12 - 26
    lines = wrap(section.title, room, _TITLE, SANS_BOLD)
    step = from_points(_TITLE) * 1.25
    high = len(lines) * step + 3.5

    def draw(pen: Pen, x: float, top: float) -> None:
        baseline = top - step * 0.8
        pen.disc((x + 4.2, baseline + 1.9), 4.2)
        pen.text_in_middle((x + 4.2, baseline + 1.9), str(number), 11, font=SANS_BOLD, paint=1.0)
        for i, line in enumerate(lines):
            pen.text((x + 12, baseline - i * step), line, _TITLE, font=SANS_BOLD)
        pen.text((x + width - 7, baseline), "done", NAMES, align="right", paint=0.25)
        pen.box(Box.at(x + width - 5.2, baseline - 0.9, 5, 5))
        pen.line((x, top - high + 1), (x + width, top - high + 1), FIRM)

    heading = kept((Block(high, draw), gap(2.5)))
    return replace(section, blocks=(*heading, *section.blocks))


def _draw_page(pen: Pen, chapter: _Chapter, number: int) -> None:
    text = chapter.paper.text
    for placed in chapter.pages.pages[number - 1]:
        placed.block.draw(pen, text.x0, text.y1 - placed.down)


def _draw_furniture(pen: Pen, paper: GuidePaper, facts: GuideFacts, number: int, of: int) -> None:
    """Draw head and foot of a page."""
    text = paper.text
    page = f"page {number} of {of}"
    title = shorten(printable(facts.job.title), to_points(text.width - 75), NAMES + 0.5, SANS_BOLD)
    head, foot = text.y1 + 7, text.y0 - 8
    pen.text((text.x0, head), title, NAMES + 0.5, font=SANS_BOLD)
    pen.text((text.x1, head), f"collating guide · {page}", NAMES + 0.5, align="right")
    pen.line((text.x0, head - 2.2), (text.x1, head - 2.2), THIN)
    pen.line((text.x0, foot + 4), (text.x1, foot + 4), HAIR, 0.5)
    pen.text((text.x0, foot), f"{facts.job.copies} copies", NAMES, paint=0.35)
    last = "Lengths in mm. The machine's manual and local rules come first."
    pen.text((text.x1, foot), last, NAMES, paint=0.35, align="right")
