"""Moths: near with all their markings, far as two cuts of paper, and the way they have flown."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from drawing.hand import (
    Dice,
    Point,
    Ring,
    blob,
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

Placed = Callable[[Sequence[Point]], Ring]


@dataclass(frozen=True)
class Moth:
    """How a moth is marked. Wings are half outlines for a span of 2, the body along y."""

    fore: Sequence[Point]
    hind: Sequence[Point]
    #: Tints of the marigold in the fore and hind wings.
    gold: tuple[float, float] = (0.55, 0.35)
    #: Black tints of the same.
    gray: tuple[float, float] = (0.0, 0.0)
    #: Where bands run, as shares of the way from the root to the edge.
    bands: Sequence[float] = (0.8, 0.55)
    #: Eye spots (x, y, radius) on the fore and hind wings.
    eyes: Sequence[tuple[float, float, float]] = ((0.6, 0.27, 0.09), (0.4, -0.3, 0.1))
    hatch: float = 0.045
    feathered: bool = True


_BROAD = [
    (0.04, 0.2),
    (0.34, 0.43),
    (0.72, 0.58),
    (0.99, 0.56),
    (1.0, 0.42),
    (0.9, 0.2),
    (0.74, -0.02),
    (0.42, -0.1),
    (0.06, 0),
]
_ROUND = [
    (0.05, 0.04),
    (0.34, 0.02),
    (0.66, -0.06),
    (0.76, -0.26),
    (0.66, -0.5),
    (0.44, -0.66),
    (0.24, -0.6),
    (0.07, -0.22),
]
_SLIM = [(0.04, 0.16), (0.3, 0.3), (0.7, 0.36), (1.0, 0.3), (0.96, 0.16), (0.7, 0.02), (0.4, -0.04), (0.06, 0)]
_SMALL = [(0.05, 0.02), (0.3, 0.0), (0.56, -0.06), (0.62, -0.22), (0.48, -0.38), (0.26, -0.42), (0.08, -0.2)]
_HOOKED = [
    (0.04, 0.2),
    (0.3, 0.36),
    (0.62, 0.58),
    (0.96, 0.72),
    (0.94, 0.54),
    (0.82, 0.36),
    (0.8, 0.14),
    (0.6, -0.04),
    (0.06, 0),
]
_TAILED = [
    (0.05, 0.04),
    (0.34, 0.0),
    (0.62, -0.1),
    (0.64, -0.3),
    (0.5, -0.5),
    (0.46, -0.86),
    (0.36, -0.9),
    (0.28, -0.56),
    (0.08, -0.24),
]

EMPEROR = Moth(_BROAD, _ROUND)
EMBER = Moth(
    _SLIM, _SMALL, gold=(0.25, 0.8), gray=(0.35, 0.0), bands=(0.7,), eyes=((0.5, 0.17, 0.06),), feathered=False
)
GHOST = Moth(_HOOKED, _TAILED, gold=(0.15, 0.15), bands=(0.86, 0.62, 0.4), eyes=((0.6, 0.26, 0.06), (0.4, -0.24, 0.07)))
CLERK = Moth(_SLIM, _SMALL, gold=(0.0, 0.2), gray=(0.25, 0.12), bands=(0.85, 0.68, 0.5), eyes=(), feathered=False)
FOOTMAN = Moth(
    _HOOKED, _ROUND, gold=(0.6, 0.3), gray=(0.0, 0.3), bands=(0.5,), eyes=((0.7, 0.4, 0.07), (0.42, -0.34, 0.06))
)
MARQUESS = Moth(_BROAD, _SMALL, gold=(0.0, 0.7), gray=(0.6, 0.0), bands=(0.78, 0.6), eyes=((0.58, 0.28, 0.1),))


def moth(
    page: Page, x: float, y: float, span: float, dice: Dice, kind: Moth = EMPEROR, turn: float = 0.0, night: float = 0.0
) -> None:
    """Draw a moth, wings open, `span` mm from tip to tip. `night` is the tint of blue its wings let through."""
    size, fine = span / 2, max(0.2, min(0.5, span / 150))
    for mirror in (True, False):

        def placed(points: Sequence[Point]) -> Ring:
            return moved(points, x, y, size, turn, mirror)  # noqa: B023

        for wing, outline in enumerate((kind.hind, kind.fore)):
            _wing(page, kind, 1 - wing, outline, placed, span, fine, dice, night)
    _body(page, kind, x, y, size, turn, fine, dice)


def _wing(
    page: Page,
    kind: Moth,
    index: int,
    outline: Sequence[Point],
    placed: Placed,
    span: float,
    fine: float,
    dice: Dice,
    night: float,
) -> None:
    smooth = curve(outline, 7, closed=True)
    ring = placed(smooth)
    if night:
        page.blue.shape(ring, night)
        page.gold.shape(ring, kind.gold[index])
    else:
        page.light(ring, kind.gold[index])
    page.black.shape(ring, kind.gray[index])
    root = (0.05, 0.1 - 0.1 * index)
    rim = [p for p in smooth if math.dist(p, root) > 0.3]
    for k, share in enumerate(kind.bands):
        band = [(root[0] + (px - root[0]) * share, root[1] + (py - root[1]) * share) for px, py in rim]
        lobes = [(bx, by + 0.016 * math.sin(i * 1.3)) for i, (bx, by) in enumerate(band)]
        page.black.stroke(placed(lobes), fine * (1.7 if k == 0 else 1.1))
        if k == 0:
            edge = placed(rim + band[::-1])
            page.black.strokes(
                hatching([edge], max(0.42, kind.hatch * span / 3), 62 - 30 * index, dice, 0.2), fine * 0.8
            )
    if span > 24:
        for k in range(5):
            tip = rim[(k + 1) * len(rim) // 7]
            bow = ((root[0] + tip[0]) / 2, (root[1] + tip[1]) / 2 + 0.03)
            page.black.stroke(placed(curve([root, bow, tip], 6)), fine * 0.75)
    for ex, ey, er in kind.eyes:
        if (ey > -0.1) == (index == 0):
            _eye(page, placed([(ex, ey)])[0], er * span / 2, fine, dice)
    page.black.stroke(wobble([*ring, ring[0]], dice, 0.003 * span), even(fine * 1.5))


def _eye(page: Page, at: Point, radius: float, fine: float, dice: Dice) -> None:
    page.gold.shape(blob(*at, radius, dice, 0.05), 0.9)
    page.black.shape(ellipse(*at, radius), 0.0)
    page.black.stroke([*ellipse(*at, radius), (at[0] + radius, at[1])], even(fine * 1.2))
    page.black.shape(ellipse(*at, radius * 0.52))
    page.black.shape(ellipse(at[0] + radius * 0.16, at[1] + radius * 0.18, radius * 0.15), 0.0)


def _body(page: Page, kind: Moth, x: float, y: float, size: float, turn: float, fine: float, dice: Dice) -> None:
    def placed(points: Sequence[Point]) -> Ring:
        return moved(points, x, y, size, turn)

    trunk = curve(
        [
            (0, 0.34),
            (0.07, 0.26),
            (0.095, 0.1),
            (0.075, -0.1),
            (0.05, -0.34),
            (0, -0.46),
            (-0.05, -0.34),
            (-0.075, -0.1),
            (-0.095, 0.1),
            (-0.07, 0.26),
        ],
        6,
        closed=True,
    )
    if size > 60:
        _large_trunk(page, placed, trunk, fine, dice)
    else:
        _small_trunk(page, placed, trunk, size, fine, dice)
    for side in (-1, 1):
        feeler = curve([(0.03 * side, 0.33), (0.12 * side, 0.48), (0.27 * side, 0.6), (0.42 * side, 0.62)], 6)
        page.black.stroke(placed(feeler), even(fine * 1.1))
        if kind.feathered:
            for k, (fx, fy) in enumerate(feeler[3:]):
                length = 0.075 * math.sin(math.pi * (k + 1) / (len(feeler) - 1)) + 0.015
                page.black.stroke(placed([(fx, fy), (fx - 0.3 * length * side, fy + length)]), max(0.18, fine * 0.7))
                page.black.stroke(placed([(fx, fy), (fx + 0.5 * length * side, fy - length)]), max(0.18, fine * 0.7))


def _small_trunk(page: Page, placed: Placed, trunk: Ring, size: float, fine: float, dice: Dice) -> None:
    page.gold.shape(placed(trunk), 0.4)
    page.black.shape(placed(trunk))
    for k in range(5):
        level = -0.06 - 0.075 * k
        half = 0.055 - 0.006 * k
        page.black.stroke(
            placed(curve([(-half, level), (0, level - 0.02), (half, level)], 4)), even(max(0.2, size * 0.018)), 0.0
        )
    hairs = 26 if size > 10 else 12
    for k in range(hairs):
        a = -0.2 + 3.5 * k / (hairs - 1)
        base = (0.08 * math.cos(a), 0.17 + 0.1 * math.sin(a))
        tip = (base[0] * (1.3 + dice.around(0.2)), 0.17 + (base[1] - 0.17) * (1.35 + dice.around(0.25)))
        page.black.stroke(placed([base, tip]), max(fine, 0.22))


def _large_trunk(page: Page, placed: Placed, trunk: Ring, fine: float, dice: Dice) -> None:
    """Draw a body close by: fur and rings, for a flat black so large would stick and smear."""
    page.light(placed(trunk), 0.75)
    page.black.shape(placed(trunk), 0.0)
    for k in range(6):
        level, half = -0.05 - 0.066 * k, 0.083 - 0.012 * k
        upper = curve([(-half, level), (0, level - 0.03), (half, level)], 6)
        lower = curve([(half * 0.9, level - 0.036), (0, level - 0.066), (-half * 0.9, level - 0.036)], 6)
        page.black.shape(placed([*upper, *lower]))
    for k in range(420):
        reach = math.sqrt(dice.roll())
        a = dice.between(0, 2 * math.pi)
        base = (0.088 * reach * math.cos(a), 0.13 + 0.17 * reach * math.sin(a))
        away = dice.between(0.028, 0.05)
        tip = (
            base[0] + away * math.cos(a) * reach + dice.around(0.006),
            base[1] - 0.6 * away + away * math.sin(a) * reach,
        )
        page.black.stroke(placed([base, tip]), fine * (0.9 if k % 3 else 1.6))
    for side in (-1, 1):
        eye = ellipse(0.045 * side, 0.31, 0.026, sides=20)
        page.black.shape(placed(eye))
        page.black.shape(placed(ellipse(0.05 * side, 0.318, 0.008)), 0.0)
    page.black.stroke(wobble([*placed(trunk), placed(trunk)[0]], dice, 0.15), even(fine * 2))


def flutter(page: Page, x: float, y: float, span: float, dice: Dice, turn: float = 0.0) -> None:
    """Draw a moth far away: two flat cuts of paper and a stroke."""
    for mirror in (True, False):
        fore = moved([(0.03, 0.18), (0.8, 0.66), (1.0, 0.6), (0.86, 0.06), (0.04, -0.02)], x, y, span / 2, turn, mirror)
        hind = moved(
            [(0.04, 0.05), (0.66, 0.0), (0.62, -0.42), (0.36, -0.58), (0.05, -0.25)], x, y, span / 2, turn, mirror
        )
        for wing in (hind, fore):
            ring = cut(wing, dice, span * 0.02)
            page.light(ring, 0.3)
            page.black.shape(ring, 0.0)
            page.black.stroke([*ring, ring[0]], even(max(0.22, span * 0.02)))
    page.black.stroke(moved([(0, 0.32), (0, 0), (0, -0.45)], x, y, span / 2, turn), tapered(max(0.5, span * 0.1), 0.6))
    for side in (-1, 1):
        page.black.stroke(
            moved(curve([(0, 0.3), (0.12 * side, 0.5), (0.3 * side, 0.62)], 4), x, y, span / 2, turn), 0.24
        )


def flight(page: Page, points: Sequence[Point], dash: float = 1.6, width: float = 0.4, tone: float = 1.0) -> None:
    """Draw the dashed way a moth has flown."""
    path = line_of(curve(points, 14), 0.5)
    run, piece, on = 0.0, [path[0]], True
    for a, b in pairwise(path):
        run += math.dist(a, b)
        if on:
            piece.append(b)
        if run > dash:
            if on and len(piece) > 1:
                page.black.stroke(piece, even(width), tone)
            run, on, piece = 0.0, not on, [b]
