"""Finished output read as a stranger would: plan.json for what should be where, pdfium for what is there."""

from __future__ import annotations

import json

import numpy as np
import pypdfium2

from tests.oracle import matches

MM = 25.4


def render(file, index, ppi, size_mm):
    """One page of a PDF as tones: (height, width) uint8, 0 = paper, 255 = full tone; nothing stretched."""
    shape = tuple(round(side * ppi / MM) for side in size_mm[::-1])
    with pypdfium2.PdfDocument(file) as document:
        page = document[index]
        tones = window(page, ppi, shape, (page.get_width() / 72 * MM / 2, page.get_height() / 72 * MM / 2))
        page.close()
    return tones


def window(page, ppi, shape, centre_mm):
    """A window of a page at `ppi` whose middle lies on a point of the page (mm, origin lower left)."""
    height, width = shape
    scale = ppi / 72
    bitmap = pypdfium2.PdfBitmap.new_native(width, height, pypdfium2.raw.FPDFBitmap_Gray)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    left = width / 2 - centre_mm[0] * ppi / MM
    top = height / 2 - (page.get_height() * scale - centre_mm[1] * ppi / MM)
    matrix = pypdfium2.raw.FS_MATRIX(scale, 0, 0, scale, left, top)
    clip = pypdfium2.raw.FS_RECTF(0, 0, width, height)
    flags = pypdfium2.raw.FPDF_ANNOT | pypdfium2.raw.FPDF_GRAYSCALE
    pypdfium2.raw.FPDF_RenderPageBitmapWithMatrix(bitmap, page, matrix, clip, flags)
    return (255 - bitmap.to_numpy().reshape(height, width)).astype(np.uint8)


def panels(out, ppi, shape=None):
    """Every panel of every master, upright, by (page, ink): a window on the middle of the trim box of plan.json.

    `shape` is the size of the window as the page stands upright, in pixels; the trim's own size if left out. So an
    image's pixels fall on pixels of the window, wherever on the sheet the panel lies.
    """
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    sides = {sheet["number"]: sheet for sheet in plan["sheets"]}
    for run in plan["passes"]:
        for master in run["masters"]:
            with pypdfium2.PdfDocument(out / master["file"]) as document:
                for index, number in enumerate(master["sheets"]):
                    page = document[index]
                    for panel in sides[number][run["side"]]:
                        if panel["page"] is not None and panel["copy"] == 1:
                            yield (panel["page"], master["ink"]), _upright(page, panel, ppi, shape)
                    page.close()


def _upright(page, panel, ppi, shape):
    x0, y0, x1, y1 = panel["trim"]
    turned = panel["rotation"] in (90, 270)
    lying = tuple(round(side * ppi / MM) for side in (y1 - y0, x1 - x0))
    if shape is not None:
        lying = shape[::-1] if turned else shape
    return np.rot90(window(page, ppi, lying, ((x0 + x1) / 2, (y0 + y1) / 2)), -panel["rotation"] // 90)


def upright(tones, panel, ppi, sheet_height):
    """Cut a panel's trim out of a sheet's tones, to whole pixels, and turn it back."""
    x0, y0, x1, y1 = panel["trim"]
    scale = ppi / MM
    top, left = round((sheet_height - y1) * scale), round(x0 * scale)
    high, wide = round((y1 - y0) * scale), round((x1 - x0) * scale)
    return np.rot90(tones[top : top + high, left : left + wide], -panel["rotation"] // 90)


def outside(source, placed):
    """Share of pixels that tell two renderings of one page apart, over what both cover and inside the cut."""
    high, wide = min(source.shape[0], placed.shape[0]), min(source.shape[1], placed.shape[1])
    return matches(source[:high, :wide], placed[:high, :wide], border=2)
