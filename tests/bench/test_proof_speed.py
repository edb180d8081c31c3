"""How fast the proof page redraws while a drum is dragged, and how near its pixels are to the library's.

A spread of two pages in four inks, 900 pixels wide, painted by the browser's software renderer, as on a machine
without a graphics processor. Run it alone and see the figures: `pytest tests/bench/test_proof_speed.py -s`.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.write.proof.jobs import bare, grain, patches, proof_of
from tests.write.proof.pages import apart, at_print_pixels, foretold, seen

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)

INKS = ("lamp black", "marigold", "rose", "harbour")
#: Milliseconds a redraw may take, in the middle of forty.
MOST = 100


def test_a_drag_is_redrawn_and_pixels_are_the_librarys(tmp_path):
    first = dict(zip(INKS, [*patches(), bare()], strict=True))
    first["harbour"][400:440, :] = np.linspace(0, 255, 300).astype(np.uint8)
    pages = {ink: [first[ink], grain(i), grain(i + 4), grain(i + 8)] for i, ink in enumerate(INKS)}
    prepared, file = proof_of(tmp_path, pages)
    # The stage is 900 pixels wide beside the panel of 336.
    with Browser(1236, 900) as browser:
        for painter in ("", "#plain"):
            browser.open(file, painter)
            browser.run("start.setPlace(1)")
            # The first shift brings what lies beside the pages on the sheet; a drag then has it.
            browser.run("register.hand.set('1/1', { x: 1, y: 0, turn: 0 }); start.stage.redraw()")
            browser.wait("start.stage.isReady")
            browser.settle()
            milliseconds, drawn = browser.run(
                "(() => { const stage = start.stage, times = [];"
                " for (let i = 1; i <= 40; i += 1) {"
                "  register.hand.set('1/1', { x: i / 10, y: i / 20, turn: i / 5000 });"
                "  register.hand.set('2/1', { x: -i / 10, y: i / 20, turn: 0 });"
                "  const start = performance.now(); stage.draw(); stage.painter.read([400, 300, 401, 301]);"
                "  times.push(performance.now() - start); }"
                " const drawn = [stage.isReady, stage.canvas.width, stage.scene.panels.length];"
                " register.hand.clear(); return [times, drawn]; })()"
            )
            assert drawn == [True, 900, 2]
            browser.run("start.setPlace(0)")
            browser.settle()
            at_print_pixels(browser)
            difference = apart(seen(browser), foretold(prepared, first))
            middle = float(np.median(milliseconds))
            name = "plain" if painter else "shader"
            print(f"\n{name}: redraw {middle:.0f} ms (best {min(milliseconds):.0f}), pixels within {difference} of 255")
            assert difference <= 2
            assert painter or middle <= MOST
