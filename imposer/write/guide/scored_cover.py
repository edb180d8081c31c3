"""A cover that wraps a block: scored at both edges of its spine instead of folded flat, drawn and told.

Common practice, no source.
"""

from __future__ import annotations

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box, Size
from imposer.units import show
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, numbered, subheading
from imposer.write.guide.booklet_view import dimension, head_bar
from imposer.write.guide.cautions import BENCH, caution_in_a_line
from imposer.write.guide.facts import GuideFacts, outer_pages
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, Pen
from imposer.write.guide.sheet_view import scale_to_fit

_DRAWING = 92.0


def scoring_of_cover(facts: GuideFacts, width: float) -> Section:
    """Return the step that scores a cover with a spine."""
    words = width - _DRAWING - 6
    return Section(
        "Score the cover",
        (
            *caution_in_a_line(BENCH, width),
            beside(
                (0.0, (_drawing(facts),)),
                (_DRAWING + 6, (*subheading("How", words), *numbered(_words(facts), words))),
            ),
        ),
    )


def _words(facts: GuideFacts) -> tuple[str, ...]:
    spine = show(float(facts.job.binding.spine))
    marked = " The fold marks at head and foot show where." if facts.has_mark("fold") else ""
    return (
        f"Outside up, heads away from you. Score twice, {spine} mm apart, at both edges of the spine.{marked}",
        f"{spine} mm is the block pressed flat, leaves × caliper. Measure one: if thicker, move both scores.",
        "Bone folder or scoring wheel along a steel rule, with the grain: along the spine.",
        "Do not fold it flat. It is bent along the scores when it goes round the block.",
    )


def _drawing(facts: GuideFacts) -> Block:
    """Draw the cover flat, outside up: back, spine, front."""
    trim, spine = facts.trim, float(facts.job.binding.spine)
    open_size = Size(2 * trim.width + spine, trim.height)
    scale = scale_to_fit(open_size, Size(_DRAWING - 16, 70))
    wide, high, between = trim.width * scale, trim.height * scale, max(1.6, spine * scale)
    left, right = outer_pages(facts.imposition.booklet.pieces[0])

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.text((x, top - 4), "Outside up", SMALL, font=SANS_BOLD)
        sheet = Box.at(x + 2, top - high - 10, 2 * wide + between, high)
        pen.box(sheet, fill=1.0, weight=FIRM)
        inner = sheet.x0 + wide, sheet.x1 - wide
        pen.box(Box(inner[0], sheet.y0, inner[1], sheet.y1), fill=0.9, weight=None)
        pen.box(sheet, weight=FIRM)
        for at in inner:
            pen.line((at, sheet.y0 - 3), (at, sheet.y1 + 3), 0.35, dash=(2.2, 1.1))
        for page, start in ((left, sheet.x0), (right, inner[1])):
            panel = Box(start, sheet.y0, start + wide, sheet.y1)
            pen.text_in_middle(panel.centre, str(page), 14, font=SANS_BOLD)
            head_bar(pen, panel)
        level = sheet.y0 - 6
        dimension(pen, (inner[0], level), (inner[1], level), "")
        # Beside it: most spines are narrower than the words.
        pen.text((inner[1] + 3, level - 1), f"spine {show(spine)} mm", NAMES)

    return Block(high + 26, draw)
