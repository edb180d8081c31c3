"""Draw the zine: python demo_zine/draw.py [--into FOLDER] [--pages 1,2,16] [--mini].

The black drawing comes out as one image a page (`black/`), the lamp light as one PDF of sixteen pages
(`marigold.pdf`), the night as a small PDF for each of the few pages that have one (`blue/`). The same files come out
on every run. `--mini` draws the eight small pages of the mini zine in `mini/` instead.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import reportlab.rl_config
from drawing.comic import a_ticket, last_bus
from drawing.cover import cover
from drawing.fog import fog
from drawing.hours import the_hours
from drawing.late import colophon, night_log, tree_sugar, who_came
from drawing.middle import over_the_roofs, round_and_round
from drawing.mini import MINI
from drawing.mini import PAGES as MINI_PAGES
from drawing.opening import endpaper, what_it_is
from drawing.plates import WIDTH, Nowhere, Page, Raster, Vectors, new_pdf
from drawing.way import the_way

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True)
class Drawn:
    """How a page is drawn."""

    draw: Callable[[Page], None]
    blue: bool = False
    #: The left half of a drawing that crosses the fold.
    left: bool = False
    #: Dots to the inch of the black plate: lines want the press's own resolution, a photograph half of it.
    resolution: int = 600


PAGES = {
    1: Drawn(cover, blue=True),
    2: Drawn(endpaper),
    3: Drawn(what_it_is),
    4: Drawn(the_hours),
    5: Drawn(the_way),
    6: Drawn(fog, resolution=300),
    7: Drawn(round_and_round),
    8: Drawn(over_the_roofs, blue=True, left=True),
    9: Drawn(over_the_roofs, blue=True),
    10: Drawn(tree_sugar),
    11: Drawn(who_came),
    12: Drawn(last_bus),
    13: Drawn(a_ticket),
    14: Drawn(night_log),
    15: Drawn(colophon),
    16: Drawn(cover, blue=True, left=True),
}


def draw(folder: Path, numbers: list[int]) -> None:
    """Draw the pages with these numbers; the marigold PDF always has all sixteen, the others left blank."""
    reportlab.rl_config.useA85 = 0  # a quarter smaller
    for name in ("black", "blue"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    gold = new_pdf(folder / "marigold.pdf", "Moth Hours, marigold")
    for number in range(1, 17):
        if number in numbers:
            drawn = PAGES[number]
            shift = WIDTH if drawn.left else 0.0
            black = Raster(drawn.resolution, shift)
            blue = new_pdf(folder / "blue" / f"page-{number:02}.pdf", "Moth Hours, blue") if drawn.blue else None
            drawn.draw(Page(black, Vectors(gold, shift), Vectors(blue, shift) if blue else Nowhere()))
            black.save(folder / "black" / f"page-{number:02}.png")
            if blue:
                blue.showPage()
                blue.save()
        gold.showPage()
    gold.save()


def draw_mini(folder: Path) -> None:
    """Draw the mini zine: one image a page in black, one PDF in marigold."""
    reportlab.rl_config.useA85 = 0
    (folder / "black").mkdir(parents=True, exist_ok=True)
    gold = new_pdf(folder / "marigold.pdf", "How to Wait for a Moth, marigold", MINI)
    for number, draw_page in enumerate(MINI_PAGES, start=1):
        black = Raster(600, trim=MINI)
        draw_page(Page(black, Vectors(gold)))
        black.save(folder / "black" / f"page-{number}.png")
        gold.showPage()
    gold.save()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--into", type=Path, default=HERE, help="the folder to draw into")
    parser.add_argument("--pages", default=",".join(map(str, PAGES)), help="which pages, such as 1,2,16")
    parser.add_argument("--mini", action="store_true", help="draw the mini zine instead")
    asked = parser.parse_args()
    if asked.mini:
        draw_mini(asked.into / "mini")
        return
    draw(asked.into, [int(number) for number in asked.pages.split(",")])


if __name__ == "__main__":
    main()
