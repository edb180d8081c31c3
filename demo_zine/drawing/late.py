"""Pages 10, 11, 14 and 15: a recipe, who came to it, a log to fill in, and the last word."""

from __future__ import annotations

import math

from drawing.hand import Dice, Point, blob, box, curve, cut, ellipse, even, hatching, line_of, wobble
from drawing.letters import cut_word, hand
from drawing.moths import CLERK, EMBER, EMPEROR, FOOTMAN, GHOST, MARQUESS, Moth, flight, flutter, moth
from drawing.plates import Page, measure
from drawing.setting import column, folio
from drawing.street import grass, lamp


def _heading(page: Page, words: str, dice: Dice) -> None:
    for letter in cut_word(words, 12, 172, 116, 17, dice):
        page.black.shape(letter)


def tree_sugar(page: Page) -> None:
    """Page 10: supper for moths."""
    dice = Dice(1010)
    _heading(page, "TREE SUGAR", dice)
    hand(page.black, 12, 160.5, "SUPPER FOR MOTHS", 3.6, dice)
    _trunk(page, dice)
    for k, words in enumerate(
        ("A MUG OF DARK SUGAR", "HALF A MUG OF FLAT BEER", "ONE BROWN BANANA", "A SPOON OF TREACLE")
    ):
        y = 149 - 7.4 * k
        page.gold.shape(blob(14.6, y + 1.5, 2.6, dice, 0.08, 9), 0.8)
        page.black.stroke(wobble(line_of([(12.6, y + 1.4), (14.2, y), (17.4, y + 3.8)], 1), dice, 0.08), even(0.5))
        hand(page.black, 21, y, words, 2.9, dice)
    steps = [
        (
            "Warm the sugar and the beer slowly until they agree. Stay with the pan: hot sugar burns skin and "
            "spoils sleeves."
        ),
        "Mash in the banana, stir in the treacle. Let it cool right down.",
        "At dusk, paint a stripe on nine trees, as high as your chin.",
        "Go round with a dim lamp. Look, count, leave them to it.",
    ]
    y = 113.0
    for k, words in enumerate(steps):
        for letter in cut_word("1234"[k], 12, y - 3.6, 3.2 if k == 0 else 5.4, 7, dice):
            page.black.shape(letter)
        y = column(page.black, 21, y, 58, [words], size=9, leading=4.6) - 1.6
    _pot(page, 36, 17, dice)
    page.black.stroke(wobble(line_of([(8, 14.6), (133, 14.6)]), dice, 0.12), even(0.5))
    folio(page.black, 10)


def _trunk(page: Page, dice: Dice) -> None:
    left = curve([(84, 14.6), (92, 24), (94, 60), (92, 100), (95, 140), (92, 164)], 10)
    right = curve([(122, 164), (119, 140), (122, 100), (120, 60), (123, 24), (132, 14.6)], 10)
    stripe = curve(
        [
            (93, 104),
            (106, 106.5),
            (121.4, 104),
            (121.4, 90),
            (118, 88),
            (116.6, 80),
            (114, 89),
            (110, 88),
            (108, 72),
            (105.6, 88),
            (101, 90),
            (99.6, 83),
            (97, 89.4),
            (93.4, 90),
        ],
        5,
        closed=True,
    )
    for edge in (left, right):
        page.black.stroke(wobble(edge, dice, 0.25), even(0.8))
    for _ in range(110):
        x, y = dice.between(95, 120), dice.between(20, 158)
        long = dice.between(3, 9)
        if y + long > 70 and y < 107 and 92 < x < 122:
            continue
        lean = dice.around(0.5)
        page.black.stroke(
            curve([(x, y), (x + lean, y + long / 2), (x - lean * 0.5, y + long)], 5), dice.between(0.3, 0.6)
        )
    for x, y in ((102, 136), (109, 52)):
        for rx, ry in ((3.2, 5), (1.9, 3.2), (0.8, 1.4)):
            knot = wobble(ellipse(x, y, rx, ry), dice, 0.12)
            page.black.shape(knot, 0.0)
            page.black.stroke([*knot, knot[0]], even(0.42))
    shade = [(x, y) for x, y in right] + [(x - 6, y) for x, y in right[::-1]]
    page.black.strokes(hatching([shade], 0.8, 35, dice), 0.28)
    page.gold.shape(stripe, 0.8)
    page.black.shape(stripe, 0.0)
    page.black.stroke([*stripe, stripe[0]], even(0.55))
    for x in range(96, 121, 4):
        page.black.stroke([(x, 92 + dice.around(1)), (x + 0.5, 102 + dice.around(1))], 0.4)
    moth(page, 104, 97, 25, dice, MARQUESS, turn=20)
    moth(page, 116, 116, 19, dice, EMBER, turn=160)
    moth(page, 98, 79, 19, dice, CLERK, turn=-15)
    for x, y, span, turn in ((85, 132, 9, -40), (80, 121, 8, 20), (87, 114, 7, -70)):
        flutter(page, x, y, span, dice, turn)


def _pot(page: Page, x: float, y: float, dice: Dice) -> None:
    body = curve(
        [
            (x - 14, y + 15),
            (x - 13.4, y + 3),
            (x - 10, y - 1.6),
            (x + 10, y - 1.6),
            (x + 13.4, y + 3),
            (x + 14, y + 15),
        ],
        6,
    )
    page.gold.shape(ellipse(x, y + 15, 13.4, 2.6), 0.75)
    page.black.strokes(hatching([[*body]], 0.9, 80, dice), 0.3)
    page.black.shape(ellipse(x, y + 15, 13.8, 2.8), 0.0)
    page.black.stroke([*ellipse(x, y + 15, 13.8, 2.8), (x + 13.8, y + 15)], even(0.5))
    page.black.stroke(body, even(0.6))
    for side in (-1, 1):
        page.black.stroke(
            curve([(x + 13.6 * side, y + 11.6), (x + 18 * side, y + 11), (x + 13.4 * side, y + 7)], 6), even(1.1)
        )
    page.black.stroke([(x + 3, y + 14), (x + 13, y + 30)], even(1.1))
    for k in range(3):
        base = x - 8 + 5 * k
        page.black.stroke(
            curve([(base, y + 20), (base + 1.4, y + 23), (base - 1, y + 26), (base + 0.8, y + 29)], 6), 0.5
        )


_GUESTS: tuple[tuple[Moth, str, str, str], ...] = (
    (EMPEROR, "PORCH EMPEROR", "Owns the place.", "Gone by one."),
    (EMBER, "SMALL EMBER", "Arrives lit.", "Needs no lamp."),
    (GHOST, "LAUNDRY GHOST", "On the line,", "and then not."),
    (CLERK, "THE LATE CLERK", "Lamp 2, every night,", "eleven forty."),
    (FOOTMAN, "DOOR PORTER", "Holds up the wall", "of the bakehouse."),
    (MARQUESS, "SOOT MARQUESS", "You would not guess", "the underskirts."),
)


def who_came(page: Page) -> None:
    """Page 11: six guests, by name."""
    dice = Dice(1111)
    _heading(page, "WHO CAME", dice)
    for k, (kind, name, first, second) in enumerate(_GUESTS):
        x, y = 39 + 62 * (k % 2), 147 - 52 * (k // 2)
        page.gold.shape(blob(x, y, 19.5, dice, 0.035, 15), 0.16)
        moth(page, x, y + (4.5 if kind is GHOST else 1), 38 if kind is GHOST else 43, dice, kind, turn=dice.around(6))
        hand(page.black, x, y - 21.6, name, 3.1, dice, align=0.5)
        page.black.text(x - measure(first, 8.6) / 2, y - 26.6, first, 8.6)
        page.black.text(x - measure(second, 8.6) / 2, y - 30.4, second, 8.6)
    folio(page.black, 11)


def night_log(page: Page) -> None:
    """Page 14: a table for the reader's own nights."""
    dice = Dice(1414)
    _heading(page, "NIGHT LOG", dice)
    columns = (11.0, 28.0, 48.0, 76.0, 129.0)
    top, pitch, rows = 160.0, 11.6, 10
    page.gold.shape(cut(box(columns[0], top - pitch, columns[-1], top), dice, 0.3), 0.45)
    page.gold.shape(cut(box(columns[0], top - pitch * 4, columns[-1], top - pitch * 3), dice, 0.3), 0.14)
    page.gold.shape(cut(box(columns[0], top - pitch * 6, columns[-1], top - pitch * 5), dice, 0.3), 0.14)
    page.gold.shape(cut(box(columns[0], top - pitch * 8, columns[-1], top - pitch * 7), dice, 0.3), 0.14)
    for row in range(rows + 1):
        y = top - pitch * row
        page.black.stroke(
            wobble(line_of([(columns[0] - 1, y), (columns[-1] + 1, y)]), dice, 0.12), even(0.6 if row < 2 else 0.4)
        )
    for x in columns:
        page.black.stroke(wobble(line_of([(x, top + 0.8), (x, top - pitch * rows - 0.8)]), dice, 0.12), even(0.42))
    for x, words in zip(columns, ("NIGHT", "LAMP", "SKY", "WHO CAME"), strict=False):
        hand(page.black, x + 1.9, top - 7.2, words, 2.7, dice, pen=0.45)
    filled = [("1", "4", "WARM", "3 EMBERS, 1 CAT"), ("2", "4", "RAIN", "NOBODY. TEA.")]
    for row, cells in enumerate(filled):
        for x, words in zip(columns, cells, strict=False):
            hand(page.black, x + 2.6, top - pitch * (row + 2) + 4, words, 3, dice, pen=0.4)
    flight(page, [(12, 24), (34, 31), (56, 20), (80, 30), (96, 25)], width=0.45)
    moth(page, 112, 25, 30, dice, FOOTMAN, turn=-78)
    folio(page.black, 14)


def colophon(page: Page) -> None:
    """Page 15: how it was made, and the lamp gone out. Black alone."""
    dice = Dice(1515)
    page = Page(page.black)
    text = [
        "Three inks: lamp black for what is there, marigold for what is lit, harbour blue for the night.",
        "Two spreads to the sheet, on cream paper. Cut, folded, and stitched twice on the fold.",
        "The streets are invented, and so are the moths. The lamps are real, and so is the hour.",
        "Read it under one. Then pass it on.",
    ]
    hand(page.black, 14, 176, "GOOD MORNING", 6, dice, pen=0.95)
    column(page.black, 14, 164, 70, text, size=9.4, leading=4.9)
    slip = cut(box(14, 80, 76, 94), dice, 0.3)
    page.black.stroke([*slip, slip[0]], even(0.45))
    hand(page.black, 19, 85.4, "COPY", 3.2, dice)
    page.black.stroke(line_of([(35, 84.8), (50, 84.8)]), even(0.4))
    hand(page.black, 53, 85.4, "OF 120", 3.2, dice)
    lamp(page, 116, 24, 142, dice, side=-1)
    _morning(page, dice)
    flutter(page, 60, 62, 13, dice, 70)
    flight(page, [(66, 64), (78, 74), (88, 92), (92, 112), (94, 130)], width=0.45)
    folio(page.black, 15)


def _morning(page: Page, dice: Dice) -> None:
    page.black.stroke(wobble(line_of([(8, 24), (132, 24)]), dice, 0.14), even(0.7))
    ridge: list[Point] = [
        (10, 24),
        (10, 38),
        (19, 45),
        (28, 38),
        (28, 34),
        (42, 34),
        (42, 44),
        (54, 44),
        (54, 36),
        (66, 42),
        (78, 36),
        (78, 24),
    ]
    front = cut(ridge, dice, 0.3)
    page.black.shape(front, 0.18)
    page.black.stroke(wobble(line_of(front), dice, 0.08), even(0.5))
    for x, y in ((14, 30), (22, 30), (45, 36), (33, 28), (58, 30), (69, 30)):
        pane = cut(box(x, y, x + 3.6, y + 4.6), dice, 0.12)
        page.black.shape(pane, 0.0)
        page.black.stroke([*pane, pane[0]], even(0.36))
    page.black.strokes(
        hatching([[(28, 25), (28, 38), (24, 40), (24, 25)], [(54, 25), (54, 43), (50, 43), (50, 25)]], 0.8, 60, dice),
        0.26,
    )
    x, y = 47.5, 44.0
    for k in range(9):
        a = math.radians(14 + 19 * k)
        page.black.stroke(
            [(x + 12 * math.cos(a), y + 8 * math.sin(a)), (x + 17 * math.cos(a), y + 13 * math.sin(a))], 0.5
        )
    grass(page, 100, 132, 24, dice, 2.6)
    for _ in range(16):
        sx, sy = dice.between(10, 120), dice.between(14, 21.5)
        page.black.stroke([(sx, sy), (sx + dice.between(2, 6), sy)], 0.3)
