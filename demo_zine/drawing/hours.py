"""Page 4: the hours of the night, one by one, each with its picture."""

from __future__ import annotations

import math
from collections.abc import Callable

from drawing.hand import Dice, Point, blob, box, curve, cut, ellipse, even, hatching, line_of, wobble
from drawing.letters import cut_word, hand
from drawing.plates import Page
from drawing.setting import folio


def the_hours(page: Page) -> None:
    """Page 4: six rows, an hour each."""
    dice = Dice(44)
    for letter in cut_word("THE HOURS", 12, 172, 116, 17, dice):
        page.black.shape(letter)
    rows: list[tuple[str, str, str, Callable[[Page, float, float, Dice], None]]] = [
        ("11", "THE SHUTTERS", "COME DOWN", _shutter),
        ("12", "THE LAST BUS", "GOES HOME EMPTY", _bus),
        ("1", "THE FOX", "READS THE BINS", _fox),
        ("2", "THE LAMPS HUM", "", _hum),
        ("3", "THE BAKER'S", "WINDOW", _baker),
        ("4", "A BLACKBIRD,", "AND TO BED", _bird),
    ]
    for k, (hour, first, second, picture) in enumerate(rows):
        y = 143 - 25.4 * k
        page.black.stroke(wobble(line_of([(10, y - 2.4), (130, y - 2.4)]), dice, 0.12), even(0.4))
        disc = blob(25, y + 10, 11.4, dice, 0.04, 14)
        page.gold.shape(disc, (0.75, 0.65, 0.55, 0.45, 0.35, 0.22)[k])
        wide = 15 if len(hour) == 2 else 6.5 if hour == "1" else 10.5
        for letter in cut_word(hour, 25 - wide / 2, y + 3.6, wide, 13, dice):
            page.black.shape(letter)
        hand(page.black, 42, y + (11.5 if second else 8.6), first, 3.5, dice)
        if second:
            hand(page.black, 42, y + 5, second, 3.5, dice)
        picture(page, 112, y, dice)
    folio(page.black, 4)


def _shutter(page: Page, x: float, y: float, dice: Dice) -> None:
    frame = cut(box(x - 13, y - 2, x + 13, y + 14), dice, 0.2)
    page.black.stroke([*frame, frame[0]], even(0.45))
    for k in range(9):
        level = y + 13 - 1.25 * k
        page.black.stroke(wobble(line_of([(x - 12.4, level), (x + 12.4, level)]), dice, 0.06), even(0.32))
    page.gold.shape(box(x - 12.4, y - 1.6, x + 12.4, y + 2.6), 0.6)
    awning = cut([(x - 15, y + 14), (x + 15, y + 14), (x + 13, y + 20), (x - 13, y + 20)], dice, 0.2)
    page.black.stroke([*awning, awning[0]], even(0.45))
    for k in range(6):
        left = x - 15 + 5 * k
        stripe = [
            (left, y + 14),
            (left + 2.5, y + 14),
            (left * 0.87 + 2.2 + x * 0.13, y + 20),
            (left * 0.87 + x * 0.13, y + 20),
        ]
        page.black.strokes(hatching([stripe], 0.45, 88, dice, 0.1), 0.3)


def _bus(page: Page, x: float, y: float, dice: Dice) -> None:
    body = cut([(x - 15, y + 1), (x + 15, y + 1), (x + 15.4, y + 11), (x + 13, y + 16), (x - 15, y + 16)], dice, 0.25)
    page.gold.shape(body, 0.3)
    beam = cut([(x + 15, y + 4.6), (x + 19, y + 7), (x + 19, y - 1.5)], dice, 0.1)
    page.gold.shape(beam, 0.8)
    page.black.stroke([*body, body[0]], even(0.55))
    for k in range(5):
        pane = cut(box(x - 13.4 + 5.5 * k, y + 8, x - 9.2 + 5.5 * k, y + 13.6), dice, 0.12)
        page.gold.shape(pane, 0.85)
        page.black.stroke([*pane, pane[0]], even(0.36))
    page.black.strokes(hatching([box(x - 14.6, y + 2, x + 14.6, y + 5)], 0.7, 60, dice), 0.26)
    for wheel in (x - 9, x + 8.5):
        page.black.shape(ellipse(wheel, y + 1, 3.1))
        page.black.shape(ellipse(wheel, y + 1, 1.2), 0.0)
        page.gold.shape(ellipse(wheel, y + 1, 2.9), 0.0)


def _fox(page: Page, x: float, y: float, dice: Dice) -> None:
    body = curve(
        [
            (x - 8, y + 4.2),
            (x - 4.5, y + 8.4),
            (x + 2, y + 8.2),
            (x + 5.5, y + 9.8),
            (x + 6.6, y + 7.2),
            (x + 4, y + 4),
            (x, y + 3.6),
            (x - 5, y + 3.4),
        ],
        6,
        closed=True,
    )
    tail = curve(
        [(x - 7, y + 5), (x - 12, y + 3.4), (x - 17, y + 0.6), (x - 15, y - 1), (x - 10, y + 0.4), (x - 6.4, y + 3.6)],
        6,
        closed=True,
    )
    head = [
        (x + 4.6, y + 9),
        (x + 6, y + 13.4),
        (x + 7.6, y + 10.9),
        (x + 9.4, y + 12.8),
        (x + 9.8, y + 9.6),
        (x + 13, y + 6.4),
        (x + 9, y + 6.2),
        (x + 6, y + 6.8),
    ]
    for shape in (tail, body, head):
        page.gold.shape(shape, 0.75)
        page.black.shape(shape, 0.0)
        page.black.stroke([*shape, shape[0]], even(0.42))
    page.black.strokes(hatching([tail[:20]], 0.6, 30, dice, 0.2), 0.26)
    page.black.strokes(hatching([body[24:44]], 0.7, 60, dice, 0.2), 0.26)
    page.black.shape(ellipse(x + 12.6, y + 6.5, 0.7))
    page.black.shape(ellipse(x + 8.8, y + 9, 0.42))
    for leg, lean in ((x - 5, -0.8), (x - 3, 0.6), (x + 2.6, -0.5), (x + 4.6, 0.8)):
        page.black.stroke([(leg, y + 4.2), (leg + lean, y - 1.6)], lambda t: 1.5 - 0.8 * t)
    can = cut([(x + 12, y - 2), (x + 18.4, y - 2), (x + 19, y + 5.4), (x + 11.6, y + 5)], dice, 0.15)
    page.black.shape(can, 0.0)
    page.gold.shape(can, 0.0)
    page.black.strokes(hatching([can], 1.0, 92, dice, 0.2), 0.3)
    page.black.stroke([*can, can[0]], even(0.45))


def _hum(page: Page, x: float, y: float, dice: Dice) -> None:
    page.gold.shape(blob(x, y + 9, 10, dice, 0.05, 13), 0.25)
    page.gold.shape(blob(x, y + 9, 5.6, dice, 0.05, 11), 0.7)
    shade = cut([(x - 5, y + 12), (x + 5, y + 12), (x + 1.6, y + 17), (x - 1.6, y + 17)], dice, 0.15)
    page.black.shape(shade)
    page.black.stroke([(x, y + 17), (x, y + 20.5)], even(0.8))
    glass = curve([(x - 3.4, y + 12), (x - 3.2, y + 7.6), (x, y + 5.2), (x + 3.2, y + 7.6), (x + 3.4, y + 12)], 6)
    page.black.stroke(glass, even(0.5))
    for side in (-1, 1):
        for k in range(4):
            r = 7.4 + 2.7 * k
            arc: list[Point] = []
            for step in range(13):
                a = math.radians(-34 + 68 * step / 12)
                arc.append((x + side * r * math.cos(a), y + 9.4 + r * math.sin(a) * 0.72 + 0.35 * math.sin(step * 2.1)))
            page.black.stroke(arc, 0.55)


def _baker(page: Page, x: float, y: float, dice: Dice) -> None:
    frame = cut(box(x - 12, y - 1, x + 12, y + 19), dice, 0.25)
    page.gold.shape(frame, 0.7)
    page.black.stroke([*frame, frame[0]], even(0.6))
    page.black.stroke(wobble(line_of([(x - 12, y + 5.4), (x + 12, y + 5.4)]), dice, 0.08), even(0.5))
    for k in range(3):
        loaf = curve(
            [
                (x - 9.6 + 7 * k, y + 6),
                (x - 9.4 + 7 * k, y + 9.4),
                (x - 6.6 + 7 * k, y + 10.6),
                (x - 4 + 7 * k, y + 9.4),
                (x - 3.8 + 7 * k, y + 6),
            ],
            6,
        )
        page.black.shape(loaf, 0.0)
        page.gold.shape(loaf, 0.25)
        page.black.stroke([*loaf, loaf[0]], even(0.42))
        for j in range(3):
            page.black.stroke([(x - 8.4 + 7 * k + 1.5 * j, y + 8), (x - 7.4 + 7 * k + 1.5 * j, y + 9.8)], 0.34)
    for k in range(3):
        base = x - 6.6 + 7 * k
        page.black.stroke(
            curve([(base, y + 12), (base + 1, y + 13.6), (base - 0.6, y + 15.2), (base + 0.6, y + 17)], 6), 0.4
        )
    page.black.strokes(hatching([box(x - 11.6, y - 0.4, x + 11.6, y + 4.8)], 0.8, 90, dice), 0.3)


def _bird(page: Page, x: float, y: float, _dice: Dice) -> None:
    wire = curve([(x - 18, y + 5), (x, y + 2.8), (x + 18, y + 5.4)], 10)
    page.black.stroke(wire, even(0.42))
    body = curve(
        [
            (x - 9.4, y + 2.2),
            (x - 3.6, y + 5.2),
            (x - 1, y + 10.2),
            (x + 3, y + 12.6),
            (x + 6, y + 11),
            (x + 5.8, y + 7.2),
            (x + 2.6, y + 3.4),
            (x - 2.4, y + 3),
        ],
        6,
        closed=True,
    )
    page.black.shape(body)
    page.gold.shape([(x + 5.6, y + 10.8), (x + 9.6, y + 11.6), (x + 5.8, y + 9.2)], 0.95)
    page.black.stroke([(x + 5.6, y + 10.8), (x + 9.6, y + 11.6), (x + 5.8, y + 9.4)], even(0.36))
    page.black.shape(ellipse(x + 4.1, y + 10.4, 0.75), 0.0)
    page.gold.shape(ellipse(x + 4.1, y + 10.4, 0.7), 0.9)
    for k, (dx, dy) in enumerate(((12.5, 14), (15.5, 16.6), (15, 11.2))):
        page.black.shape(ellipse(x + dx, y + dy, 0.9, 0.7, 20))
        page.black.stroke([(x + dx + 0.75, y + dy), (x + dx + 0.9, y + dy + 3)], even(0.36))
        if k == 1:
            page.black.stroke([(x + dx + 0.9, y + dy + 3), (x + dx + 2.2, y + dy + 2.2)], even(0.5))
