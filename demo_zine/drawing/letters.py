"""Two alphabets of the zine's own: heavy capitals cut from paper, and the capitals of a felt pen.

The cut letters are outlines 100 high; the pen's are strokes on a grid, y = 1 the base line and y = 9 the top.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from drawing.hand import Dice, Point, Ring, curve, cut, even, line_of, moved
from drawing.plates import Plate

#: Corners x,y of the outer ring first, then of the holes after a "/".
_CUT = {
    "A": "0,0 32,100 66,100 98,0 66,0 61,18 38,18 33,0 / 44,40 50,66 56,40",
    "B": (
        "0,0 2,100 56,100 82,86 82,62 70,52 88,40 88,14 60,0 / 32,62 32,77 48,76 54,69 48,62 / 32,24 32,40 "
        "50,40 57,32 50,24"
    ),
    "C": "82,72 60,72 44,74 33,58 33,42 44,27 82,30 80,2 34,0 4,24 0,70 26,98 80,100",
    "E": "0,0 2,100 74,100 72,73 33,73 33,63 66,62 65,38 32,38 32,27 76,27 75,0",
    "G": "84,72 46,74 33,58 33,42 44,27 58,28 58,36 46,36 46,58 88,58 88,6 60,0 30,2 4,24 0,70 26,98 84,100",
    "H": "0,0 2,100 32,100 31,64 63,63 62,100 93,100 96,0 65,0 64,36 32,37 31,0",
    "I": "1,0 0,100 33,100 34,0",
    "K": "0,0 2,100 33,100 33,66 56,100 92,100 62,54 94,0 58,0 39,34 32,26 32,0",
    "L": "0,0 2,100 34,100 33,29 70,29 69,0",
    "M": "0,0 3,100 34,100 54,58 76,100 106,100 110,0 80,0 78,48 60,14 48,14 31,48 29,0",
    "N": "0,0 2,100 34,100 64,48 64,100 96,100 98,0 66,0 33,50 32,0",
    "O": "30,0 4,24 0,66 26,100 70,98 95,70 92,26 66,2 / 38,30 33,62 44,74 58,70 62,38 52,26",
    "R": "0,0 2,100 60,100 88,82 88,56 68,42 94,0 58,0 38,34 32,34 31,0 / 32,58 32,76 52,75 58,66 52,58",
    "S": "4,4 50,0 80,18 82,46 62,60 36,66 36,73 78,70 80,98 30,100 4,82 2,54 22,42 48,36 48,29 2,32",
    "T": "0,100 84,98 82,70 58,71 60,0 27,0 29,70 1,69",
    "U": "0,100 31,100 32,42 42,29 52,29 61,42 60,100 92,100 90,30 66,0 26,0 2,30",
    "W": "0,100 32,100 42,48 54,90 76,90 86,48 98,100 130,100 106,0 78,0 65,44 52,0 24,0",
    "?": "2,64 4,92 40,100 72,88 76,60 50,44 50,33 21,33 21,52 42,62 40,70 33,72 / 20,0 21,24 50,24 49,0",
    " ": "0,0 34,0",
    "1": "0,80 26,100 46,100 46,0 14,0 15,66 4,62",
    "2": "0,0 2,26 40,58 42,68 34,74 4,66 2,92 40,100 72,86 76,58 44,28 78,28 76,0",
    "3": (
        "2,2 2,30 36,26 44,33 38,40 18,42 18,60 38,62 42,69 34,75 4,70 4,98 46,100 74,84 74,62 60,52 78,38 78,16 50,0"
    ),
    "4": "44,0 44,20 0,20 0,44 38,100 74,100 74,46 84,46 84,20 74,20 74,0 / 28,45 46,45 46,72",
}

#: Strokes as pairs of digits x y; "~" marks a round one.
_PEN = {
    "A": "013961 1454",
    "B": "0109 ~093958563505 ~054564624101",
    "C": "~6849290703214162",
    "D": "0109 ~093967633101",
    "E": "59090151 0545",
    "F": "590901 0545",
    "G": "~68492907032141 416165 6535",
    "H": "0109 6169 0565",
    "I": "1119",
    "J": "~4943311103",
    "K": "0109 5904 2661",
    "L": "090151",
    "M": "0119437981",
    "N": "01096169",
    "O": "~391805123152655839",
    "P": "0109 ~093958563404",
    "Q": "~391805123152655839 4360",
    "R": "0109 ~093958563404 2461",
    "S": "~58391907164453412102",
    "T": "0969 3931",
    "U": "~09051231526569",
    "V": "093169",
    "W": "0921476189",
    "X": "0169 0961",
    "Y": "093569 3531",
    "Z": "09690161",
    "0": "~291805122142554829",
    "1": "072921",
    "2": "~07194957452301 0151",
    "3": "~082949574625 ~254553412102",
    "4": "41490363",
    "5": "590905 ~05365553412102",
    "6": "~49170411315254351503",
    "7": "095921",
    "8": "~39181635545231121435565839",
    "9": "~57452506082949575531",
    ".": "1112",
    ",": "1200",
    "'": "1917",
    "!": "1914 1112",
    "?": "~08294957462524 2221",
    ":": "1211 1615",
    "-": "0535",
    "+": "0545 2723",
    "/": "0149",
    "(": "~2917151321",
    ")": "~0917151301",
}
_GAP, _SPACE = 2.3, 3.4


def cut_word(
    word: str, x: float, y: float, width: float, height: float, dice: Dice, jump: float = 0.02
) -> list[list[Ring]]:
    """Return the letters of a word, cut to fill a box; each as its outer ring and holes."""
    outlines = [_outline(letter) for letter in word]
    inner = [max(px for px, _ in outline[0]) for outline in outlines]
    gap = 9.0
    stretch = width / (sum(inner) + gap * (len(word) - 1))
    letters, pen = [], x
    for letter, outline, wide in zip(word, outlines, inner, strict=True):
        lift, turn = dice.around(jump * height), dice.around(1.6)
        rings = []
        for ring in outline:
            placed = [(px * stretch, py * height / 100) for px, py in ring]
            rings.append(cut(moved(placed, pen, y + lift, turn=turn), dice, 0.012 * height))
        if letter != " ":
            letters.append(rings)
        pen += (wide + gap) * stretch
    return letters


def _outline(letter: str) -> list[Ring]:
    rings: list[Ring] = []
    for ring in _CUT[letter].split(" / "):
        corners = (corner.split(",") for corner in ring.split())
        rings.append([(float(x), float(y)) for x, y in corners])
    return rings


def hand_width(words: str, height: float) -> float:
    """Return how wide the pen writes a line of capitals `height` mm high."""
    return sum(_advance(letter) for letter in words) * height / 8 - _GAP * height / 8


def hand(
    plate: Plate,
    x: float,
    y: float,
    words: str,
    height: float,
    dice: Dice,
    pen: float = 0.0,
    align: float = 0.0,
    tone: float = 1.0,
) -> None:
    """Write a line with the felt pen; `align` 0 starts at x, 0.5 centres on it, 1 ends there."""
    unit = height / 8
    x -= align * hand_width(words, height)
    for letter in words:
        _letter(plate, letter, x, y + dice.around(0.25 * unit), unit, dice.around(2), pen or height * 0.15, dice, tone)
        x += _advance(letter) * unit


def hand_along(plate: Plate, path: Sequence[Point], words: str, height: float, dice: Dice, pen: float = 0.0) -> None:
    """Write along a path as far as the words go; the base line is the path."""
    unit, run, k = height / 8, 0.0, 0
    for letter in words:
        while k + 2 < len(path) and run > math.dist(path[k], path[k + 1]):
            run -= math.dist(path[k], path[k + 1])
            k += 1
        (ax, ay), (bx, by) = path[k], path[k + 1]
        turn = math.degrees(math.atan2(by - ay, bx - ax))
        t = run / math.dist(path[k], path[k + 1])
        _letter(plate, letter, ax + (bx - ax) * t, ay + (by - ay) * t, unit, turn, pen or height * 0.15, dice, 1.0)
        run += _advance(letter) * unit


def _advance(letter: str) -> float:
    if letter == " ":
        return _SPACE + _GAP
    return max(int(c) for stroke in _PEN[letter].split() for c in stroke.strip("~")[::2]) + _GAP


def _letter(
    plate: Plate, letter: str, x: float, y: float, unit: float, turn: float, pen: float, dice: Dice, tone: float
) -> None:
    for stroke in _PEN[letter].split() if letter != " " else ():
        digits = stroke.strip("~")
        points = [
            (int(a) + dice.around(0.16), int(b) - 1 + dice.around(0.16))
            for a, b in zip(digits[::2], digits[1::2], strict=True)
        ]
        way = curve(points, 6) if stroke.startswith("~") else line_of(points, 3)
        plate.stroke(moved(way, x, y, unit, turn), even(pen), tone)
