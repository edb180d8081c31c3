"""Sewing through the folds and stab binding through the side: holes in mm, drawn and told, with a strip at full size.

How thread runs and how long it is are common practice, no source.
"""

from __future__ import annotations

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.sheet.stitches import Stitching
from imposer.units import show
from imposer.words import number_of
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, kept, numbered, paragraph, subheading
from imposer.write.guide.booklet_view import head_bar
from imposer.write.guide.cautions import AWL, caution
from imposer.write.guide.cover import cover_words
from imposer.write.guide.facts import GuideFacts, middle_pages
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen
from imposer.write.guide.sheet_view import scale_to_fit
from imposer.write.guide.spacing import spread
from imposer.write.guide.words import in_series

#: Width of the drawing, mm.
_DRAWING = 84.0
#: Width of the strip at full size, what stands above and below it, and the highest page that has one, mm.
_STRIP, _ENDS, _STRIP_MOST = 16.0, 9.0, 215.0


def sew(facts: GuideFacts, stitching: Stitching, width: float) -> Section:
    """Return the step that sews signatures through their folds."""
    words = width - _DRAWING - 6
    return Section(
        "Pierce and sew",
        (
            *caution(AWL, width),
            beside(
                (0.0, (_open_signature(facts, stitching),)),
                (_DRAWING + 6, (*subheading("How", words), *numbered(_sewing_words(facts, stitching), words))),
            ),
            *subheading("Cover", width),
            *paragraph(cover_words(facts, stitching), width),
            *_strip(facts, stitching, width),
        ),
    )


def stab(facts: GuideFacts, stitching: Stitching, width: float) -> Section:
    """Return the step that pierces the gathered block and sews it through the side."""
    words = width - _DRAWING - 6
    return Section(
        "Pierce and sew",
        (
            *caution(AWL, width),
            beside(
                (0.0, (_closed_block(facts, stitching),)),
                (_DRAWING + 6, (*subheading("How", words), *numbered(_stab_words(facts, stitching), words))),
            ),
            *subheading("Cover", width),
            *paragraph(cover_words(facts, stitching), width),
            *_strip(facts, stitching, width),
        ),
    )


def places_in_words(stitching: Stitching) -> str:
    """Return the places from the head, in a series with their unit."""
    return f"{in_series([show(place) for place in stitching.places])} mm from the head"


def _sewing_words(facts: GuideFacts, stitching: Stitching) -> tuple[str, ...]:
    booklet = facts.imposition.booklet
    marked = "Fine strokes in the fold mark them. " if facts.has_mark("holes") else ""
    signatures = booklet.signatures
    on = "" if signatures == 1 else f", signature {signatures - 1} on top of it"
    height = facts.trim.height
    return (
        (
            f"{number_of(len(stitching.places), 'hole')} in the fold of every signature: {places_in_words(stitching)}. "
            "The outer two are the kettle holes."
        ),
        (
            f"Open a signature at its middle, jogged to the head. {marked}Pierce all its pieces together, from the "
            "inside out, along the fold."
        ),
        *_short_signature(facts),
        (
            f"Thread: {number_of(signatures, 'signature')} × {show(height)} mm = {show(signatures * height)} mm, and "
            "two hands more."
        ),
        (
            f"Begin with the last signature{on}. In at a kettle hole, out at the next hole, in again, and so along the "
            "fold; back along the next signature. At the end of each, tie down to the one below: a kettle stitch."
        ),
        "Pull in line with the fold, never across it: thread cuts paper. Then press, and trim.",
    )


def _short_signature(facts: GuideFacts) -> tuple[str, ...]:
    """Return where the signature with fewer pieces stands, and why; nothing if all are alike."""
    counted: dict[int, int] = {}
    for piece in facts.imposition.booklet.pieces:
        counted[piece.signature] = counted.get(piece.signature, 0) + 1
    most = max(counted.values())
    short = [signature for signature, pieces in counted.items() if pieces < most]
    if not short:
        return ()
    has = f"Signature {short[0]} has {number_of(counted[short[0]], 'piece')} only, the others {most}"
    inside = 1 < short[0] < len(counted)
    where = ": it lies second from the end, held by full ones on both sides." if inside else "."
    return (has + where,)


def _stab_words(facts: GuideFacts, stitching: Stitching) -> tuple[str, ...]:
    ticks = (
        "Fine ticks across the spine mark their heights: square them over onto page 1. "
        if facts.has_mark("holes")
        else ""
    )
    height = facts.trim.height
    return (
        (
            f"{number_of(len(stitching.places), 'hole')}, {show(stitching.from_spine)} mm from the spine: "
            f"{places_in_words(stitching)}."
        ),
        (
            f"{ticks}Clamp the jogged block between boards, spine out. Pierce straight down, all "
            f"{facts.leaves} leaves ({show(facts.thickness)} mm), or in lifts with the same strip."
        ),
        f"Thread: six times the height, {show(6 * height)} mm.",
        (
            "Up through the second hole from between the leaves, round the spine and up again; on to the next hole. "
            "At the first and last hole also round head and foot. Back along the line until every gap is filled; knot "
            "where you began, and hide the knot between the leaves."
        ),
        f"Pages open as far as the holes: {show(stitching.margin)} mm at the spine were kept clear.",
    )


def _open_signature(facts: GuideFacts, stitching: Stitching) -> Block:
    """Draw a signature open at its middle, with the holes on its fold."""
    trim = facts.trim
    scale = scale_to_fit(Size(trim.width * 2, trim.height), Size(_DRAWING - 34, 84))
    wide, high = trim.width * scale, trim.height * scale
    booklet = facts.imposition.booklet
    inner = [piece for piece in booklet.pieces if piece.signature == 1][-1]
    left, right = middle_pages(inner, right_to_left=booklet.right_to_left)

    def draw(pen: Pen, x: float, top: float) -> None:
        sheet = Box.at(x + 3, top - high - 10, wide * 2, high)
        fold = sheet.x0 + wide
        pen.text((x, top - 4), "Signature 1, open at its middle", SMALL, font=SANS_BOLD)
        pen.box(sheet, fill=1.0, weight=FIRM)
        pen.line((fold, sheet.y0), (fold, sheet.y1), THIN, 0.3)
        for at, page in ((sheet.x0 + wide / 2, left), (fold + wide / 2, right)):
            pen.text_in_middle((at, sheet.centre[1]), str(page), 13, font=SANS_BOLD, paint=0.3)
            head_bar(pen, Box(at - wide / 2, sheet.y0, at + wide / 2, sheet.y1))
        _draw_holes(pen, stitching, fold, sheet, scale)

    return Block(high + 16, draw)


def _closed_block(facts: GuideFacts, stitching: Stitching) -> Block:
    """Draw the gathered block, first page up, with its margin and the holes."""
    trim = facts.trim
    scale = scale_to_fit(trim, Size(_DRAWING - 42, 90))
    wide, high = trim.width * scale, trim.height * scale
    spine_right = facts.imposition.booklet.right_to_left
    first = min(facts.imposition.booklet.pieces[0].pages)

    def draw(pen: Pen, x: float, top: float) -> None:
        page = Box.at(x + 6, top - high - 10, wide, high)
        pen.text((x, top - 4), f"Page {first} up", SMALL, font=SANS_BOLD)
        spine, inward = (page.x1, -1.0) if spine_right else (page.x0, 1.0)
        line, margin = (spine + inward * each * scale for each in (stitching.from_spine, stitching.margin))
        pen.box(page, fill=1.0, weight=FIRM)
        pen.box(Box(min(spine, margin), page.y0, max(spine, margin), page.y1), fill=0.93, weight=None)
        pen.line((margin, page.y0), (margin, page.y1), HAIR, 0.4, dash=(1.5, 1.0))
        pen.box(page, weight=FIRM)
        pen.line((spine, page.y0), (spine, page.y1), 1.4)
        head_bar(pen, page)
        _draw_holes(pen, stitching, line, page, scale)
        for at, level, words in (
            (line, page.y0 - 5, f"{show(stitching.from_spine)} mm"),
            (margin, page.y0 - 12, f"{show(stitching.margin)} mm kept clear"),
        ):
            for end in (spine, at):
                pen.line((end, page.y0), (end, level - 1), HAIR, 0.5)
            pen.line((min(spine, at), level), (max(spine, at), level), HAIR)
            pen.text((margin + inward * 1.5, level - 1.0), words, NAMES, align="right" if spine_right else "left")

    return Block(high + 26, draw)


def _draw_holes(pen: Pen, stitching: Stitching, at: float, sheet: Box, scale: float) -> None:
    """Draw the holes on an upright line, each with its distance from the head at the right of the sheet."""
    ys = [sheet.y1 - place * scale for place in stitching.places]
    names = spread(ys[::-1], 3.6)[::-1]
    for y, name, place in zip(ys, names, stitching.places, strict=True):
        pen.disc((at, y), 0.9)
        pen.line((at + 1.5, y), (sheet.x1 + 1.5, y), HAIR, 0.5, dash=(0.8, 0.8))
        pen.line((sheet.x1 + 1.5, y), (sheet.x1 + 5, name), HAIR, 0.5)
        pen.text((sheet.x1 + 6, name - 1.0), show(place), NAMES)
    pen.text((sheet.x1 + 6, sheet.y1 + 2.5), "mm from head", 7.0, paint=0.3)


def _strip(facts: GuideFacts, stitching: Stitching, width: float) -> tuple[Block, ...]:
    """Return the strip to pierce through, at full size; nothing for pages too high for it."""
    height = facts.trim.height
    if height > _STRIP_MOST:
        return ()
    deep = stitching.from_spine
    where = "on the fold" if not deep else "against the spine"
    texts = (
        f"Print this page at 100 %: head to foot must measure {show(height)} mm.",
        f"Cut the strip out with scissors and lay it {where}, head to head.",
        "Pierce through the dots. Use one strip for the whole run.",
    )
    beside_it = 70.0
    spine_right = facts.imposition.booklet.right_to_left and deep > 0

    def draw(pen: Pen, x: float, top: float) -> None:
        strip = Box(x + 18, top - _ENDS - height, x + 18 + max(_STRIP, deep + 6), top - _ENDS)
        # From the spine's edge inward; the numbers stand at the other edge.
        spine, far, inward = (strip.x1, strip.x0, -1.0) if spine_right else (strip.x0, strip.x1, 1.0)
        line = spine + inward * deep if deep else strip.centre[0]
        pen.box(strip, weight=HAIR)
        pen.text((strip.x0, strip.y1 + 1.5), "head", NAMES)
        pen.text((strip.x0, strip.y0 - 4.0), "foot", NAMES)
        pen.line((line, strip.y0), (line, strip.y1), HAIR, 0.5, dash=(1.5, 1.0))
        if deep:
            pen.text_in_middle((spine - inward * 2.5, strip.centre[1]), "spine", NAMES, turn=90)
        for place in stitching.places:
            y = strip.y1 - place
            pen.disc((line, y), 0.7)
            pen.line((line + inward * 1.6, y), (far + inward * 2, y), HAIR, 0.5)
            pen.text((far + inward * 3, y - 1.0), show(place), NAMES, align="right" if spine_right else "left")

    picture = Block(height + _ENDS + 6, draw)
    heading = subheading("Piercing strip, full size", width)
    return (*kept(heading), beside((0.0, (picture,)), (beside_it, numbered(texts, width - beside_it))))
