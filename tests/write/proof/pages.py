"""What the tests of the proof page share: where pages lie in the window, and what the library says of their pixels."""

from __future__ import annotations

import json

import numpy as np

from imposer.ink.overprint import shop_model
from imposer.ink.raster import predict_srgb8


def bare_view(browser):
    """Take away all that lies over the print."""
    browser.run("state.pins = 'none'; start.overlay.svg.style.display = 'none'; start.stage.redraw()")
    browser.settle()


def at_print_pixels(browser):
    """Look at the layers pixel by pixel, with nothing over them."""
    browser.run("start.gestures.pixels()")
    bare_view(browser)


def page_box(browser, panel=0):
    """Where a panel of the scene lies in the window: left, top, right, bottom in CSS pixels."""
    return browser.run(
        "(() => { const box = start.stage.canvas.getBoundingClientRect(), density = start.stage.density;"
        f" const area = Affine.box(view.toPixels(start.stage.canvas), start.stage.scene.panels[{panel}].box);"
        " const high = start.stage.canvas.height;"
        " return [box.x + area[0] / density, box.y + (high - area[3]) / density,"
        " box.x + area[2] / density, box.y + (high - area[1]) / density].map(Math.round); })()"
    )


def seen(browser, panel=0):
    """A panel's pixels as they stand in a screenshot of the window."""
    left, top, right, bottom = page_box(browser, panel)
    return browser.screenshot()[top:bottom, left:right]


def foretold(prepared, planes, inks=None, swapped=None, paper=None):
    """The library's picture of some planes: `planes` by ink name."""
    (part,) = prepared.parts
    shop = {ink.name: ink for ink in part.job.shop.inks}
    names = inks if inks is not None else list(planes)
    drums = [shop[(swapped or {}).get(name, name)] for name in names]
    model = shop_model(paper or part.job.sheet.paper, drums, part.job.shop.overprints)
    return predict_srgb8(model, np.stack([planes[name] for name in names]))


def apart(first, second):
    return int(np.abs(first.astype(int) - second.astype(int)).max())


def words(browser, selector):
    return browser.run(f"document.querySelector({json.dumps(selector)}).textContent")


def choose(browser, selector, value):
    """Set a select or a slider, as a hand would."""
    browser.run(
        f"(() => {{ const it = document.querySelector({json.dumps(selector)}); it.value = {json.dumps(value)};"
        " it.dispatchEvent(new Event('input')); it.dispatchEvent(new Event('change')); })()"
    )
    browser.settle()
