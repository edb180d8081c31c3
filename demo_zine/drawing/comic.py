"""Pages 12 and 13: a strip in six panels, and its last panel."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from drawing.hand import Dice, Point, Ring, blob, box, curve, cut, ellipse, even, hatching, line_of, wobble
from drawing.letters import cut_word, hand, hand_width
from drawing.moths import CLERK, EMBER, EMPEROR, flight, flutter, moth
from drawing.plates import Page
from drawing.setting import folio
from drawing.street import grass, lamp, walker

WIDE, HIGH = 56.5, 47.5


def last_bus(page: Page) -> None:
    """Page 12: six panels."""
    dice = Dice(1212)
    for letter in cut_word("LAST BUS", 12, 172, 116, 17, dice):
        page.black.shape(letter)
    panels: Sequence[Callable[[Page, float, float, Dice], None]] = (_stop, _board, _ask, _lights, _beam, _gone)
    for k, picture in enumerate(panels):
        x, y = 11.5 + (k % 2) * (WIDE + 4), 166 - HIGH - (k // 2) * (HIGH + 4)
        picture(page, x, y, dice)
        frame = cut(box(x, y, x + WIDE, y + HIGH), dice, 0.3)
        page.black.stroke(wobble(line_of([*frame, frame[0]]), dice, 0.08), even(0.75))
    folio(page.black, 12)


def _caption(page: Page, x: float, y: float, words: str, dice: Dice, height: float = 2.7) -> None:
    """Write in a cut label; (x, y) its lower left corner."""
    label = cut(box(x, y, x + hand_width(words, height) + 5, y + height + 3.6), dice, 0.2)
    for plate in (page.black, page.gold):
        plate.shape(label, 0.0)
    page.black.stroke([*label, label[0]], even(0.4))
    hand(page.black, x + 2.4, y + 1.8, words, height, dice, pen=0.42)


def _dark(page: Page, ring: Ring, dice: Dice, gap: float = 1.15) -> None:
    page.black.strokes(hatching([ring], gap, 32, dice, 0.5), 0.3)


def _stop(page: Page, x: float, y: float, dice: Dice) -> None:
    cone = cut([(x + 12.4, y + 29), (x + 15, y + 29), (x + 31, y + 6), (x + 1.5, y + 6)], dice, 0.3)
    page.gold.shape(blob(x + 13.8, y + 29, 8.2, dice, 0.05, 11), 0.25)
    page.gold.shape(cone, 0.35)
    _dark(page, [(x + 26, y + 22), (x + WIDE, y + 22), (x + WIDE, y + HIGH), (x + 20, y + HIGH)], dice, 1.5)
    page.black.stroke(wobble(line_of([(x, y + 6), (x + WIDE, y + 6)]), dice, 0.1), even(0.5))
    lamp(page, x + 9.4, y + 6, 29, dice)
    page.black.stroke([(x + 43, y + 6), (x + 43, y + 30)], even(0.9))
    flag = cut(box(x + 38.4, y + 26, x + 47.6, y + 34), dice, 0.2)
    page.black.shape(flag, 0.0)
    page.black.stroke([*flag, flag[0]], even(0.5))
    hand(page.black, x + 43, y + 28.4, "BUS", 2.8, dice, pen=0.5, align=0.5)
    walker(page, x + 30, y + 5, 20, dice, lantern=False)
    flutter(page, x + 20, y + 28, 5, dice, 30)
    _caption(page, x + 7, y + 38.6, "FOUR PAST TWELVE", dice)


def _board(page: Page, x: float, y: float, dice: Dice) -> None:
    _dark(page, box(x, y, x + WIDE, y + HIGH), dice, 1.3)
    sheet = cut(box(x + 8, y + 5, x + 49, y + 43), dice, 0.3)
    page.black.shape(sheet, 0.0)
    page.gold.shape(sheet, 0.22)
    page.black.stroke([*sheet, sheet[0]], even(0.6))
    hand(page.black, x + 28.5, y + 36.6, "NIGHT SERVICE", 3, dice, pen=0.5, align=0.5)
    for row in range(6):
        for part in range(4):
            left, level = x + 12 + 9 * part, y + 31.4 - 4.2 * row
            page.black.stroke(wobble(line_of([(left, level), (left + 6, level)]), dice, 0.1), even(0.6))
    moth(page, x + 33, y + 18.5, 27, dice, CLERK, turn=22)
    _caption(page, x + 6, y + 2.4, "SOMEBODY READS IT", dice)


def _ask(page: Page, x: float, y: float, dice: Dice) -> None:
    face = curve(
        [
            (x + 12, y + 6),
            (x + 9, y + 16),
            (x + 11, y + 25),
            (x + 19, y + 28),
            (x + 26, y + 25),
            (x + 26.4, y + 19.5),
            (x + 29.4, y + 15.8),
            (x + 26.4, y + 14.6),
            (x + 26, y + 9.4),
            (x + 21, y + 6),
        ],
        6,
        closed=True,
    )
    page.gold.shape(face, 0.22)
    coat: list[Point] = [
        (x + 0.6, y + 0.6),
        (x + 6, y + 7),
        (x + 13, y + 9),
        (x + 21, y + 7.4),
        (x + 31, y + 4.6),
        (x + 33, y + 0.6),
    ]
    page.black.shape(face, 0.0)
    page.black.stroke([*face, face[0]], even(0.6))
    page.black.shape(cut(coat, dice, 0.2))
    hat = [
        (x + 3, y + 24.4),
        (x + 33, y + 22.8),
        (x + 33.2, y + 24.8),
        (x + 26.4, y + 26),
        (x + 25, y + 38),
        (x + 11, y + 38.6),
        (x + 9.6, y + 26.6),
        (x + 3, y + 26.6),
    ]
    page.black.shape(cut(hat, dice, 0.25))
    page.black.stroke([(x + 10.2, y + 28.6), (x + 25.8, y + 27.8)], even(0.8), 0.0)
    page.black.shape(ellipse(x + 23, y + 19.4, 0.9, 1.2))
    page.black.stroke(curve([(x + 20.6, y + 21.6), (x + 22.8, y + 22.6), (x + 25, y + 21.8)], 4), 0.5)
    page.black.stroke(curve([(x + 26, y + 11.8), (x + 24, y + 11), (x + 22.6, y + 11.6)], 4), 0.5)
    page.black.strokes(
        hatching([[(x + 11, y + 8), (x + 10.6, y + 22), (x + 15, y + 24), (x + 15, y + 8)]], 0.8, 60, dice), 0.28
    )
    moth(page, x + 44, y + 14, 17, dice, CLERK, turn=30)
    bubble = cut([(x + 29, y + 33), (x + 55, y + 32.4), (x + 55, y + 45), (x + 29, y + 45.4)], dice, 0.3)
    tail: Ring = [(x + 33, y + 33), (x + 30, y + 28), (x + 37, y + 33)]
    page.black.shape(bubble, 0.0)
    page.black.stroke([*bubble, bubble[0]], even(0.45))
    page.black.shape(tail, 0.0)
    page.black.stroke([tail[0], tail[1], tail[2]], even(0.45))
    hand(page.black, x + 42, y + 40.2, "WAITING", 2.7, dice, pen=0.42, align=0.5)
    hand(page.black, x + 42, y + 35.4, "TOO?", 2.7, dice, pen=0.42, align=0.5)


def _lights(page: Page, x: float, y: float, dice: Dice) -> None:
    _dark(page, box(x + 0.5, y + 0.5, x + WIDE - 0.5, y + HIGH - 0.5), dice, 0.95)
    for lx in (x + 17, x + 39):
        for radius, tone in ((12.5, 0.25), (9, 0.5), (5.4, 0.9)):
            page.gold.shape(blob(lx, y + 20, radius, dice, 0.04, 14), tone)
        page.black.shape(blob(lx, y + 20, 10.6, dice, 0.05, 14), 0.0)
        page.black.stroke([*ellipse(lx, y + 20, 5.2), (lx + 5.2, y + 20)], even(0.7))
        page.black.stroke([*ellipse(lx, y + 20, 3.2), (lx + 3.2, y + 20)], even(0.4))
    sign = cut(box(x + 17, y + 34, x + 39, y + 41.6), dice, 0.2)
    page.black.shape(sign, 0.0)
    page.gold.shape(sign, 0.7)
    page.black.stroke([*sign, sign[0]], even(0.6))
    hand(page.black, x + 28, y + 36.2, "MOON", 3.4, dice, pen=0.6, align=0.5)
    _caption(page, x + 17.6, y + 2.4, "OH GOOD", dice)


def _beam(page: Page, x: float, y: float, dice: Dice) -> None:
    beam = cut([(x + WIDE - 0.6, y + 34), (x + WIDE - 0.6, y + 22), (x + 0.8, y + 3), (x + 0.8, y + 44)], dice, 0.3)
    page.gold.shape(beam, 0.4)
    _dark(
        page,
        [(x + 1, y + 45), (x + WIDE - 1, y + 35), (x + WIDE - 1, y + HIGH - 0.6), (x + 1, y + HIGH - 0.6)],
        dice,
        0.9,
    )
    _dark(page, [(x + 1, y + 0.6), (x + WIDE - 1, y + 0.6), (x + WIDE - 1, y + 21), (x + 1, y + 2)], dice, 0.9)
    lens = [
        (x + WIDE - 0.6, y + 21.5),
        *curve([(x + WIDE - 2.4, y + 22), (x + WIDE - 5.6, y + 28), (x + WIDE - 2.4, y + 34)], 6),
        (x + WIDE - 0.6, y + 34.5),
    ]
    page.gold.shape(lens, 0.95)
    page.black.shape(lens, 0.0)
    page.black.stroke(lens, even(0.6))
    moth(page, x + 22, y + 24, 33, dice, EMBER, turn=-84)
    flight(page, [(x + 2, y + 14), (x + 8, y + 20), (x + 13, y + 23)], width=0.5)
    for level in (12, 36, 40):
        page.black.stroke(wobble(line_of([(x + 5, y + level), (x + 13, y + level - 0.4)]), dice, 0.1), 0.45)


def _gone(page: Page, x: float, y: float, dice: Dice) -> None:
    hill = curve([(x, y + 10), (x + 18, y + 17), (x + 36, y + 25), (x + WIDE, y + 28)], 8)
    page.black.stroke(wobble(hill, dice, 0.1), even(0.6))
    page.black.strokes(hatching([[*hill, (x + WIDE, y + 0.6), (x, y + 0.6)]], 2.2, 22, dice, 1.2), 0.3)
    bus = cut([(x + 34, y + 25.4), (x + 46, y + 27), (x + 45, y + 35.6), (x + 33, y + 34)], dice, 0.2)
    page.black.shape(bus, 0.0)
    page.gold.shape(bus, 0.45)
    page.black.stroke([*bus, bus[0]], even(0.6))
    for k in range(3):
        pane = box(x + 35 + 3.4 * k, y + 30 + 0.4 * k, x + 37.4 + 3.4 * k, y + 33 + 0.4 * k)
        page.gold.shape(pane, 0.95)
        page.black.stroke([*pane, pane[0]], even(0.32))
    for wheel in ((x + 37, y + 25.6), (x + 43.4, y + 26.4)):
        page.black.shape(ellipse(*wheel, 1.5))
    beam = [(x + 46, y + 30), (x + WIDE - 0.6, y + 35), (x + WIDE - 0.6, y + 27.6)]
    page.gold.shape(beam, 0.5)
    walker(page, x + 10, y + 10.6, 17, dice, lantern=False)
    for k in range(4):
        page.black.stroke(
            curve(
                [
                    (x + 29 - 3.4 * k, y + 27 - 1.2 * k),
                    (x + 27.6 - 3.4 * k, y + 28.6 - 1.2 * k),
                    (x + 26.4 - 3.4 * k, y + 27 - 1.2 * k),
                ],
                4,
            ),
            0.4,
        )
    _caption(page, x + 3, y + 38.4, "HEY, I AM NOT ON IT", dice)


def a_ticket(page: Page) -> None:
    """Page 13: the back of the bus, and who is on it."""
    dice = Dice(1313)
    frame = box(11.5, 15, 128.5, 189)
    _sky(page, frame, dice)
    _road(page, dice)
    _bus(page, dice)
    walker(page, 22, 24, 26, dice, lantern=False)
    lamp(page, 119, 50, 84, dice, side=-1)
    edge = cut(frame, dice, 0.3)
    page.black.stroke(wobble(line_of([*edge, edge[0]]), dice, 0.1), even(0.85))
    _caption(page, 17, 178.4, "ONE OF US HAD A TICKET.", dice, 3.6)
    folio(page.black, 13)


def _sky(page: Page, frame: Ring, dice: Dice) -> None:
    (x0, _), (x1, y1) = frame[0], frame[2]
    page.gold.shape(blob(107, 126, 17, dice, 0.04, 15), 0.25)
    page.gold.shape(blob(107, 126, 10, dice, 0.04, 13), 0.6)
    night = box(x0 + 0.5, 62, x1 - 0.5, y1 - 0.5)
    page.black.strokes(hatching([night], 1.5, 32, dice, 0.6), 0.3)
    page.black.strokes(hatching([box(x0 + 0.5, 128, x1 - 0.5, y1 - 0.5)], 1.7, 118, dice, 0.8), 0.28)
    page.black.shape(blob(107, 126, 13, dice, 0.06, 14), 0.0)
    hills = [(x0 + 0.5, 62), *curve([(x0 + 0.5, 72), (34, 80), (60, 74), (96, 82), (x1 - 0.5, 74)], 8), (x1 - 0.5, 62)]
    page.black.shape(hills, 0.0)
    page.black.strokes(hatching([hills], 0.8, 8, dice), 0.26)
    page.black.stroke(wobble(hills[1:-1], dice, 0.15), even(0.5))


def _road(page: Page, dice: Dice) -> None:
    road: Ring = [(12, 15.5), (128, 15.5), (128, 50), (104, 62), (36, 62), (12, 50)]
    page.black.shape(road, 0.0)
    page.gold.shape(cut([(40, 50), (100, 50), (118, 22), (22, 22)], dice, 0.6), 0.2)
    for a, b in (((36, 62), (12, 50)), ((104, 62), (128, 50))):
        page.black.stroke(wobble(line_of([a, b]), dice, 0.1), even(0.6))
    for k in range(3):
        y, half = 18 + 8 * k, 2.6 - 0.5 * k
        page.black.stroke([(70, y), (70, y + 4.4)], even(half * 0.6))
    for _ in range(44):
        x, y = dice.between(16, 118), dice.between(17, 44)
        page.black.stroke([(x, y), (x + dice.between(2, 6), y)], 0.3)
    grass(page, 13, 32, 50, dice, 2.6)


def _bus(page: Page, dice: Dice) -> None:
    for wheel in (44, 96):
        page.black.shape(cut(box(wheel - 6, 36, wheel + 6, 52), dice, 0.4))
    body = cut([(34, 45), (106, 45), (107, 120), (101, 140), (39, 140), (33, 120)], dice, 0.5)
    page.black.shape(body, 0.0)
    page.gold.shape(body, 0.42)
    page.black.stroke(wobble(line_of([*body, body[0]]), dice, 0.12), even(1.1))
    page.black.strokes(hatching([[(96, 46), (105.4, 46), (106.4, 119), (97, 119)]], 0.95, 62, dice), 0.32)
    page.black.strokes(hatching([box(35, 46, 105, 54)], 0.85, 88, dice), 0.32)
    sign = cut(box(46, 126, 94, 137), dice, 0.3)
    page.black.shape(sign, 0.0)
    page.gold.shape(sign, 0.85)
    page.black.stroke([*sign, sign[0]], even(0.6))
    hand(page.black, 70, 129, "MOON", 5.4, dice, pen=0.95, align=0.5)
    window = cut(box(41, 82, 99, 121), dice, 0.4)
    page.black.shape(window, 0.0)
    page.gold.shape(window, 0.78)
    page.black.stroke([*window, window[0]], even(1.0))
    seat = cut([(48, 83), (92, 83), (90, 92), (50, 92)], dice, 0.3)
    page.black.strokes(hatching([seat], 0.7, 60, dice), 0.36)
    page.black.stroke([seat[3], seat[2]], even(0.6))
    moth(page, 70, 104, 44, dice, EMPEROR)
    for x in (42, 98):
        for y in (62, 71):
            light = ellipse(x, y, 3.2)
            page.black.shape(light, 0.0)
            page.gold.shape(light, 0.95)
            page.black.stroke([*light, light[0]], even(0.6))
    plate = cut(box(57, 57, 83, 66), dice, 0.25)
    page.black.shape(plate, 0.0)
    page.gold.shape(plate, 0.0)
    page.black.stroke([*plate, plate[0]], even(0.6))
    hand(page.black, 70, 59.7, "TAP 333", 3.3, dice, pen=0.55, align=0.5)
    page.black.stroke(wobble(line_of([(35, 76), (105, 76)]), dice, 0.1), even(0.6))
