"""The mini zine: eight small pages on how to wait for a moth. Page space as everywhere, but 74.25 × 105 mm."""

from __future__ import annotations

import math

from drawing.hand import Dice, box, curve, cut, ellipse, even, line_of, wobble
from drawing.letters import cut_word, hand
from drawing.moths import CLERK, EMBER, EMPEROR, FOOTMAN, GHOST, MARQUESS, flight, flutter, moth
from drawing.plates import Page
from drawing.setting import column
from drawing.street import cat, glow, grass, lamp, walker

#: A quarter of the width and half the height of A4 lying.
MINI = (74.25, 105.0)
_LEFT, _RIGHT, _MIDDLE = 8.0, 66.25, 37.125


def front(page: Page) -> None:
    dice = Dice(801)
    for word, y, height in (("HOW", 78, 14), ("TO", 62, 12)):
        wide = 34.0 if word == "HOW" else 20.0
        for letter in cut_word(word, _LEFT + 1, y, wide, height, dice):
            page.black.shape(letter)
    glow(page, 52, 66, 11, dice, gold=(0.16, 0.34, 0.55), night=(0, 0, 0))
    moth(page, 52, 66, 22, dice, EMPEROR, turn=-18)
    hand(page.black, _MIDDLE, 42, "WAIT FOR", 5.4, dice, align=0.5)
    hand(page.black, _MIDDLE, 32, "A MOTH", 7.2, dice, align=0.5)
    flight(page, [(10, 16), (24, 24), (36, 13), (52, 19), (65, 32), (66, 48), (59, 57)])


def find_a_lamp(page: Page) -> None:
    dice = Dice(802)
    _step(page, 1, "FIND A LAMP", dice)
    x, y = lamp(page, 26, 16, 66, dice, side=1)
    glow(page, x, y, 10, dice, gold=(0.16, 0.34, 0.6), night=(0, 0, 0))
    lamp(page, 26, 16, 66, dice, side=1)
    _ground(page, dice)
    column(page.black, 46, 52, 20, ["Not the brightest. The one nobody walks past."], size=7.4, leading=4.0)


def stand_still(page: Page) -> None:
    dice = Dice(803)
    _step(page, 2, "STAND STILL", dice)
    walker(page, 30, 16, 44, dice, face=1, lantern=False)
    cat(page, 54, 16, 15, dice, face=-1)
    _ground(page, dice)
    column(page.black, 42, 66, 24, ["Cats are good at it. Watch one first."], size=7.4, leading=4.0)


def bring_sugar(page: Page) -> None:
    dice = Dice(804)
    _step(page, 3, "BRING SUGAR", dice)
    jar = curve([(24, 20), (22, 26), (22, 46), (26, 51), (26, 56), (48, 56), (48, 51), (52, 46), (52, 26), (50, 20)], 6)
    page.gold.shape(cut(curve([(23, 22), (23, 40), (37, 41.5), (51, 40), (51, 22), (37, 20.4)], 6), dice, 0.2), 0.45)
    page.black.stroke(wobble([*jar, jar[0]], dice, 0.12), even(0.6))
    page.black.stroke(line_of([(25, 60), (49, 60)]), even(1.2))
    slip = cut(box(29, 27, 45, 36), dice, 0.3)
    page.gold.shape(slip, 0.0)
    page.black.stroke([*slip, slip[0]], even(0.4))
    hand(page.black, 37, 30, "SUGAR", 3.0, dice, align=0.5)
    moth(page, 56, 64, 15, dice, EMBER, turn=40)
    _ground(page, dice)


def count_slowly(page: Page) -> None:
    dice = Dice(805)
    _step(page, 4, "COUNT SLOWLY", dice)
    glow(page, _MIDDLE, 48, 13, dice, gold=(0.14, 0.3, 0.55), night=(0, 0, 0))
    for k in range(9):
        a = math.radians(40 * k + 12)
        reach = 21 + dice.around(2)
        flutter(page, _MIDDLE + reach * math.cos(a), 48 + reach * math.sin(a), 8, dice, turn=dice.around(60))
    page.black.stroke([*ellipse(_MIDDLE, 48, 3), (_MIDDLE + 3, 48)], even(0.4))
    hand(page.black, _MIDDLE, 12, "NINE. OR ONE NINE TIMES", 2.9, dice, align=0.5)


def say_its_name(page: Page) -> None:
    dice = Dice(806)
    _step(page, 5, "SAY ITS NAME", dice)
    named = ((GHOST, "GHOST"), (CLERK, "CLERK"), (FOOTMAN, "FOOTMAN"), (MARQUESS, "MARQUESS"))
    for k, (kind, name) in enumerate(named):
        y = 71 - 18 * k
        x = 22 if k % 2 == 0 else 52
        moth(page, x, y, 17, dice, kind, turn=dice.around(12))
        hand(page.black, 74.25 - x, y - 1, name, 3.2, dice, align=0.5)


def let_it_go(page: Page) -> None:
    dice = Dice(807)
    _step(page, 6, "LET IT GO", dice)
    flight(page, [(12, 18), (30, 30), (18, 44), (40, 52), (30, 64), (58, 74)], width=0.5)
    flutter(page, 58, 74, 13, dice, turn=-35)
    page.gold.shape(ellipse(52, 30, 7), 0.35)
    page.black.stroke(wobble([*ellipse(52, 30, 7), (59, 30)], dice, 0.1), even(0.4))
    _ground(page, dice)


def back(page: Page) -> None:
    dice = Dice(808)
    moth(page, _MIDDLE, 76, 20, dice, CLERK)
    words = [
        "A pocket guide to go with Moth Hours. One sheet, printed on one side, slit once and folded; no staple.",
        "Unfold it to see how it was made, and fold it up again before it gets dark.",
    ]
    column(page.black, _LEFT + 2, 54, 54, words, size=7.4, leading=4.0)
    hand(page.black, _MIDDLE, 16, "GIVE IT AWAY", 3.4, dice, align=0.5)


PAGES = (front, find_a_lamp, stand_still, bring_sugar, count_slowly, say_its_name, let_it_go, back)


def _step(page: Page, number: int, words: str, dice: Dice) -> None:
    page.gold.shape(cut(ellipse(13, 90, 5.4, sides=12), dice, 0.3), 0.5)
    hand(page.black, 13, 87.6, str(number), 5.0, dice, align=0.5)
    hand(page.black, 21, 88.2, words, 3.7, dice)


def _ground(page: Page, dice: Dice) -> None:
    page.black.stroke(wobble(line_of([(_LEFT, 16), (_RIGHT, 16)]), dice, 0.12), even(0.5))
    grass(page, _LEFT + 1, _LEFT + 12, 16, dice, 1.8)
