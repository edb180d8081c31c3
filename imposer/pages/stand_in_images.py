"""An image of a PDF in; what stands for it on one plate out, where its samples need not be decoded for that."""

from __future__ import annotations

from typing import TYPE_CHECKING, BinaryIO

import pikepdf

from imposer.pages.file_streams import file_stream
from imposer.pages.pdf_objects import entries_of

if TYPE_CHECKING:
    from imposer.pages.pdf_source import PdfSource


def bare_image(source: PdfSource, image: pikepdf.Object) -> pikepdf.Object:
    """Return one white pixel that lies where the image lies, and is seen through where it is."""
    made = source.pdf.make_stream(b"\xff")
    made.Type, made.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
    made.Width = made.Height = 1
    made.ColorSpace, made.BitsPerComponent = pikepdf.Name.DeviceGray, 8
    for key in ("/SMask", "/Mask"):
        if key in image:
            made[key] = image[key]
    return made


def same_samples(source: PdfSource, image: pikepdf.Object) -> pikepdf.Object:
    """Return another image with the same data, coded as they are, whose meaning can be changed alone."""
    made = file_stream(source.pdf, lambda stream: _write(image, stream), {}, source.shown)
    for key, value in entries_of(image).items():
        if key != "/Length":
            made[key] = value
    return made


def _write(image: pikepdf.Object, stream: BinaryIO) -> None:
    stream.write(image.read_raw_bytes())
