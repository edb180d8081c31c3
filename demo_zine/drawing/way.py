"""Page 5: a map of the walk."""

from __future__ import annotations

from drawing.hand import Dice, Point, blob, box, curve, cut, ellipse, even, hatching, line_of, wobble
from drawing.letters import cut_word, hand, hand_width
from drawing.moths import EMPEROR, flight, moth
from drawing.plates import Page
from drawing.setting import folio
from drawing.street import tree


def the_way(page: Page) -> None:
    """Page 5: a map of the walk."""
    dice = Dice(505)
    for letter in cut_word("THE WALK", 12, 172, 116, 17, dice):
        page.black.shape(letter)
    _blocks(page, dice)
    _water(page, dice)
    _park(page, dice)
    _route(page, dice)
    _names(page)
    _compass(page, 115, 36, dice)
    folio(page.black, 5)


_BLOCKS: tuple[list[Point], ...] = (
    [(12, 140), (36, 142), (35, 164), (12, 164)],
    [(44, 142.5), (80, 146), (79, 164), (43, 164)],
    [(88, 147), (128, 150), (128, 164), (87, 164)],
    [(12, 104), (38, 106), (37, 132), (12, 130)],
    [(46, 107), (66, 109), (64, 134), (45, 133)],
    [(98, 112), (128, 114), (128, 141), (96, 138)],
    [(12, 52), (34, 54), (33, 78), (12, 76)],
    [(42, 55), (74, 58), (72, 80), (41, 78)],
    [(12, 22), (36, 22), (35, 44), (12, 43)],
    [(44, 22), (62, 22), (61, 47), (43, 45)],
    [(70, 22), (96, 22), (95, 49), (69, 48)],
    [(104, 62), (128, 64), (128, 82), (102, 82)],
)


def _blocks(page: Page, dice: Dice) -> None:
    for k, corners in enumerate(_BLOCKS):
        block = cut(corners, dice, 0.5)
        page.black.strokes(hatching([block], (1.25, 0.95, 1.6)[k % 3], (45, 135, 60)[k % 3], dice, 0.6), 0.26)
        page.black.stroke(wobble(line_of([*block, block[0]]), dice, 0.12), even(0.5))
        (x0, y0), (x1, y1) = block[0], block[2]
        yard = cut(
            box(x0 + (x1 - x0) * 0.35, y0 + (y1 - y0) * 0.36, x0 + (x1 - x0) * 0.66, y0 + (y1 - y0) * 0.66), dice, 0.6
        )
        page.black.shape(yard, 0.0)
        page.black.stroke([*yard, yard[0]], even(0.34))


def _water(page: Page, dice: Dice) -> None:
    upper = curve([(8, 99), (36, 98), (70, 100), (100, 104), (133, 104)], 10)
    lower = curve([(8, 83), (36, 85), (70, 87), (100, 89), (133, 90)], 10)
    for bank in (upper, lower):
        page.black.stroke(wobble(line_of(bank), dice, 0.15), even(0.6))
    for row in range(5):
        share = (row + 0.7) / 5.4
        x = 10 + dice.between(0, 6)
        while x < 122:
            middle = 84 + (x - 8) * 0.05 + share * 14
            wave = [(x, middle), (x + 1.6, middle + 0.8), (x + 3.2, middle), (x + 4.8, middle + 0.8), (x + 6.4, middle)]
            if abs(x - 87) > 12 and not 22 < x + 3 < 66:
                page.black.stroke(curve(wave, 5), 0.34)
            x += dice.between(9, 15)
    bridge = cut([(82, 84), (92, 85), (90, 107), (80, 106)], dice, 0.3)
    page.black.shape(bridge, 0.0)
    page.black.stroke([bridge[0], bridge[3]], even(0.8))
    page.black.stroke([bridge[1], bridge[2]], even(0.8))
    for k in range(8):
        y = 86.5 + 2.4 * k
        page.black.stroke([(82.6 - 0.09 * (y - 84), y), (91.4 - 0.09 * (y - 84), y + 0.4)], even(0.3))


def _park(page: Page, dice: Dice) -> None:
    for x, y in ((76, 117), (80, 136), (88, 137), (87, 117)):
        tree(page, x, y - 4, 10, dice)
    edge = curve([(72, 111), (92, 112), (91, 143), (70, 141)], 8, closed=True)
    page.black.stroke([*edge, edge[0]], even(0.34))


def _route(page: Page, dice: Dice) -> None:
    way: list[Point] = [
        (66, 18.5),
        (65.5, 50),
        (78, 53.5),
        (98, 56),
        (98, 70),
        (88, 84),
        (85, 104),
        (68, 106),
        (69, 143),
        (40, 138.5),
        (41, 103),
        (22, 101.5),
    ]
    path = line_of(way, 2)
    page.gold.stroke(path, even(2.4), 0.75)
    flight(page, _straight(way), dash=2.2, width=0.6)
    lights = [(66, 36), (88, 55), (98, 66), (86, 94), (76, 105.5), (68.6, 127), (56, 141), (40.5, 122), (24, 101.6)]
    for k, (x, y) in enumerate(lights):
        page.gold.shape(blob(x, y, 5.4, dice, 0.05, 12), 0.4)
        page.gold.shape(blob(x, y, 3.3, dice, 0.05, 12), 0.9)
        page.black.shape(ellipse(x, y, 2.5), 0.0)
        page.black.stroke([*ellipse(x, y, 2.5), (x + 2.5, y)], even(0.42))
        hand(page.black, x, y - 1.25, str(k + 1), 2.6, dice, pen=0.42, align=0.5)


def _straight(way: list[Point]) -> list[Point]:
    return line_of(way, 6)


def _names(page: Page) -> None:
    dice = Dice(9)
    labels = [
        (27, 91, "THE SLOW WATER"), (36, 49.6, "TALLOW ROW"), (100, 106.8, "LOW BRIDGE"), (47, 147.4, "QUINCE LANE"),
        (75, 124.4, "GREEN"), (100, 51.4, "KILN STREET"), (49, 18, "START"), (13, 107.4, "SUGAR TREE"),
    ]  # fmt: skip
    for x, y, words in labels:
        page.black.shape(box(x - 1.2, y - 1.2, x + hand_width(words, 2.5) + 1.2, y + 3.7), 0.0)
        hand(page.black, x, y, words, 2.5, dice, pen=0.4)
    for y, words in ((21.6, "NINE LAMPS,"), (17.4, "ONE BRIDGE")):
        hand(page.black, 115, y, words, 2.5, dice, pen=0.4, align=0.5)


def _compass(page: Page, x: float, y: float, dice: Dice) -> None:
    page.gold.shape(blob(x, y, 9.4, dice, 0.04, 14), 0.3)
    moth(page, x, y, 17, dice, EMPEROR)
    hand(page.black, x, y + 7.4, "N", 3, dice, align=0.5)
