"""Pages 2 and 3: the inside cover, and what a moth hour is."""

from __future__ import annotations

import math

from drawing.hand import Dice, blob, box, curve, cut, ellipse, even, line_of, wobble
from drawing.letters import cut_word, hand
from drawing.moths import CLERK, EMBER, EMPEROR, FOOTMAN, GHOST, MARQUESS, flutter, moth
from drawing.plates import Page
from drawing.setting import column, folio
from drawing.street import cat, glow, grass, lamp

KINDS = (EMPEROR, EMBER, GHOST, CLERK, FOOTMAN, MARQUESS)


def endpaper(page: Page) -> None:
    """Page 2: a lining paper of moths and lamp lights, with a slip for the reader's name."""
    dice = Dice(222)
    slip = cut(box(30, 89, 110, 113), dice, 0.5)
    page.black.stroke([*slip, slip[0]], even(0.45))
    hand(page.black, 70, 104, "THIS COPY LIES BESIDE", 3.4, Dice(1), align=0.5)
    page.black.stroke(wobble(line_of([(38, 95), (102, 95)]), dice, 0.1), even(0.4))
    for row in range(8):
        for column_ in range(6 if row % 2 else 5):
            x = 70 + (column_ - (2.5 if row % 2 else 2)) * 21.4 + dice.around(1.2)
            y = 21 + row * 22.6 + dice.around(1.2)
            if 30 < x < 110 and 84 < y < 116:
                continue
            if (row + column_) % 3 == 0:
                page.gold.shape(blob(x, y, 8.2, dice, 0.05, 11), 0.22)
                page.gold.shape(blob(x, y, 5.2, dice, 0.05, 11), 0.6)
                _bulb(page, x, y, dice)
            else:
                kind = KINDS[(row * 5 + column_ * 2) % 6]
                moth(page, x, y + 1, 17, dice, kind, turn=dice.around(35))


def _bulb(page: Page, x: float, y: float, dice: Dice) -> None:
    page.black.shape(ellipse(x, y - 0.6, 2.0, 2.3), 0.0)
    page.black.stroke(
        curve([(x - 0.9, y + 1.4), (x - 2, y - 0.8), (x, y - 2.9), (x + 2, y - 0.8), (x + 0.9, y + 1.4)], 6), even(0.36)
    )
    page.black.shape(cut(box(x - 1, y + 1.3, x + 1, y + 3.4), dice, 0.1))
    page.black.stroke([(x - 0.5, y - 0.2), (x - 0.2, y - 1), (x + 0.2, y - 0.2), (x + 0.5, y - 1)], even(0.24))
    for k in range(9):
        a = math.radians(-200 + 27.5 * k + 90 + 90)
        page.black.stroke(
            [(x + 4 * math.cos(a), y + 4 * math.sin(a)), (x + 5.4 * math.cos(a), y + 5.4 * math.sin(a))], 0.34
        )


def what_it_is(page: Page) -> None:
    """Page 3: the opening words under a lamp."""
    dice = Dice(33)
    glow(page, 38, 147, 24, dice, gold=(0.14, 0.32, 0.6), night=(0, 0, 0))
    cone = cut([(36, 142), (42, 142), (60, 94), (18, 94)], dice, 0.6)
    page.gold.shape(cone, 0.22)
    lamp(page, 18, 20, 140, dice, side=1)
    for x, y, span, turn in ((55, 137, 11, 40), (26, 126, 10, -50), (13, 152, 9, -60), (45, 121, 9, 15)):
        flutter(page, x, y, span, dice, turn)
    for letter in cut_word("WHAT", 65, 165, 61, 19, dice) + cut_word("IS IT?", 65, 143, 61, 19, dice):
        page.black.shape(letter)
    text = [
        (
            "A moth hour is the hour after the last window on your side of the street goes dark, and before the first "
            "one on the other side is lit. The buses have gone home. The lamps have the road to themselves."
        ),
        (
            "In a moth hour you can hear them. They hum one low note, a little flat. Under each hangs a tent of light, "
            "and in the tent somebody is always busy: going round, bumping the glass, going round again."
        ),
        (
            "We walked from eleven until four on nine nights in June, with a notebook, a jar of sugar and a thermos. "
            "This is what we saw. It is not much. It was enough."
        ),
    ]
    column(page.black, 65, 128, 63, text, size=9.4, leading=4.9)
    page.black.stroke(wobble(line_of([(10, 20), (130, 20)]), dice, 0.14), even(0.6))
    grass(page, 8, 50, 20, dice, 2.4)
    cat(page, 40, 20, 13, dice, face=-1)
    for _ in range(24):
        x, y = dice.between(12, 122), dice.between(13, 18.5)
        page.black.stroke([(x, y), (x + dice.between(2, 6), y)], 0.3)
    folio(page.black, 3)
