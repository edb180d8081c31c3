"""Shapes as a hand would cut or draw them: curves, wobble, hatching, strokes of varying width.

Points in, points out; lengths in mm, origin lower left, y up. Nothing here knows a file or an ink. All chance comes
from `Dice`, a small counter that starts at a number written by hand, so that every run draws the same zine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

Point = tuple[float, float]
Ring = list[Point]


class Dice:
    """A tiny linear congruential generator (multiplier and increment from Numerical Recipes, §7.1)."""

    def __init__(self, start: int) -> None:
        self._state = start & 0xFFFFFFFF
        self.roll()

    def roll(self) -> float:
        """Return the next number in 0 … 1."""
        self._state = (1664525 * self._state + 1013904223) & 0xFFFFFFFF
        return (self._state >> 8) / 0xFFFFFF

    def between(self, low: float, high: float) -> float:
        return low + (high - low) * self.roll()

    def around(self, spread: float) -> float:
        return self.between(-spread, spread)


def curve(points: Sequence[Point], steps: int = 8, closed: bool = False) -> Ring:
    """Return a smooth line through the points (Catmull-Rom), `steps` pieces between each two."""
    count = len(points)
    if count < 3:
        return list(points)

    def at(i: int) -> Point:
        return points[i % count] if closed else points[max(0, min(count - 1, i))]

    smooth: Ring = []
    for i in range(count if closed else count - 1):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = at(i - 1), at(i), at(i + 1), at(i + 2)
        for step in range(steps):
            t = step / steps
            smooth.append(
                (
                    0.5
                    * (
                        2 * bx
                        + (cx - ax) * t
                        + (2 * ax - 5 * bx + 4 * cx - dx) * t**2
                        + (3 * bx - ax - 3 * cx + dx) * t**3
                    ),
                    0.5
                    * (
                        2 * by
                        + (cy - ay) * t
                        + (2 * ay - 5 * by + 4 * cy - dy) * t**2
                        + (3 * by - ay - 3 * cy + dy) * t**3
                    ),
                )
            )
    if not closed:
        smooth.append(points[-1])
    return smooth


def line_of(points: Sequence[Point], every: float = 1.2) -> Ring:
    """Return the same broken line with a point at least every `every` mm."""
    dense: Ring = [points[0]]
    for (ax, ay), (bx, by) in pairwise(points):
        pieces = max(1, math.ceil(math.hypot(bx - ax, by - ay) / every))
        dense += [(ax + (bx - ax) * k / pieces, ay + (by - ay) * k / pieces) for k in range(1, pieces + 1)]
    return dense


def wobble(points: Sequence[Point], dice: Dice, amount: float = 0.12) -> Ring:
    """Shake a line softly: two slow waves of chance length across it."""
    phase, second = dice.between(0, 6.28), dice.between(0, 6.28)
    slow, quick = dice.between(0.10, 0.22), dice.between(0.4, 0.7)
    run, shaken = 0.0, []
    last = points[0]
    for x, y in points:
        run += math.hypot(x - last[0], y - last[1])
        last = (x, y)
        shift = amount * (math.sin(phase + run * slow * 3) + 0.5 * math.sin(second + run * quick * 3))
        shaken.append((x + shift * 0.7, y + amount * math.sin(second + run * slow * 2.3) - shift * 0.3))
    return shaken


def ellipse(x: float, y: float, rx: float, ry: float | None = None, turn: float = 0.0, sides: int = 40) -> Ring:
    ry = rx if ry is None else ry
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ring = []
    for k in range(sides):
        a = 2 * math.pi * k / sides
        px, py = rx * math.cos(a), ry * math.sin(a)
        ring.append((x + px * c - py * s, y + px * s + py * c))
    return ring


def blob(x: float, y: float, radius: float, dice: Dice, rough: float = 0.06, corners: int = 13) -> Ring:
    """Return a round shape as scissors cut it: a polygon of uneven corners."""
    return [
        (
            x + radius * (1 + dice.around(rough)) * math.cos(2 * math.pi * (k + dice.around(0.18)) / corners),
            y + radius * (1 + dice.around(rough)) * math.sin(2 * math.pi * (k + dice.around(0.18)) / corners),
        )
        for k in range(corners)
    ]


def box(x0: float, y0: float, x1: float, y1: float) -> Ring:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def cut(points: Iterable[Point], dice: Dice, amount: float = 0.35) -> Ring:
    """Move every corner a little, as no hand cuts a true corner."""
    return [(x + dice.around(amount), y + dice.around(amount)) for x, y in points]


def moved(
    points: Iterable[Point], x: float = 0, y: float = 0, scale: float = 1, turn: float = 0, mirror: bool = False
) -> Ring:
    """Scale, mirror (left to right), turn (degrees) and shift the points, in that order."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    side = -scale if mirror else scale
    return [(x + px * side * c - py * scale * s, y + px * side * s + py * scale * c) for px, py in points]


def bounds(ring: Iterable[Point]) -> tuple[float, float, float, float]:
    xs, ys = zip(*ring, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def spans(rings: Sequence[Ring], y: float) -> list[tuple[float, float]]:
    """Return where the level line at `y` lies inside the rings (even-odd)."""
    crossings = []
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
            if (ay <= y) != (by <= y):
                crossings.append(ax + (y - ay) * (bx - ax) / (by - ay))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def hatching(rings: Sequence[Ring], gap: float, angle: float, dice: Dice, ragged: float = 0.4) -> list[Ring]:
    """Return the pen lines that shade the inside of the rings.

    Lines lie `gap` mm apart at `angle` degrees, start and end unevenly by `ragged` mm and are broken now and then.
    """
    level = [moved(ring, turn=-angle) for ring in rings]
    lowest = min(bounds(ring)[1] for ring in level)
    highest = max(bounds(ring)[3] for ring in level)
    lines = []
    y = lowest + gap * dice.between(0.3, 0.8)
    while y < highest:
        for x0, x1 in spans(level, y):
            start, stop = x0 + dice.between(0, ragged), x1 - dice.between(0, ragged)
            if stop - start > 0.5:
                lines += _broken(start, stop, y, angle, dice)
        y += gap * dice.between(0.8, 1.2)
    return lines


def _broken(start: float, stop: float, y: float, angle: float, dice: Dice) -> list[Ring]:
    pieces, x = [], start
    while stop - x > 0.5:
        end = min(stop, x + dice.between(9, 22))
        if stop - end < 2:
            end = stop
        tilt = dice.around(0.12)
        pieces.append(moved([(x, y - tilt), ((x + end) / 2, y + dice.around(0.1)), (end, y + tilt)], turn=angle))
        x = end + dice.between(0.25, 0.6)
    return pieces


def tapered(width: float, start: float = 0.35, end: float = 0.3) -> Callable[[float], float]:
    """Return the width of a pen stroke along its way 0 … 1: thin, swelling, thin."""

    def at(t: float) -> float:
        swell = math.sin(math.pi * min(1.0, max(0.0, t))) ** 0.6
        edge = start + (end - start) * t
        return width * (edge + (1 - edge) * swell)

    return at


def even(width: float) -> Callable[[float], float]:
    """Return the width of a marker stroke: nearly the same all the way."""
    return lambda t: width * (0.94 + 0.06 * math.cos(9 * t))


def brush(points: Sequence[Point], width: Callable[[float], float]) -> list[Ring]:
    """Return the stroke along the points as small shapes to be filled: a quad for every step, a dot at every joint."""
    total = sum(math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)) or 1.0
    shapes: list[Ring] = []
    run = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        length = math.hypot(bx - ax, by - ay)
        if length < 1e-6:
            continue
        w0, w1 = width(run / total) / 2, width((run + length) / total) / 2
        nx, ny = -(by - ay) / length, (bx - ax) / length
        shapes.append(
            [
                (ax + nx * w0, ay + ny * w0),
                (bx + nx * w1, by + ny * w1),
                (bx - nx * w1, by - ny * w1),
                (ax - nx * w0, ay - ny * w0),
            ]
        )
        shapes.append(ellipse(ax, ay, w0, sides=12))
        run += length
    shapes.append(ellipse(*points[-1], width(1.0) / 2, sides=12))
    return shapes
