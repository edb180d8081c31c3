"""A PDF page as a viewer shows it, and the same page placed by us: two pictures that must be the same.

The viewer is PDFium, which wrote none of our files; it is called here directly, in this process, with its own handling
of boxes, turns, annotations, fields and layers.
"""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw as raw

from imposer.geometry import Transform
from imposer.pages import pdfs

#: Pixels an inch of every comparison: two for each point.
PPI = 144


def as_viewed(file, index=0, unit=1.0, password=None, ppi=PPI):
    """Return a page's tones as the viewer draws it for print; the viewer knows no `/UserUnit`, so say it."""
    with pypdfium2.PdfDocument(file, password=password) as document:
        form = None
        if document.get_formtype():
            document.init_forms()
            form = document.formenv
        page = document[index]
        scale = ppi / 72 * unit
        width, height = (round(side * scale) for side in page.get_size())
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, raw.FPDFBitmap_Gray)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        raw.FPDF_RenderPageBitmap(bitmap.raw, page.raw, 0, 0, width, height, 0, raw.FPDF_ANNOT | raw.FPDF_PRINTING)
        if form is not None:
            raw.FPDF_FFLDraw(form, bitmap.raw, page.raw, 0, 0, width, height, 0, raw.FPDF_ANNOT | raw.FPDF_PRINTING)
        found = 255 - bitmap.to_numpy().reshape(height, -1)[:, :width].copy()
        bitmap.close()
        page.close()
    return found


def placed(source, turn=0, ppi=PPI):
    """Return a page's tones after it was embedded and drawn on a sheet of its size with a turn, turned back."""
    sheet = sheet_of(source, turn)
    return np.rot90(as_viewed(sheet, ppi=ppi), -turn // 90)


def sheet_of(source, turn=0):
    """Return a PDF whose one page is the page's art, turned counter-clockwise."""
    target = pikepdf.Pdf.new()
    size = source.size
    points = Transform.scale(72 / 25.4, 72 / 25.4)
    shown = size if turn in (0, 180) else size.turned
    target.add_blank_page(page_size=(shown.width * 72 / 25.4, shown.height * 72 / 25.4))
    embedded = pdfs.embed(source, size, target)
    matrix = embedded.to_art.then(Transform.quarter_turn(turn, size)).then(points)
    page = target.pages[0]
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=embedded.xobject))
    page.Contents = target.make_stream(b"q " + " ".join(f"{n:.6f}" for n in matrix).encode() + b" cm /P Do Q")
    saved = io.BytesIO()
    target.save(saved)
    return saved.getvalue()
