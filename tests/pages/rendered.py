"""Art placed on a page of a PDF and rendered at its own resolution by a renderer that did not write it (PDFium)."""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pypdfium2

POINTS_PER_MM = 72 / 25.4


def placed_pdf(reader, sources, at=(0.0, 0.0), page=(100.0, 100.0)):
    """Return a PDF of a page for each (source, size): the art's lower left corner at `at`, mm; page in points."""
    target = pikepdf.new()
    for source, size in sources:
        made = reader.embed(source, size, target)
        a, b, c, d, e, f = made.to_art
        k = POINTS_PER_MM
        matrix = (a * k, b * k, c * k, d * k, (e + at[0]) * k, (f + at[1]) * k)
        sheet = target.add_blank_page(page_size=page)
        sheet.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Art=made.xobject))
        sheet.Contents = target.make_stream(("q " + "%.6f " * 6 % matrix + "cm /Art Do Q").encode())
    saved = io.BytesIO()
    target.save(saved, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return saved.getvalue()


def tones_of(pdf, pixels, index=0):
    """Return a page rendered in gray as tones, 255 = full ink; the page is stretched over `pixels`."""
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[index]
        width, height = pixels
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, pypdfium2.raw.FPDFBitmap_Gray)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        pypdfium2.raw.FPDF_RenderPageBitmap(bitmap.raw, page.raw, 0, 0, width, height, 0, 0)
        found = 255 - bitmap.to_numpy().reshape(height, -1)[:, :width].copy()
        bitmap.close()
        page.close()
    return found


def first_image(pdf, index=0):
    """Return the entries and the raw data of the image on a page, read by pikepdf."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        image = document.pages[index].Resources.XObject.Art
        entries = {key: _plain(image[key]) for key in image.keys() if key != "/Length"}  # noqa: SIM118 - an object
        return entries, image.read_raw_bytes()


def _plain(value):
    if isinstance(value, pikepdf.Dictionary):
        return {key: _plain(value[key]) for key in value.keys()}  # noqa: SIM118
    if isinstance(value, pikepdf.Array):
        return [_plain(item) for item in value]
    return str(value) if isinstance(value, pikepdf.Name) else value


def as_shown(stored, orientation):
    """Return samples as an orientation says they are shown, pixel by pixel.

    The table of TIFF 6.0, tag 274, gives for each number where the stored first row and first column are shown.
    """
    row_0, column_0 = {
        1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
        5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
    }[orientation]  # fmt: skip
    height, width = stored.shape
    upright = row_0 in ("top", "bottom")
    shown = np.empty((height, width) if upright else (width, height), dtype=stored.dtype)
    for row in range(height):
        for column in range(width):
            along_row = row if row_0 in ("top", "left") else height - 1 - row
            along_column = column if column_0 in ("left", "top") else width - 1 - column
            shown[(along_row, along_column) if upright else (along_column, along_row)] = stored[row, column]
    return shown
