"""The cut plan: the sheet with its cuts numbered in order, what the gauge is set to, and the stacks that come off."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.units import from_points, show
from imposer.words import number_of
from imposer.write.guide.blocks import NAMES, Block, gap, kept, paragraph, subheading
from imposer.write.guide.booklet_view import draw_pile
from imposer.write.guide.cautions import GUILLOTINE, caution
from imposer.write.guide.cut_order import Cut, cut_order, edge_names
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen, text_width
from imposer.write.guide.sheet_view import View, scale_to_fit
from imposer.write.guide.spacing import spread
from imposer.write.guide.stacks import Stack, stacks_of
from imposer.write.guide.table import Cell, table
from imposer.write.guide.words import in_series

#: Room around the sheet for numbers, dimensions and names, mm.
_LEFT, _RIGHT, _ABOVE, _BELOW = 16.0, 26.0, 14.0, 22.0
#: Numbers of cuts stand at least this far apart, dimensions too, mm.
_APART, _APART_TEXT = 6.5, 9.5
_MOST_HIGH = 84.0
#: No more stacks than this are drawn side by side.
_DRAWN_MOST = 5
#: Lists of stacks up to this long stay on one page.
_TOGETHER = 12


def cutting(facts: GuideFacts, width: float) -> Section:
    """Return the step that cuts sheets into pieces."""
    cuts = cut_order(facts.layout)
    lead = edge_names(facts.layout)[facts.layout.lead]
    sheets = len(facts.imposition.sheets)
    rest = "sheet 2" if sheets == 2 else f"2 to {sheets} in order"
    order = f"Lay sheet 1 on top, then {rest}, a slip of coloured paper after each sheet's copies. "
    first = (
        "The pieces are equal parts of the sheet and nothing comes off outside: jog the stack square and cut between "
        "them."
        if facts.layout.untrimmed
        else "Cut the outside first, so that the stack is square and all that follows is measured from a fresh edge; "
        "then between the pieces (common practice)."
    )
    words = f"Fronts up, {lead} as drawn. {first} Cut in lifts that your cutter takes."
    return Section(
        "Cut",
        (
            *caution(GUILLOTINE, width),
            *kept(paragraph(order + words if sheets > 1 else words, width)),
            gap(1.5, keep=True),
            _drawing(facts, cuts, width),
            *_list(facts, cuts, width),
            *_stacks(facts, width),
        ),
    )


def _list(facts: GuideFacts, cuts: Sequence[Cut], width: float) -> tuple[Block, ...]:
    names = edge_names(facts.layout)
    rows = [
        (
            Cell(f"{cut.number}", tick=True, bold=True),
            cut.against,
            Cell(f"{show(cut.gauge)} mm", bold=True),
            f"{show(cut.at)} mm from the {names['left'] if cut.axis == 'x' else names['bottom']}",
            cut.gives,
        )
        for cut in cuts
    ]
    head = ("Cut", "Against the gauge", "Gauge", "Lies", "Comes off")
    return table(head, rows, (15, 34, 22, 53, width - 124))


def _drawing(facts: GuideFacts, cuts: Sequence[Cut], width: float) -> Block:
    layout = facts.layout
    scale = scale_to_fit(layout.size, Size(width - _LEFT - _RIGHT, _MOST_HIGH))
    high = layout.size.height * scale
    left = _LEFT + (width - _LEFT - _RIGHT - layout.size.width * scale) / 2

    def draw(pen: Pen, x: float, top: float) -> None:
        view = View(x + left, top - _ABOVE - high, scale, layout.size)
        pen.box(view.outline, fill=0.9, weight=None)
        for index, slot in enumerate(layout.slots):
            _draw_slot(pen, view.box(slot), stacks_of(facts)[index])
        pen.box(view.outline, weight=FIRM)
        for fold in facts.imposition.sheets[0].front.folds:
            pen.line(view.point(fold.x0, fold.y0), view.point(fold.x1, fold.y1), HAIR, 0.4, dash=(1.2, 0.9))
        _draw_upright_cuts(pen, view, [cut for cut in cuts if cut.axis == "x"])
        _draw_level_cuts(pen, view, [cut for cut in cuts if cut.axis == "y"])
        _draw_edges(pen, view, facts)

    return Block(high + _ABOVE + _BELOW, draw)


def _draw_slot(pen: Pen, box: Box, stack: Stack) -> None:
    pen.box(box, fill=1.0, weight=None)
    x, y = box.centre
    size = max(10.0, min(30.0, min(box.width, box.height) * 0.8))
    # Beside the middle, where the fold is drawn.
    x, y = x - box.width * 0.18, y + box.height * 0.18
    pen.text_in_middle((x, y), stack.letter, size, font=SANS_BOLD)
    words = stack.in_words()
    if text_width(words, NAMES) < box.width * 0.32 and from_points(size) + 6 < box.height * 0.6:
        pen.text_in_middle((x, y - from_points(size) * 0.5 - 3), words, NAMES)


def _draw_upright_cuts(pen: Pen, view: View, cuts: Sequence[Cut]) -> None:
    """Draw cuts that run up and down: numbers above, distances from the left edge below."""
    sheet = view.outline
    ordered = sorted(cuts, key=lambda cut: cut.at)
    places = [view.point(cut.at, 0)[0] for cut in ordered]
    for cut, x, at_number, at_text in zip(
        ordered, places, spread(places, _APART), spread(places, _APART_TEXT), strict=True
    ):
        pen.line((x, sheet.y0 - 2), (x, sheet.y1 + 2), FIRM)
        pen.line((x, sheet.y1 + 2), (at_number, sheet.y1 + 6), THIN)
        _draw_number(pen, at_number, sheet.y1 + 8.5, cut.number)
        pen.line((x, sheet.y0 - 2), (at_text, sheet.y0 - 6), HAIR)
        pen.text((at_text, sheet.y0 - 9.5), show(cut.at), NAMES, align="centre")


def _draw_level_cuts(pen: Pen, view: View, cuts: Sequence[Cut]) -> None:
    """Draw cuts that run across: numbers at the left, distances from the bottom edge at the right."""
    sheet = view.outline
    ordered = sorted(cuts, key=lambda cut: cut.at)
    places = [view.point(0, cut.at)[1] for cut in ordered]
    for cut, y, at_number, at_text in zip(ordered, places, spread(places, _APART), spread(places, 4.5), strict=True):
        pen.line((sheet.x0 - 2, y), (sheet.x1 + 2, y), FIRM)
        pen.line((sheet.x0 - 2, y), (sheet.x0 - 6, at_number), THIN)
        _draw_number(pen, sheet.x0 - 8.5, at_number, cut.number)
        pen.line((sheet.x1 + 2, y), (sheet.x1 + 6, at_text), HAIR)
        pen.text((sheet.x1 + 7, at_text - 1), show(cut.at), NAMES)


def _draw_number(pen: Pen, x: float, y: float, number: int) -> None:
    pen.disc((x, y), 2.8)
    pen.text_in_middle((x, y), str(number), NAMES, font=SANS_BOLD, paint=1.0)


def _draw_edges(pen: Pen, view: View, facts: GuideFacts) -> None:
    """Name the edges that distances are measured from, and show which one leads."""
    sheet, layout = view.outline, facts.layout
    names = edge_names(layout)
    x, y = sheet.centre
    size = f"sheet {show(layout.size.width)} × {show(layout.size.height)} mm, front up"
    across = f"mm from the {names['left']}; " if any(cut.axis == "x" for cut in cut_order(layout)) else ""
    pen.text((x, sheet.y0 - 14.5), across + size, NAMES, align="centre", paint=0.3)
    if any(cut.axis == "y" for cut in cut_order(layout)):
        pen.text_in_middle((sheet.x1 + 21, y), f"mm from the {names['bottom']}", NAMES, paint=0.3, turn=90)
    if layout.lead == "left":
        pen.text_in_middle((sheet.x0 - 14, y), "▲  lead edge  ▲", NAMES, font=SANS_BOLD, turn=90)
    else:
        pen.text((x, sheet.y0 - 19), "▼  lead edge  ▼", NAMES, font=SANS_BOLD, align="centre")


def _stacks(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    """Return what each stack holds, and how the stacks drop onto each other."""
    stacks = [stack for stack in stacks_of(facts) if stack.pieces]
    words = "Fronts stay up, all heads the same way. Write its letter on each stack as it comes off."
    rows = [
        (Cell(f"Stack {stack.letter}", bold=True, tick=True), stack.in_words(), stack.pages_in_words())
        for stack in stacks
    ]
    listed = table(("", "Pieces, from the top", "Pages on their fronts"), rows, (30, 62, width - 92))
    return (
        *subheading("The stacks", width),
        *kept(paragraph(words, width)),
        gap(1.5, keep=True),
        *(kept(listed) if len(listed) <= _TOGETHER else listed),
        gap(2.0),
        *_dropped(stacks, facts, width),
    )


def _dropped(stacks: Sequence[Stack], facts: GuideFacts, width: float) -> tuple[Block, ...]:
    if len(stacks) < 2:
        return ()
    copies = facts.imposition.copies_per_set > 1
    if copies:
        words = f"Every set of stacks is a whole copy: put stacks with the same pieces together ({_same(stacks)})."
    else:
        names = " on ".join(stack.letter for stack in stacks)
        last = len(facts.imposition.booklet.pieces)
        pieces = number_of(last, "pile")
        words = (
            f"Drop the stacks onto each other, {names}: from the top there lie {pieces}, pieces 1 to {last} in order."
        )
    if copies or len(stacks) > _DRAWN_MOST:
        return paragraph(words, width)

    def draw(pen: Pen, x: float, top: float) -> None:
        for i, stack in enumerate(stacks):
            box = Box.at(x + 31 * i, top - 24, 24, 22)
            draw_pile(pen, box, stack.letter, (stack.in_words(),))
            if i:
                pen.text_in_middle((box.x0 - 3.5, top - 10), "on", NAMES)

    return (*paragraph(words, width), gap(2.0), Block(26.0, draw))


def _same(stacks: Sequence[Stack]) -> str:
    by_pieces: dict[tuple[int, ...], list[str]] = {}
    for stack in stacks:
        by_pieces.setdefault(stack.pieces, []).append(stack.letter)
    return "; ".join(in_series(names) for names in by_pieces.values())
