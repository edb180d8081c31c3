"""Stitching: where the staples go, in mm, through the fold or beside the spine."""

from __future__ import annotations

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.sheet.stitches import Stitching, stitching_of
from imposer.units import show
from imposer.words import number_of
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, numbered, paragraph, subheading
from imposer.write.guide.booklet_view import dimension, head_bar
from imposer.write.guide.cautions import STAPLER, caution
from imposer.write.guide.cover import cover_words
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, HAIR, Pen
from imposer.write.guide.sewing import sew, stab
from imposer.write.guide.sheet_view import scale_to_fit

#: Width of the drawing, mm.
_DRAWING = 92.0


def held_together(facts: GuideFacts, width: float) -> tuple[Section, ...]:
    """Return the step that staples or sews; nothing where nothing is stitched."""
    held = stitching_of(facts.job.binding, facts.trim)
    if held is None:
        return ()
    match held.kind:
        case "sewn":
            return (sew(facts, held, width),)
        case "stab":
            return (stab(facts, held, width),)
        case _:
            return (stapling(facts, held, width),)


def stapling(facts: GuideFacts, held: Stitching, width: float) -> Section:
    """Return the step that staples."""
    saddle = held.kind == "saddle"
    drawing = _saddle_drawing(facts, held) if saddle else _side_drawing(facts, held)
    words = width - _DRAWING - 6
    return Section(
        "Staple",
        (
            *caution(STAPLER, width),
            beside(
                (0.0, (drawing,)),
                (_DRAWING + 6, (*subheading("How", words), *numbered(_words(facts, held), words))),
            ),
            *(() if saddle else (*subheading("Cover", width), *paragraph(cover_words(facts, held), width))),
        ),
    )


def _words(facts: GuideFacts, held: Stitching) -> tuple[str, ...]:
    saddle = held.kind == "saddle"
    head, foot = map(show, held.places)
    caliper = facts.job.sheet.paper.caliper
    closed = f"{facts.thickness_in_words} thick"
    if saddle:
        where = f"Two staples in the fold, from the outside in, {head} mm and {foot} mm from the head."
        # Every piece lies open: half of its leaves are on one another at each side of the fold.
        layers = facts.leaves // 2
        counted = number_of(layers, "piece") if facts.folded_once else f"{layers} leaves on one another"
        through = f"{counted} × {show(caliper)} mm = {show(layers * caliper)} mm under the stapler"
        if facts.around:
            through = f"{layers} leaves on one another, {show(facts.thickness / 2)} mm under the stapler"
        size = f"Open: {through}. Closed: {closed}."
        line = "all in the fold"
    else:
        line = "in line with the spine"
        where = f"Two staples {show(held.from_spine)} mm from the spine, {head} mm and {foot} mm from the head."
        size = f"Closed: {closed}; all of it goes under the stapler."
    return (
        where,
        size,
        "Desk and long-arm staplers take about 20 sheets of 80 g/m² (common practice). Try a spoilt copy first.",
        f"Look at both sides: legs flat, every piece caught, {line}.",
    )


def _saddle_drawing(facts: GuideFacts, held: Stitching) -> Block:
    """Draw the open booklet, outside up, with the staples on its spine."""
    trim = facts.trim
    scale = scale_to_fit(Size(trim.width * 2, trim.height), Size(_DRAWING - 30, 76))
    wide, high = trim.width * scale, trim.height * scale
    booklet = facts.imposition.booklet
    covers = ("back cover", "front cover")
    left, right = covers[::-1] if booklet.right_to_left else covers

    def draw(pen: Pen, x: float, top: float) -> None:
        sheet = Box.at(x + 6, top - high - 10, wide * 2, high)
        spine = sheet.x0 + wide
        pen.text((x, top - 4), "Outside up, spine in the middle", SMALL, font=SANS_BOLD)
        pen.box(sheet, fill=1.0, weight=FIRM)
        pen.line((spine, sheet.y0), (spine, sheet.y1), HAIR, 0.3, dash=(1.5, 1.0))
        for at, name in ((sheet.x0 + wide / 2, left), (spine + wide / 2, right)):
            pen.text_in_middle((at, sheet.centre[1]), name, NAMES, paint=0.3)
            head_bar(pen, Box(at - wide / 2, sheet.y0, at + wide / 2, sheet.y1))
        _draw_staples(pen, facts, held, spine, sheet, scale)

    return Block(high + 16, draw)


def _side_drawing(facts: GuideFacts, held: Stitching) -> Block:
    """Draw the closed booklet, first page up, with the staples beside its spine."""
    trim = facts.trim
    scale = scale_to_fit(trim, Size(_DRAWING - 50, 84))
    wide, high = trim.width * scale, trim.height * scale
    spine_right = facts.imposition.booklet.right_to_left

    def draw(pen: Pen, x: float, top: float) -> None:
        page = Box.at(x + 20, top - high - 10, wide, high)
        pen.text((x, top - 4), "Page 1 up", SMALL, font=SANS_BOLD)
        pen.box(page, fill=1.0, weight=FIRM)
        spine = page.x1 if spine_right else page.x0
        pen.line((spine, page.y0), (spine, page.y1), 1.4)
        head_bar(pen, page)
        inward = held.from_spine * scale * (-1 if spine_right else 1)
        _draw_staples(pen, facts, held, spine + inward, page, scale)
        level = page.y0 - 6
        pen.line((spine, page.y0), (spine, level - 1), HAIR, 0.4)
        pen.line((spine + inward, page.y0), (spine + inward, level - 1), HAIR, 0.4)
        pen.line((min(spine, spine + inward), level), (max(spine, spine + inward), level), HAIR)
        pen.text((spine + inward / 2, level - 4.5), f"{show(held.from_spine)} mm", NAMES, align="centre")

    return Block(high + 24, draw)


def _draw_staples(pen: Pen, facts: GuideFacts, held: Stitching, at: float, sheet: Box, scale: float) -> None:
    """Draw both staples on an upright line, with their distances from the head at the right of the sheet."""
    places = held.places
    half = min(3.0, sheet.height * 0.08)
    for place in places:
        y = sheet.y1 - place * scale
        pen.line((at, y - half), (at, y + half), 1.1)
        pen.line((at + 1.5, y), (sheet.x1 + 2, y), HAIR, 0.5, dash=(0.8, 0.8))
    for i, place in enumerate((*places, facts.trim.height)):
        x = sheet.x1 + 7 + 7 * i
        dimension(pen, (x, sheet.y1), (x, sheet.y1 - place * scale), show(place))
    pen.text((sheet.x1 + 3, sheet.y1 + 1.5), "from the head", 7.5, paint=0.3)
