"""Pages 1 and 16: one drawing round the spine. x runs from -140 (back cover) through the fold at 0 to 140."""

from __future__ import annotations

from drawing.hand import Dice, Ring, box, cut, even, hatching, line_of, wobble
from drawing.letters import cut_word, hand
from drawing.moths import EMPEROR, flight, flutter, moth
from drawing.plates import Page
from drawing.street import cat, glow, grass, lamp, stars

NIGHT = 0.62
LAMP = (88.0, 84.0)


def cover(page: Page) -> None:
    dice = Dice(1109)
    _night(page, dice)
    glow(page, *LAMP, 42, dice, gold=(0.12, 0.26, 0.45, 0.7), night=(0.42, 0.22, 0.08, 0.0))
    glow(page, -88, 88, 34, dice, gold=(0.14, 0.34, 0.6), night=(0.42, 0.2, 0.0))
    _roofs(page, dice)
    _street(page, dice)
    _back(page, dice)
    lamp(page, 100, 22, 72, dice, side=-1)
    moth(page, 50, 70, 80, dice, EMPEROR, turn=-32)
    flight(page, [(-66, 88), (-48, 108), (-26, 100), (-6, 74), (12, 50), (28, 46), (40, 54)], width=0.5)
    for x, y, span, turn in ((13, 114, 11, -50), (119, 108, 12, 50), (112, 64, 13, 15), (-37, 107, 12, -70)):
        flutter(page, x, y, span, dice, turn)
    _title(page, dice)


def _night(page: Page, dice: Dice) -> None:
    edge = [
        (-134, 6),
        (-60, 5.6),
        (0, 6.2),
        (70, 5.5),
        (134.2, 6),
        (134.5, 60),
        (134, 130),
        (134.4, 194.4),
        (60, 194),
        (0, 194.6),
    ]
    sky = cut([*edge, (-70, 194), (-134.4, 194.3), (-134, 100)], dice, 0.3)
    page.blue.shape(sky, NIGHT)
    stars(
        page,
        [
            (-120, 180),
            (-112, 166),
            (-78, 184),
            (-58, 170),
            (-36, 186),
            (-18, 172),
            (-126, 142),
            (-14, 150),
            (128, 116),
            (64, 117),
        ],
        dice,
    )


def _roofs(page: Page, dice: Dice) -> None:
    """Draw the far row of roofs, a flat cut of darker night with chimneys and a few windows."""
    tops = [
        (-134, 44),
        (-122, 50),
        (-112, 42),
        (-98, 42),
        (-98, 52),
        (-84, 60),
        (-70, 52),
        (-70, 40),
        (-54, 40),
        (-46, 47),
    ]
    tops += [
        (-38, 40),
        (-20, 40),
        (-20, 50),
        (-8, 56),
        (4, 50),
        (4, 38),
        (22, 38),
        (30, 46),
        (38, 38),
        (56, 38),
        (56, 46),
    ]
    tops += [(64, 46), (64, 36), (84, 36), (104, 36), (112, 45), (122, 38), (134, 38)]
    row = cut([(-134, 22), *tops, (134, 22)], dice, 0.5)
    page.blue.shape(row, 0.78)
    page.gold.shape(row, 0.0)
    page.black.stroke(wobble(line_of(row[1:-1]), dice, 0.1), even(0.5))
    for x, y in ((-116, 48), (-90, 58), (-50, 46), (-14, 55), (26, 45), (60, 47), (116, 43)):
        stack = cut(box(x, y - 2.5, x + 2.4, y + 4), dice, 0.15)
        page.black.shape(stack)
    windows = [
        (-127, 34),
        (-92, 44),
        (-80, 34),
        (-44, 31),
        (-33, 31),
        (-12, 41),
        (12, 30),
        (44, 29),
        (92, 27),
        (110, 30),
        (124, 29),
    ]
    for k, (x, y) in enumerate(windows):
        pane = cut(box(x, y, x + 3.4, y + 5), dice, 0.2)
        if k % 3 != 1:
            page.light(pane, 0.95)
        page.black.stroke([*pane, pane[0]], even(0.4))
        page.black.stroke([(x + 1.7, y), (x + 1.7, y + 5)], even(0.3))
    for x, top in ((-76.5, 51), (-2, 49), (-26, 39), (16, 37), (78, 35), (-118, 42), (128, 37)):
        page.black.strokes(hatching([box(x, 23, x + 5.6, top)], 0.85, 62, dice), 0.26)


def _street(page: Page, dice: Dice) -> None:
    road = cut([(-134, 6), (134, 6), (134, 22), (-134, 22)], dice, 0.3)
    page.blue.shape(road, 0.35)
    page.gold.shape(road, 0.0)
    pool = cut([(26, 8), (112, 8), (96, 20.5), (48, 20.5)], dice, 0.5)
    page.light(pool, 0.55)
    far = cut([(-118, 8), (-62, 8), (-72, 20.5), (-104, 20.5)], dice, 0.5)
    page.light(far, 0.5)
    page.black.stroke(wobble(line_of([(-134, 22), (134, 22)], 3), dice, 0.14), even(0.7))
    page.black.stroke(wobble(line_of([(-134, 20), (134, 20)], 3), dice, 0.14), even(0.3))
    for x in range(-130, 134, 11):
        page.black.stroke([(x + dice.around(2), 20), (x + dice.around(1) - 1, 22)], even(0.3))
    for _ in range(90):
        x, y = dice.between(-132, 128), dice.between(7.5, 18.5)
        page.black.stroke([(x, y), (x + dice.between(1.5, 4.5), y + dice.around(0.15))], 0.3)


def _back(page: Page, dice: Dice) -> None:
    lamp(page, -97, 22, 74, dice, side=1)
    _bench(page, -72, 22, dice)
    cat(page, -64, 30.4, 10, dice)
    grass(page, -134, -104, 22, dice)
    grass(page, 112, 134, 22, dice)
    hand(page.black, -70, 156, "KEEP A LIGHT ON.", 5.2, Dice(77), align=0.5)
    hand(page.black, -70, 146, "WE ARE ALL GOING ROUND IT.", 3.6, Dice(78), align=0.5)


def _bench(page: Page, x: float, y: float, dice: Dice) -> None:
    for leg in (x + 2, x + 22):
        page.black.stroke([(leg, y), (leg, y + 14)], even(1.2))
        page.black.stroke([(leg - 0.4, y), (leg + 0.6, y + 7)], even(1.4))
    for level, deep in ((7.2, 1.5), (10.4, 1.1), (13, 1.1)):
        plank: Ring = cut(box(x - 1, y + level - deep / 2, x + 25, y + level + deep / 2), dice, 0.15)
        page.black.shape(plank)


def _title(page: Page, dice: Dice) -> None:
    words = [("MOTH", 15, 156.5, 110, 29.5), ("HOURS", 15, 125, 110, 26)]
    for word, x, y, width, height in words:
        for letter in cut_word(word, x, y, width, height, dice):
            page.light(letter, 0.78)
    label = cut([(11, 8.4), (91, 9.0), (90.4, 18), (11.4, 17.6)], dice, 0.2)
    page.blue.shape(label, 0.0)
    page.gold.shape(label, 0.0)
    page.black.shape(label, 0.0)
    page.black.stroke([*label, label[0]], even(0.4))
    hand(page.black, 51, 11.5, "A NIGHT WALK IN 16 PAGES", 3.3, Dice(5), align=0.5)
