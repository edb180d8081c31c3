"""What cannot be rewritten in; a gray image that the renderer made of it out: one image, or a whole page."""

from __future__ import annotations

import re
import warnings
from typing import TYPE_CHECKING, BinaryIO

import numpy as np
import pikepdf

from imposer.geometry import Size
from imposer.pages.colour_scan import pixels_of, whole_drawing
from imposer.pages.file_streams import file_stream
from imposer.pages.filters import normalise_filters
from imposer.pages.gray_packing import gray_entries, pack_gray
from imposer.pages.luminance import gray_of_cmyk, gray_of_rgb
from imposer.pages.pdf_source import PdfSource
from imposer.pages.render import render_tones
from imposer.pages.scratch import scratch_file
from imposer.pages.steady_save import save_steadily
from imposer.units import from_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Resolution at which what stays no drawing is rasterised, ppi.
RASTER_PPI = 600.0
#: What an image keeps when the renderer draws it.
_KEPT = ("/SMask", "/Mask", "/Interpolate")


def rendered_image(source: PdfSource, index: int, image: pikepdf.Object) -> pikepdf.Object:
    """Return an image of the file as the renderer sees it, in gray, at its own number of pixels.

    Raises:
        ImposerError: the renderer cannot draw it either.
    """
    key = ("rendered image", image.objgen)
    if key not in source.seen:
        width, height = (max(1, side) for side in pixels_of(image))
        # A page has 3 to 14,400 points a side (ISO 32000-1, Annex C.2), whatever the image has.
        points = (_side(width), _side(height))
        pdf = pikepdf.Pdf.new()
        pdf.add_blank_page(page_size=points)
        alone = pdf.copy_foreign(image)
        kept = [name for name in _KEPT if name in image and not isinstance(image[name], pikepdf.Array)]
        for name in kept:
            # A mask belongs to the new image: through both, what it lets through by half would be a quarter.
            del alone[name]
        pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=alone))
        pdf.pages[0].Contents = pdf.make_stream(f"{points[0]:.6f} 0 0 {points[1]:.6f} 0 0 cm /I Do".encode())
        tones = _rendered(source, index, pdf, Size(from_points(points[0]), from_points(points[1])))
        made = gray_stream(source, tones)
        for name in kept:
            made[name] = image[name]
        source.seen[key] = made
    found: pikepdf.Object = source.seen[key]
    return found


def _side(pixels: int) -> float:
    """Return a side of the page that an image is drawn on, points."""
    return min(14_400.0, max(3.0, pixels * 72 / RASTER_PPI))


def rendered_page(source: PdfSource, index: int, form: pikepdf.Object | None) -> pikepdf.Object:
    """Return a whole page as a gray image of its art space.

    Args:
        source: the file.
        index: which page, from 0.
        form: the page as a form that is gray as far as it can be; None where there is none.

    Raises:
        ImposerError: the page cannot be rendered within the limits.
    """
    key = ("rendered page", index)
    if key not in source.seen:
        space = source.space(index)
        pdf = pikepdf.Pdf.new()
        with warnings.catch_warnings():
            # Of form fields that stay behind: they were drawn into the page when the file was opened.
            warnings.simplefilter("ignore")
            pdf.pages.append(source.pdf.pages[index])
        page = pdf.pages[0].obj
        box = space.box
        page.MediaBox = page.CropBox = pikepdf.Array([round(one, 6) for one in (box.x0, box.y0, box.x1, box.y1)])
        if form is None:
            page.Contents = pdf.make_stream(_gray_operators(whole_drawing(source, index)))
        else:
            page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=pdf.copy_foreign(form)))
            page.Contents = pdf.make_stream(b"/P Do")
        source.seen[key] = gray_stream(source, _rendered(source, index, pdf, space.size))
    found: pikepdf.Object = source.seen[key]
    return found


_NUMBER = rb"[-+]?(?:\d+\.?\d*|\.\d+)\s+"
_COLOUR = re.compile(rb"(?<![^\s\]>)])(?:(" + _NUMBER * 3 + rb")(rg|RG)|(" + _NUMBER * 4 + rb")(k|K))(?!\S)")


def _gray_operators(drawing: bytes) -> bytes:
    """Turn plain colours to gray by their looks alone, in a drawing that is too long to be parsed.

    The renderer has a rule of its own for black ink, and 100 % must stay 100 %. A text that reads like a colour is
    changed too.
    """

    def gray(match: re.Match[bytes]) -> bytes:
        parts = [min(1.0, max(0.0, float(one))) for one in (match[1] or match[3]).split()]
        value = gray_of_rgb(*parts) if match[1] else gray_of_cmyk(*parts)
        name = match[2] or match[4]
        return f"{value:.5f} {'G' if name.isupper() else 'g'}".encode()

    return _COLOUR.sub(gray, drawing)


def _rendered(source: PdfSource, index: int, pdf: pikepdf.Pdf, size: Size) -> NDArray[np.uint8]:
    normalise_filters(pdf)
    with scratch_file(".pdf", source.shown) as file:
        save_steadily(pdf, file)
        return render_tones(
            file, 0, size, RASTER_PPI, shown=source.shown, place=source.place(index), limits=source.limits
        )


def gray_stream(source: PdfSource, tones: NDArray[np.uint8]) -> pikepdf.Object:
    """Return tones (255 = full tone) as a gray image of the source's PDF."""
    height, width = tones.shape
    gray = np.bitwise_not(tones)

    def write(stream: BinaryIO) -> None:
        pack_gray(iter([gray]), width, stream)

    return file_stream(source.pdf, write, gray_entries(width, height), source.shown)
