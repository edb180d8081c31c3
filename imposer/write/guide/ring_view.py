"""A slit sheet opened into a ring, drawn in four pictures: slit, fold in half, push together, lay flat."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box
from imposer.write.guide.blocks import SMALL, Block, line_height
from imposer.write.guide.booklet_view import head_bar
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen
from imposer.write.guide.words import wrap

#: Height of the pictures and the space from one to the next, mm.
_HIGH, _BETWEEN = 26.0, 4.0
_VALLEY = (1.6, 0.9)


def ring_pictures(texts: Sequence[str], cover: int, width: float) -> tuple[Block, ...]:
    """Return the four pictures in a row, each with its text; `cover` is the page in front at the end."""
    draws: tuple[Callable[[Pen, Box], None], ...] = (
        _draw_slit,
        _draw_half,
        _draw_cross,
        lambda pen, box: _draw_booklet(pen, box, cover),
    )
    room = (width + _BETWEEN) / len(draws) - _BETWEEN
    lines = [wrap(text, room - 1, SMALL) for text in texts]
    step = line_height(SMALL)
    below = max(map(len, lines)) * step

    def draw(pen: Pen, x: float, top: float) -> None:
        for i, (picture, told) in enumerate(zip(draws, lines, strict=True)):
            left = x + i * (room + _BETWEEN)
            picture(pen, Box(left + 5, top - 3 - _HIGH, left + room - 5, top - 3))
            pen.disc((left + 1.2, top - 4.5), 2.4, fill=1.0, weight=THIN)
            pen.text_in_middle((left + 1.2, top - 4.5), "abcd"[i], 7.5, font=SANS_BOLD)
            for n, line in enumerate(told):
                pen.text((left, top - 6 - _HIGH - step * (n + 0.76)), line, SMALL)

    return (Block(6 + _HIGH + below + 4, draw),)


def _draw_slit(pen: Pen, box: Box) -> None:
    """Draw the open sheet, four columns and two rows, slit over the middle two."""
    sheet = Box.around(*box.centre, box.width, min(box.height, box.width * 0.68))
    quarter, (_, middle) = sheet.width / 4, sheet.centre
    pen.box(sheet, fill=1.0, weight=FIRM)
    for i in (1, 2, 3):
        pen.line((sheet.x0 + i * quarter, sheet.y0), (sheet.x0 + i * quarter, sheet.y1), HAIR, dash=_VALLEY)
    pen.line((sheet.x0, middle), (sheet.x1, middle), HAIR, dash=_VALLEY)
    pen.line((sheet.x0 + quarter, middle), (sheet.x1 - quarter, middle), 1.1)


def _draw_half(pen: Pen, box: Box) -> None:
    """Draw the sheet folded in half, seen from its side: the slit at the top, opening a little."""
    half = Box.around(box.centre[0], box.centre[1] - 2, box.width - 4, min(box.height, box.width * 0.34))
    quarter, lift = half.width / 4, 2.4
    top = half.y1
    pen.shape(
        (
            (half.x0 + quarter, top),
            (half.x0 + 2 * quarter, top + lift),
            (half.x1 - quarter, top),
        ),
        fill=0.9,
        weight=THIN,
    )
    pen.box(half, fill=1.0, weight=FIRM)
    for i in (1, 2, 3):
        pen.line((half.x0 + i * quarter, half.y0), (half.x0 + i * quarter, top), HAIR, dash=_VALLEY)
    pen.line((half.x0 + quarter, top), (half.x1 - quarter, top), 1.1)
    y = half.centre[1]
    pen.arrow((half.x0 - 6, y), (half.x0 - 0.6, y), FIRM, 2.4)
    pen.arrow((half.x1 + 6, y), (half.x1 + 0.6, y), FIRM, 2.4)


def _draw_cross(pen: Pen, box: Box) -> None:
    """Draw the four wings from above: two leaves of paper each, round an empty middle."""
    x, y = box.centre
    reach, gap = min(box.width, box.height) / 2, 0.8
    for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        across = (-dy * gap, dx * gap)
        tip = x + dx * reach, y + dy * reach
        pen.shape(
            (
                (x + dx * gap + across[0], y + dy * gap + across[1]),
                (tip[0] + across[0] * 0.4, tip[1] + across[1] * 0.4),
                (tip[0] - across[0] * 0.4, tip[1] - across[1] * 0.4),
                (x + dx * gap - across[0], y + dy * gap - across[1]),
            ),
            weight=FIRM,
            closed=False,
        )
    pen.text((x + 2.5, y + reach - 2.5), "from above", 7.0, paint=0.3)


def _draw_booklet(pen: Pen, box: Box, cover: int) -> None:
    """Draw the finished booklet, its cover in front."""
    high = min(box.height, 24.0)
    page = Box.around(*box.centre, high * 0.7, high)
    for i in (3, 2, 1):
        pen.box(page.moved(0.7 * i, -0.7 * i), fill=1.0, weight=HAIR)
    pen.box(page, fill=1.0, weight=FIRM)
    pen.line((page.x0, page.y0), (page.x0, page.y1), 1.2)
    head_bar(pen, page)
    pen.text_in_middle(page.centre, str(cover), 14, font=SANS_BOLD)
