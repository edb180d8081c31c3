"""Pages 7 to 9: a poem that goes round a lamp, and the spread in the middle of the zine."""

from __future__ import annotations

import math

from drawing.hand import Dice, Point, Ring, blob, box, curve, cut, ellipse, even, hatching, line_of, wobble
from drawing.letters import hand, hand_along
from drawing.moths import EMPEROR, GHOST, Moth, flight, flutter, moth
from drawing.plates import Page
from drawing.setting import folio
from drawing.street import cat, glow, grass, house, lamp, stars, tree, walker


def round_and_round(page: Page) -> None:
    """Page 7: the words fly in to the lamp."""
    dice = Dice(70)
    x, y = 70.0, 124.0
    for radius, tone in ((61, 0.12), (46, 0.2), (32, 0.36), (19, 0.65)):
        page.gold.shape(blob(x, y, radius, dice, 0.025, 19), tone)
    words = (
        "ROUND THE LAMP AND ROUND THE LAMP AND ROUND, SAID THE MOTH, IS NOT LOST: IT IS THE LONG WAY IN. "
        "THE MOON WAS FAR AND NEVER MINDED ME. THIS ONE IS NEAR, AND HUMS, AND KNOWS MY NAME, "
        "WHICH IS TAP, TAP, TAP."
    )
    path: list[Point] = []
    turns, outer, inner = 4.0, 59.0, 17.5
    for k in range(1200):
        t = k / 1199
        a = math.radians(196) - t * turns * 2 * math.pi
        r = outer + (inner - outer) * t
        path.append((x + r * math.cos(a), y + r * math.sin(a)))
    hand_along(page.black, path, words, 5.0, dice, pen=0.75)
    glass = ellipse(x, y, 8.6, 9.4)
    page.black.shape(glass, 0.0)
    page.gold.shape(glass, 0.95)
    page.black.stroke([*glass, glass[0]], even(0.8))
    page.black.shape(cut(box(x - 3.4, y + 8.6, x + 3.4, y + 13), dice, 0.2))
    filament = [(x - 3, y + 1), (x - 1.6, y - 2.2), (x, y + 1.4), (x + 1.6, y - 2.2), (x + 3, y + 1)]
    page.black.stroke(curve(filament, 6), even(0.5))
    moth(page, 40, 38, 46, dice, GHOST, turn=-38)
    flutter(page, 106, 40, 14, dice, 40)
    flutter(page, 92, 52, 9, dice, 20)
    flight(page, [(111, 45), (118, 51), (124, 60), (127, 72)], width=0.4)
    folio(page.black, 7)


GIANT = Moth(
    [
        (0.04, 0.2),
        (0.3, 0.36),
        (0.66, 0.48),
        (0.96, 0.5),
        (1.0, 0.38),
        (0.93, 0.18),
        (0.8, 0.0),
        (0.46, -0.1),
        (0.06, 0.0),
    ],
    [
        (0.05, 0.04),
        (0.34, 0.0),
        (0.62, -0.06),
        (0.72, -0.22),
        (0.62, -0.42),
        (0.42, -0.52),
        (0.22, -0.48),
        (0.07, -0.2),
    ],
    gold=(0.62, 0.4),
    bands=(0.83, 0.62, 0.34),
    eyes=((0.64, 0.23, 0.085), (0.42, -0.24, 0.085)),
    hatch=0.03,
)

Row = tuple[float, float, float, str, tuple[int, ...], int, int]


def over_the_roofs(page: Page) -> None:
    """Pages 8 and 9: one drawing across the fold. x runs from -140 through the fold at 0 to 140."""
    dice = Dice(8009)
    sky: Ring = cut(
        [
            (-134.4, 21.5),
            (-134, 120),
            (-134.3, 194),
            (-60, 194.4),
            (20, 193.8),
            (134, 194.3),
            (134.4, 110),
            (134, 21.5),
        ],
        dice,
        0.3,
    )
    page.blue.shape(sky, 0.58)
    glow(page, 0, 133, 58, dice, gold=(0.0, 0.1, 0.22), night=(0.46, 0.34, 0.2))
    stars(
        page,
        [
            (-122, 184),
            (-96, 190),
            (-128, 150),
            (-116, 112),
            (-60, 186),
            (62, 187),
            (96, 182),
            (126, 186),
            (124, 148),
            (112, 116),
            (-104, 100),
            (128, 100),
        ],
        dice,
    )
    _hills(page, dice)
    lights = [(-104, 22, 56, 1), (-34, 22, 44, -1), (46, 22, 44, 1), (112, 22, 58, -1)]
    for x, y, height, side in lights:
        glow(page, x + side * height * 0.15, y + height * 0.86, 17, dice, gold=(0.3, 0.7), night=(0.2, 0.0))
    _houses(page, dice)
    for x, y, height, side in lights:
        lamp(page, x, y, height, dice, side)
    _pavement(page, dice)
    moth(page, 0, 126, 192, dice, GIANT)
    for x, y, span, turn in (
        (-112, 102, 12, 60),
        (-84, 88, 10, -20),
        (90, 96, 11, 40),
        (120, 100, 10, -35),
        (14, 72, 9, 10),
        (-20, 73, 8, -30),
    ):
        flutter(page, x, y, span, dice, turn)
    moth(page, 78, 84, 14, dice, EMPEROR, turn=50)
    _words(page)


def _hills(page: Page, dice: Dice) -> None:
    ridge = curve([(-134, 58), (-100, 70), (-60, 60), (-20, 68), (30, 58), (80, 70), (134, 60)], 8)
    land = [(-134, 26), *ridge, (134, 26)]
    page.blue.shape(land, 0.7)
    page.gold.shape(land, 0.0)
    page.black.stroke(wobble(ridge, dice, 0.2), even(0.4))
    page.black.strokes(hatching([[(-134, 40), *ridge, (134, 40)]], 3.4, 24, dice, 3), 0.28)


def _houses(page: Page, dice: Dice) -> None:
    rows: list[Row] = [
        (-133, 25, 30, "slope", (1, 4), 3, 2), (-96, 22, 36, "gable", (3,), 3, 2), (-74, 28, 27, "step", (0, 5), 2, 3),
        (-29, 22, 38, "gable", (2, 5), 3, 2), (-7, 16, 26, "slope", (1,), 2, 1), (9, 26, 33, "step", (4, 0), 3, 2),
        (52, 24, 30, "gable", (1, 2), 2, 2), (76, 20, 40, "slope", (5, 0, 2), 3, 2), (96, 14, 25, "flat", (1,), 2, 1),
        (115, 18, 32, "gable", (0, 3), 2, 2),
    ]  # fmt: skip
    for x, width, height, roof, lit, count, columns in rows:
        house(page, x, 22, width, height, dice, roof, lit, count, columns, night=0.3)
    tree(page, -110, 22, 24, dice, night=0.62)
    tree(page, 41, 22, 22, dice, night=0.62)


def _pavement(page: Page, dice: Dice) -> None:
    road = cut([(-134, 6), (134, 6), (134, 22), (-134, 22)], dice, 0.3)
    page.blue.shape(road, 0.16)
    page.gold.shape(road, 0.0)
    for x in (-96, -42, 54, 104):
        pool = cut([(x - 20, 14), (x + 20, 14), (x + 12, 21), (x - 12, 21)], dice, 0.4)
        page.light(pool, 0.55)
    page.black.stroke(wobble(line_of([(-134, 22), (134, 22)], 3), dice, 0.14), even(0.7))
    for _ in range(60):
        x, y = dice.between(-132, 128), dice.between(15.5, 20.5)
        page.black.stroke([(x, y), (x + dice.between(1.5, 4), y + dice.around(0.1))], 0.28)
    walker(page, -58, 18.5, 26, dice, face=1)
    cat(page, 70, 19.5, 10.5, dice)
    grass(page, -133, -118, 22, dice, 2.6)
    grass(page, 36, 46, 22, dice, 2.4)


def _words(page: Page) -> None:
    dice = Dice(89)
    hand(page.black, -70, 8, "EVERY LAMP IS", 5, dice, pen=0.85, align=0.5)
    hand(page.black, 70, 8, "SOMEBODY'S MOON.", 5, dice, pen=0.85, align=0.5)
