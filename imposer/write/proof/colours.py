"""What the proof page must know to compute colours: the model's constants for the browser, as plain data.

The shop's papers and inks go in. Colours are linear Rec.2020, rounded to a millionth.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from imposer.ink import defaults
from imposer.ink.colour import SRGB_FROM_REC2020, WHITE, Colour
from imposer.ink.overprint import appearance, shop_model, stated_colour
from imposer.ink.page import shader_constants
from imposer.job.model import Ink, Overprint, Paper, Shop


def model_data() -> dict[str, Any]:
    """Return what holds for all papers and inks."""
    return {
        "floor": defaults.UNCOATED_FLOOR,
        "n": defaults.YULE_NIELSEN_N,
        "white": _colour(WHITE),
        "toSrgb": [[round(float(value), 7) for value in row] for row in SRGB_FROM_REC2020],
    }


def shop_inks(shop: Shop, used: Sequence[Ink]) -> list[dict[str, Any]]:
    """Return every ink of the shop, those in use first: any may take another's place."""
    names = {ink.name for ink in used}
    return [_ink(ink) for ink in (*used, *(ink for ink in shop.inks if ink.name not in names))]


def shop_overprints(shop: Shop) -> list[dict[str, Any]]:
    """Return every overprint that the shop measured, for inks of the job and those that may take their place."""
    return [{"inks": list(each.inks), "colour": _colour(stated_colour(each))} for each in shop.overprints]


def part_colours(paper: Paper, inks: Sequence[Ink], overprints: Sequence[Overprint]) -> dict[str, Any]:
    """Return the paper and the solids of a part, `roots` as the shader wants them.

    With more inks than the model keeps solids for, the page works out those of each page alone: `roots` is None.
    """
    roots = None
    if len(inks) <= defaults.MOST_INKS:
        model = shop_model(paper, inks, overprints)
        roots = [[round(value, 6) for value in root] for root in shader_constants(model).roots]
    return {
        "paper": {"name": paper.name, "hex": paper.colour, "colour": _colour(Colour.from_hex(paper.colour))},
        "inks": [ink.name for ink in inks],
        "roots": roots,
    }


def _ink(ink: Ink) -> dict[str, Any]:
    looks = appearance(ink)
    return {
        "name": ink.name,
        "hex": looks.colour.hex,
        "colour": _colour(looks.colour),
        "gain": looks.gain,
        "opacity": looks.opacity,
        "onScreen": looks.colour.on_screen,
        "measured": ink.lab is not None,
    }


def _colour(colour: Colour) -> list[float]:
    return [round(value, 7) for value in colour.rec2020]
