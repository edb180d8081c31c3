"""Between fronts and backs: how the stack is flipped, which edge leads then, and which pages must back each other."""

from __future__ import annotations

from math import cos, pi, sin

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Edge, Size
from imposer.sheet.safe_area import mirrors_x
from imposer.units import show
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, gap, numbered, paragraph, subheading
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, THIN, Pen, Point
from imposer.write.guide.sheet_view import View, draw_machine, draw_map, machine_room, scale_to_fit

#: Letters of a sheet's corners, from the upper left clockwise, as its front is drawn.
_CORNERS = "ABCD"
#: Where those letters stand on the back as drawn, in the same order of places.
_MIRRORED_X = "BADC"
_MIRRORED_Y = "DCBA"

#: Room for a corner's letter beyond the sheet, mm.
_LETTER = 5.0

#: The gap between the two sheets of the flip drawing, mm.
_MIDDLE = 24.0


def turn_over(facts: GuideFacts, width: float) -> Section:
    """Return the step that flips the stack."""
    return Section(
        f"{facts.layout.flip.capitalize()} the stack over",
        (
            *paragraph(_in_words(facts), width),
            gap(2.0),
            _flip_drawing(facts, width),
            *subheading("Test one sheet before you run the rest", width),
            *numbered(_test(facts), width),
            *subheading("These pages back each other", width),
            *_pairs(facts, width),
        ),
    )


def _in_words(facts: GuideFacts) -> str:
    layout = facts.layout
    how = (
        "left over right, like a page of a book"
        if _sideways(facts)
        else "top over bottom, like a page of a wall calendar"
    )
    first, then = leading_corners(facts)
    if set(first) == set(then):
        after = f"The same paper edge, {first[0]}–{first[1]}, leads again."
    else:
        after = (
            f"Edge {first[0]}–{first[1]} led on the fronts; the opposite edge, {then[0]}–{then[1]}, leads on the backs."
        )
    return f"A {layout.flip}: flip the whole stack {how}, as drawn here. {after}"


def _sideways(facts: GuideFacts) -> bool:
    """Tell whether the flip swaps left and right as drawn."""
    return mirrors_x(facts.layout.lead, facts.layout.flip)


def leading_corners(facts: GuideFacts) -> tuple[str, str]:
    """Return the letters of the two corners that enter first, on the fronts and on the backs."""
    back = _MIRRORED_X if _sideways(facts) else _MIRRORED_Y
    places = (0, 3) if facts.layout.lead == "left" else (3, 2)
    return "".join(_CORNERS[i] for i in places), "".join(back[i] for i in places)


def _flip_drawing(facts: GuideFacts, width: float) -> Block:
    layout = facts.layout
    beyond = machine_room(layout.lead)
    room = Size((width - _MIDDLE) / 2 - beyond.width - 2 * _LETTER, 62 - beyond.height)
    scale = scale_to_fit(layout.size, room)
    high = layout.size.height * scale
    sheet = facts.imposition.sheets[0]
    blanks = frozenset(facts.imposition.booklet.blanks)
    back = _MIRRORED_X if _sideways(facts) else _MIRRORED_Y

    def draw(pen: Pen, x: float, top: float) -> None:
        y = top - 6 - _LETTER - high
        half = (width + _MIDDLE) / 2
        for left, face, corners, name in (
            (x, sheet.front, _CORNERS, "FRONT, as it came out"),
            (x + half, sheet.back, back, "BACK, as it goes in"),
        ):
            view = View(left + beyond.width + _LETTER, y, scale, layout.size)
            draw_map(pen, view, face, layout, printed=face is sheet.front, blanks=blanks)
            draw_machine(pen, view.outline, layout.lead)
            _draw_corners(pen, view, corners)
            pen.text((view.outline.centre[0], top - 3), name, SMALL, font=SANS_BOLD, align="centre")
        front = View(x + beyond.width + _LETTER, y, scale, layout.size)
        _draw_axis(pen, front, layout.lead, sideways=_sideways(facts))
        middle = (front.outline.x1 + x + half + _LETTER) / 2
        _draw_flip(pen, (middle, y + high / 2), sideways=_sideways(facts))

    return Block(high + beyond.height + 6 + 2 * _LETTER, draw)


def _draw_corners(pen: Pen, view: View, letters: str) -> None:
    sheet = view.outline
    places = (
        (sheet.x0 - 2.6, sheet.y1 + 2.6),
        (sheet.x1 + 2.6, sheet.y1 + 2.6),
        (sheet.x1 + 2.6, sheet.y0 - 2.6),
        (sheet.x0 - 2.6, sheet.y0 - 2.6),
    )
    for place, letter in zip(places, letters, strict=True):
        pen.disc(place, 2.2, fill=0.0)
        pen.text_in_middle(place, letter, NAMES, font=SANS_BOLD, paint=1.0)


def _draw_axis(pen: Pen, view: View, lead: Edge, *, sideways: bool) -> None:
    """Draw the line about which the sheet flips: pale where it crosses pages, strong beyond, but for the lead edge."""
    sheet, dash = view.outline, (4.0, 1.2, 1.0, 1.2)
    x, y = sheet.centre
    if sideways:
        pen.line((x, sheet.y0), (x, sheet.y1), THIN, 0.5, dash)
        stubs = {"top": ((x, sheet.y1), (x, sheet.y1 + 5)), "bottom": ((x, sheet.y0), (x, sheet.y0 - 5))}
    else:
        pen.line((sheet.x0, y), (sheet.x1, y), THIN, 0.5, dash)
        stubs = {"left": ((sheet.x0, y), (sheet.x0 - 5, y)), "right": ((sheet.x1, y), (sheet.x1 + 5, y))}
    for edge, ends in stubs.items():
        if edge != lead:
            pen.line(*ends, 1.0)


def _draw_flip(pen: Pen, centre: Point, *, sideways: bool) -> None:
    """Draw a sheet seen along its axis, and the half circle it swings through."""
    x, y = centre
    radius = 8.0
    for angle, weight in ((0, FIRM), (pi / 4, THIN), (pi / 2, THIN), (3 * pi / 4, THIN)):
        reach = radius * cos(angle), radius * sin(angle)
        start, end = ((x, y), (x + reach[0], y + reach[1])) if sideways else ((x, y), (x + reach[1], y + reach[0]))
        pen.line(start, end, weight, 0.0 if angle == 0 else 0.6)
    pen.disc(centre, 0.9)
    sweep = [pi * i / 18 for i in range(1, 18)]
    radius += 2
    points = [
        (x - radius * cos(a), y + radius * sin(a)) if sideways else (x + radius * sin(a), y + radius * cos(a))
        for a in sweep
    ]
    pen.arrow_along(points, FIRM, 3.0)
    pen.text((x, y - 16), "the dash-dot line", 7, align="centre", paint=0.3)
    pen.text((x, y - 19), "stays in place", 7, align="centre", paint=0.3)


def _test(facts: GuideFacts) -> tuple[str, ...]:
    sheet = facts.imposition.sheets[0]
    backs = facts.leaf_backs()
    fronts = [panel.page for panel in sheet.front.panels if panel.page is not None]
    page = next((page for page in fronts if page in backs), fronts[0])
    behind = f"Page {backs[page]}" if page in backs else "The back"
    crosses = "the crosses of both sides" if facts.has_mark("registration") else "the edges of the pages"
    near = f"within about {show(facts.job.shop.machine.drift.sides)} mm"
    return (
        "Pencil the letters A to D on the corners of one sheet and flip it as drawn.",
        "Print its back on a waste sheet that carries a front, and hold it to the light.",
        f"{behind} must lie behind page {page}, head on head, and {crosses} on each other {near}.",
        "Upside down or the wrong page? Stop. Flip the stack the other way and try again; do not touch the masters.",
    )


def _pairs(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    """Return a map of every sheet with the page on the back of each."""
    layout = facts.layout
    sheets = facts.imposition.sheets
    across = 3
    each = (width - 5.0 * (across - 1)) / across
    scale = scale_to_fit(layout.size, Size(each, 44.0))
    high = layout.size.height * scale
    backs = facts.leaf_backs()
    blanks = frozenset(facts.imposition.booklet.blanks)

    def one(index: int) -> Block:
        def draw(pen: Pen, x: float, top: float) -> None:
            pen.text((x, top - 3.5), f"Sheet {sheets[index].number}, front", SMALL, font=SANS_BOLD)
            view = View(x, top - 5.5 - high, scale, layout.size)
            draw_map(pen, view, sheets[index].front, layout, backs=backs, blanks=blanks)

        return Block(high + 9, draw)

    rows = [range(i, min(i + across, len(sheets))) for i in range(0, len(sheets), across)]
    return tuple(beside(*((k * (each + 5.0), (one(index),)) for k, index in enumerate(row))) for row in rows)
