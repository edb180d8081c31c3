"""The street at night: lamps and their light, houses, trees, and who else is awake."""

from __future__ import annotations

import math
from collections.abc import Sequence

from drawing.hand import (
    Dice,
    Point,
    Ring,
    blob,
    box,
    curve,
    cut,
    ellipse,
    even,
    hatching,
    line_of,
    moved,
    tapered,
    wobble,
)
from drawing.plates import Page


def glow(
    page: Page,
    x: float,
    y: float,
    radius: float,
    dice: Dice,
    gold: Sequence[float] = (0.18, 0.36, 0.6),
    night: Sequence[float] = (0.4, 0.2, 0.0),
) -> None:
    """Light round a lamp: cut rings, more marigold and less night towards the middle."""
    for k, (warm, dark) in enumerate(zip(gold, night, strict=True)):
        share = 1 - k / (len(gold) + 0.35)
        ring = blob(x, y, radius * share, dice, 0.04, 15)
        page.blue.shape(ring, dark)
        page.gold.shape(moved(moved(ring, -x, -y), x, y, 1.015), warm)


def lamp(page: Page, x: float, y: float, height: float, dice: Dice, side: int = 1) -> Point:
    """Draw a street lamp standing at (x, y) and return where its bulb is."""
    s = height / 60
    page.black.shape(
        cut([(x - 2.2 * s, y), (x + 2.2 * s, y), (x + 1.7 * s, y + 5 * s), (x - 1.7 * s, y + 5 * s)], dice, 0.12)
    )
    page.black.shape(
        cut(
            [
                (x - 1.2 * s, y + 4.5 * s),
                (x + 1.2 * s, y + 4.5 * s),
                (x + 0.6 * s, y + height - 6 * s),
                (x - 0.6 * s, y + height - 6 * s),
            ],
            dice,
            0.1,
        )
    )
    page.black.shape(box(x - 1.6 * s, y + 17 * s, x + 1.6 * s, y + 18.2 * s))
    arm = curve(
        [
            (x, y + height - 7 * s),
            (x + 0.5 * s * side, y + height - 1.5 * s),
            (x + 5 * s * side, y + height),
            (x + 9 * s * side, y + height - 2.4 * s),
        ],
        6,
    )
    page.black.stroke(arm, even(1.0 * s))
    bx, by = x + 9 * s * side, y + height - 3 * s
    glass = cut(
        [
            (bx - 2.3 * s, by - 2 * s),
            (bx + 2.3 * s, by - 2 * s),
            (bx + 1.5 * s, by - 7 * s),
            (bx - 1.5 * s, by - 7 * s),
        ],
        dice,
        0.1,
    )
    page.black.shape(glass, 0.0)
    page.light(glass, 0.95)
    page.black.stroke([*glass, glass[0]], even(0.42 * s))
    page.black.shape(
        cut(
            [
                (bx - 3.6 * s, by - 2.2 * s),
                (bx + 3.6 * s, by - 2.2 * s),
                (bx + 0.9 * s, by + 1.2 * s),
                (bx - 0.9 * s, by + 1.2 * s),
            ],
            dice,
            0.12,
        )
    )
    return bx, by - 4.5 * s


def house(
    page: Page,
    x: float,
    y: float,
    width: float,
    height: float,
    dice: Dice,
    roof: str = "gable",
    lit: Sequence[int] = (),
    rows: int = 3,
    columns: int = 2,
    night: float = 0.35,
    shade: float = 0.0,
) -> None:
    """Draw a house front with its windows; those named in `lit` (counted from the lower left) have somebody awake."""
    peak = {"gable": width * 0.5, "slope": width * 0.32, "flat": 2.0, "step": width * 0.42}[roof]
    top = y + height
    if roof == "gable":
        front = [(x, y), (x + width, y), (x + width, top), (x + width / 2, top + peak), (x, top)]
    elif roof == "slope":
        front = [(x, y), (x + width, y), (x + width, top), (x, top + peak)]
    elif roof == "step":
        a, b = width * 0.18, width * 0.34
        front = [
            (x, y),
            (x + width, y),
            (x + width, top),
            (x + width - a, top),
            (x + width - a, top + peak * 0.5),
            (x + width - b, top + peak * 0.5),
            (x + width - b, top + peak),
            (x + b, top + peak),
            (x + b, top + peak * 0.5),
            (x + a, top + peak * 0.5),
            (x + a, top),
            (x, top),
        ]
    else:
        front = [(x, y), (x + width, y), (x + width, top), (x, top)]
    front = cut(front, dice, 0.3)
    page.black.shape(front, shade)
    page.blue.shape(front, night)
    page.gold.shape(front, 0.0)
    _windows(page, x, y, width, height, dice, lit, rows, columns)
    side = [(x + width * 0.86, y), (x + width, y), (x + width, top), (x + width * 0.86, top)]
    page.black.strokes(hatching([side], 0.75, 64, dice), 0.24)
    if roof in ("gable", "slope"):
        cap = (
            [front[2], front[3], front[4], (x + width / 2, top + peak * 0.72)]
            if roof == "gable"
            else [front[2], front[3], (x, top + peak * 0.6), (x + width, top - 1.5)]
        )
        page.black.strokes(hatching([cap], 0.6, 100 if roof == "gable" else 75, dice, 0.2), 0.26)
    page.black.stroke(wobble(line_of([*front, front[0]]), dice, 0.07), even(0.42))


def _windows(
    page: Page, x: float, y: float, width: float, height: float, dice: Dice, lit: Sequence[int], rows: int, columns: int
) -> None:
    pitch_x, pitch_y = width * 0.86 / columns, (height - 9) / max(1, rows)
    wide, tall = pitch_x * 0.5, pitch_y * 0.58
    for row in range(rows):
        for column in range(columns):
            left = x + 0.2 + pitch_x * (column + 0.27)
            low = y + 10 + pitch_y * row
            pane = cut(box(left, low, left + wide, low + tall), dice, 0.14)
            if row * columns + column in lit:
                page.light(pane, 0.9)
                page.black.shape(pane, 0.0)
            else:
                page.black.shape(pane, 0.0)
                page.black.strokes(hatching([pane], 0.5, 38, dice, 0.1), 0.24)
            page.black.stroke([*pane, pane[0]], even(0.34))
            page.black.stroke([(left + wide / 2, low), (left + wide / 2, low + tall)], even(0.26))
            page.black.stroke([(left - 0.5, low - 0.3), (left + wide + 0.5, low - 0.3)], even(0.45))
    door = cut(box(x + width * 0.16, y, x + width * 0.16 + min(4.6, width * 0.26), y + 7.6), dice, 0.15)
    page.black.shape(door, 0.0)
    page.black.strokes(hatching([door], 0.42, 90, dice, 0.1), 0.26)
    page.black.stroke([*door, door[0]], even(0.38))


def walker(page: Page, x: float, y: float, height: float, dice: Dice, face: int = 1, lantern: bool = True) -> Point:
    """Draw somebody in a long coat and a hat; return the middle of the lantern."""
    s = height / 30

    def at(points: Sequence[Point]) -> Ring:
        return moved(points, x, y, s, mirror=face < 0)

    for leg in ([(-1.6, 0), (-1.2, 8)], [(2.2, 0.2), (1.2, 8)]):
        page.black.stroke(at(leg), even(1.6 * s))
        page.black.stroke(at([leg[0], (leg[0][0] + 1.5, leg[0][1])]), even(1.2 * s))
    coat = cut(at([(-4.6, 6.4), (4.8, 6.0), (3.0, 17), (2.2, 21.6), (-2.2, 21.8), (-3.2, 16)]), dice, 0.12 * s)
    for plate in (page.blue, page.gold):
        plate.shape(coat, 0.0)
    page.black.shape(coat)
    page.black.stroke(at([(0.4, 7), (0.9, 14), (0.6, 20.5)]), even(0.3 * s), 0.0)
    head = at(ellipse(0.5, 24.2, 2.3, 2.6))
    page.black.shape(head, 0.0)
    page.light(head, 0.2)
    page.black.stroke([*head, head[0]], even(0.36 * s))
    page.black.shape(at(ellipse(1.8, 24.5, 0.36)))
    page.black.stroke(at([(2.7, 24.1), (3.5, 23.5), (2.8, 23.3)]), even(0.32 * s))
    page.black.shape(
        at([(-3.4, 26), (4.4, 25.7), (4.3, 26.5), (2.6, 26.7), (2.0, 29.6), (-1.6, 29.8), (-2.0, 26.8), (-3.4, 26.8)])
    )
    page.black.stroke(at(curve([(1.6, 19.5), (4.4, 15), (6.8, 13.6)], 5)), even(1.7 * s))
    if lantern:
        page.black.stroke(at([(6.8, 13.6), (6.8, 11.4)]), even(0.35 * s))
        glass = at([(5.5, 7.6), (8.1, 7.6), (7.8, 11.2), (5.8, 11.2)])
        page.black.shape(glass, 0.0)
        page.light(glass, 0.95)
        page.black.stroke([*glass, glass[0]], even(0.5 * s))
    return at([(6.8, 9.4)])[0]


def cat(page: Page, x: float, y: float, height: float, dice: Dice, face: int = 1) -> None:
    """Draw a sitting cat from behind: it has seen enough."""
    s = height / 12
    back = curve([(-3, 0), (-3.6, 2.5), (-2.6, 5.5), (-1.5, 7.6), (-1.9, 9.2), (-1.6, 10.2)], 5)
    front = curve([(1.6, 10.2), (1.9, 9.2), (1.5, 7.6), (2.6, 5.5), (3.6, 2.5), (3, 0)], 5)
    ears = [(-1.7, 12.3), (-0.6, 11), (0.6, 11), (1.7, 12.3)]
    body = moved([*back, *ears, *front], x, y, s, mirror=face < 0)
    page.black.shape(body)
    tail = moved(curve([(2.6, 0.6), (5.4, 0.4), (6.8, 1.8), (6.2, 3.6)], 6), x, y, s, mirror=face < 0)
    page.black.stroke(tail, tapered(1.3 * s, 0.9, 0.7))
    for ear in (-1, 1):
        page.black.stroke(moved([(ear * 2.2, 8.9), (ear * 4.2, 9.4 + dice.around(0.3))], x, y, s), 0.2)


def tree(page: Page, x: float, y: float, height: float, dice: Dice, night: float = 0.0, gold: float = 0.0) -> None:
    """Draw a street tree: a trunk and a crown of short strokes."""
    crown = blob(x, y + height * 0.66, height * 0.34, dice, 0.1, 16)
    page.blue.shape(crown, night)
    page.gold.shape(crown, gold)
    page.black.shape(crown, 0.0)
    for k in range(int(height * 4)):
        a, r = dice.between(0, 6.28), height * 0.33 * math.sqrt(dice.roll())
        lx, ly = x + r * math.cos(a), y + height * 0.66 + r * math.sin(a)
        if lx - x - (ly - y - height * 0.66) * 0.7 < -height * 0.2 and k % 3:
            continue
        page.black.stroke(curve([(lx - 0.9, ly - 0.3), (lx, ly + 0.35), (lx + 0.9, ly - 0.2)], 4), 0.32)
    page.black.stroke([*wobble(line_of([*crown, crown[0]], 2), dice, 0.2)], even(0.34))
    trunk = curve([(x, y), (x + 0.3, y + height * 0.2), (x - 0.2, y + height * 0.5)], 6)
    page.black.stroke(trunk, lambda t: height * (0.055 - 0.03 * t))
    page.black.stroke(
        [(x, y + height * 0.36), (x + height * 0.14, y + height * 0.56)], lambda t: height * (0.028 - 0.015 * t)
    )
    page.black.stroke(
        [(x, y + height * 0.3), (x - height * 0.15, y + height * 0.52)], lambda t: height * (0.026 - 0.015 * t)
    )


def grass(page: Page, x0: float, x1: float, y: float, dice: Dice, tall: float = 2.0) -> None:
    """Draw a strip of grass blades."""
    x = x0
    while x < x1:
        lean = dice.around(0.8)
        page.black.stroke(
            curve([(x, y), (x + lean * 0.3, y + tall * 0.6), (x + lean, y + tall * dice.between(0.7, 1.2))], 4), 0.28
        )
        x += dice.between(0.5, 1.6)


def stars(page: Page, places: Sequence[Point], dice: Dice) -> None:
    """Scrape small stars out of the night."""
    for x, y in places:
        arm = dice.between(0.7, 1.3)
        star = [
            (x, y + arm),
            (x + arm * 0.28, y + arm * 0.28),
            (x + arm, y),
            (x + arm * 0.28, y - arm * 0.28),
            (x, y - arm),
            (x - arm * 0.28, y - arm * 0.28),
            (x - arm, y),
            (x - arm * 0.28, y + arm * 0.28),
        ]
        page.blue.shape(star, 0.0)
