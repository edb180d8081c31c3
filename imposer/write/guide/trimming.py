"""Trimming: which edge first, to what size, and how much creep comes off."""

from __future__ import annotations

from collections.abc import Mapping

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.units import show
from imposer.words import number_of
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, gap, numbered, paragraph, subheading
from imposer.write.guide.booklet_view import dimension, head_bar
from imposer.write.guide.cautions import GUILLOTINE, caution
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.fold_words import closed_edges
from imposer.write.guide.folding_in_steps import folded_piece
from imposer.write.guide.pen import FIRM, Pen
from imposer.write.guide.sheet_view import scale_to_fit

_DRAWING = 84.0


def trimming(facts: GuideFacts, width: float) -> Section:
    """Return the step that cuts the booklets to their final size, or trues the fore edge of what needs no trimming."""
    words = width - _DRAWING - 6
    closed = {} if facts.folded_once else closed_edges(folded_piece(facts, facts.imposition.booklet.pieces[0]))
    in_full = bool(closed) or not facts.layout.untrimmed
    return Section(
        "Trim" if in_full else "True the fore edge, if you want it flush",
        (
            *caution(GUILLOTINE, width, first=False),
            beside(
                (0.0, (_drawing(facts, fore_edge_alone=not in_full),)),
                (_DRAWING + 6, _beside(facts, _words(facts, closed) if in_full else _words_untrimmed(facts), words)),
            ),
        ),
    )


def _beside(facts: GuideFacts, steps: tuple[str, ...], width: float) -> tuple[Block, ...]:
    press = "Press the booklets first, spines in turn left and right. Cut a spoilt copy and measure it."
    size = f"Final size: {show(facts.trim.width)} × {show(facts.trim.height)} mm"
    return (
        *paragraph(press, width),
        *subheading("In this order", width),
        *numbered(steps, width),
        gap(1.5),
        *paragraph(size, width, font=SANS_BOLD),
    )


def _words_untrimmed(facts: GuideFacts) -> tuple[str, ...]:
    creep = facts.imposition.creep
    stand_out = f" The innermost leaves stand out by about {show(creep)} mm (creep)." if creep else ""
    return (
        f"Fore edge: {show(facts.trim.width)} mm from the spine, flush with the outermost leaf.{stand_out}",
        "Leave head and foot: all edges are those of the sheet, or of its parts, and nothing need come off.",
    )


def _words(facts: GuideFacts, closed: Mapping[str, int]) -> tuple[str, ...]:
    trim, creep = facts.trim, facts.imposition.creep
    off = facts.trim_open
    cut_to_size = "It was cut to size on the sheet: take off no more than makes it even."
    pushed = (
        f"The innermost leaves stand out by about {show(creep)} mm (creep): it comes off, the art was moved for it."
        if creep
        else "No creep was allowed for: the leaves should lie flush, so only true the edge."
    )
    return (
        f"Fore edge first: {show(trim.width)} mm from the spine, flush with the outermost leaf. {pushed}"
        + _opens(closed, "fore edge", off),
        f"Head. {_opens(closed, 'head', off).strip() or cut_to_size}",
        f"Foot, to {show(trim.height)} mm in all.{_opens(closed, 'foot', off) or ' The same holds for it.'}",
    )


def _opens(closed: Mapping[str, int], edge: str, off: float) -> str:
    """Return that a cut opens the folds at an edge, with a space before it; empty if the edge is open already."""
    if edge not in closed:
        return ""
    return f" It opens {number_of(closed[edge], 'fold')} a piece: {show(off)} mm beyond the page are cut off."


def _drawing(facts: GuideFacts, *, fore_edge_alone: bool) -> Block:
    trim = facts.trim
    scale = scale_to_fit(trim, Size(_DRAWING - 40, 66))
    wide, high = trim.width * scale, trim.height * scale
    spine_right = facts.imposition.booklet.right_to_left

    def draw(pen: Pen, x: float, top: float) -> None:
        page = Box.at(x + 18, top - high - 16, wide, high)
        pen.text((x, top - 4), "Page 1 up", SMALL, font=SANS_BOLD)
        pen.box(page, fill=1.0, weight=FIRM)
        spine, fore = (page.x1, page.x0) if spine_right else (page.x0, page.x1)
        out = -1.0 if spine_right else 1.0
        pen.line((spine, page.y0), (spine, page.y1), 1.4)
        head_bar(pen, page)
        pen.text_in_middle((spine + out * 3, page.centre[1]), "spine", NAMES, turn=90, paint=0.3)
        cuts = (
            ((fore, page.y0 - 4), (fore, page.y1 + 4), (fore, page.y1 + 7)),
            ((page.x0 - 4, page.y1), (page.x1 + 4, page.y1), (page.centre[0], page.y1 + 4)),
            ((page.x0 - 4, page.y0), (page.x1 + 4, page.y0), (page.centre[0], page.y0 - 4)),
        )
        for number, (start, end, mark) in enumerate(cuts[:1] if fore_edge_alone else cuts, 1):
            pen.line(start, end, FIRM, dash=(2, 1))
            pen.disc(mark, 2.6)
            pen.text_in_middle(mark, str(number), NAMES, font=SANS_BOLD, paint=1.0)
        dimension(pen, (page.x0, page.y0 - 12), (page.x1, page.y0 - 12), f"{show(trim.width)} mm")
        dimension(pen, (page.x1 + 11, page.y0), (page.x1 + 11, page.y1), f"{show(trim.height)} mm")

    return Block(high + 32, draw)
