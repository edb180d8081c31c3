"""One image as an image object of a PDF, in gray alone.

Gray data that a PDF can hold are copied as they stand: PNG picture data, gray JPEG, one strip of G4 fax or Flate from a
TIFF. All else is decoded and packed again without loss: 8 bits as Flate with the PNG predictor "up", one bit as Flate,
fax as fax. Filters and their parameters: ISO 32000-1, 7.4; image dictionaries: 8.9.5.
"""

from __future__ import annotations

import io
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np
from PIL import Image

from imposer.limits import LIMITS
from imposer.pages.borrowed_streams import borrow, borrows
from imposer.pages.file_streams import copy_pieces, file_stream
from imposer.pages.image_decoder import decoding
from imposer.pages.image_header import ImageHeader
from imposer.pages.image_samples import bands, gray_samples
from imposer.pages.plates import is_black
from imposer.pages.png_file import PngFile
from imposer.pages.tiff_file import TiffFrame, frames_of

if TYPE_CHECKING:
    import pikepdf

#: TIFF compression numbers, TIFF 6.0 section 3 and Adobe's technical notes.
_FAX = frozenset({3, 4})
_FAX_G4 = 4
_FLATE = frozenset({8, 32946})
#: Level 6 packs as well as is worth the time; the tables of zlib, and our measurements agree.
_LEVEL = 6
_UP = 2


@dataclass(frozen=True, slots=True)
class EmbeddedImage:
    """An image object, and how it must still be turned to be as shown (1 … 8: see `exif_turn`)."""

    xobject: pikepdf.Object
    orientation: int


@dataclass(frozen=True, slots=True)
class _Ready:
    """Data of a file that a PDF can hold as they stand: where they lie, and the entries that say how to read them."""

    pieces: tuple[tuple[int, int], ...]
    entries: dict[str, Any]


def embed_image(
    file: Path, header: ImageHeader, shown: str, target: pikepdf.Pdf, plate: str | None = None
) -> EmbeddedImage:
    """Make the image object, of one plate if one is named.

    Raises:
        ImposerError: the file is damaged or has changed.
    """
    # Gray art is its own black plate, and has no other.
    ready = _ready(file, header) if is_black(plate) else None
    if ready is None:
        return _packed(file, header, shown, target, plate)
    entries = _entries(header.stored) | ready.entries
    if borrows(target):
        return EmbeddedImage(borrow(target, file, ready.pieces, entries, shown), header.orientation)

    def copy(stream: BinaryIO) -> None:
        copy_pieces(file, ready.pieces, stream)

    return EmbeddedImage(file_stream(target, copy, entries, shown), header.orientation)


def _entries(size: tuple[int, int]) -> dict[str, Any]:
    return {
        "/Type": "/XObject",
        "/Subtype": "/Image",
        "/Width": size[0],
        "/Height": size[1],
        "/ColorSpace": "/DeviceGray",
    }


def _ready(file: Path, header: ImageHeader) -> _Ready | None:
    """Return the data that can be copied as they stand, if they can."""
    if header.png:
        return _ready_png(header.png)
    if header.jpeg and header.jpeg.parts == 1 and header.jpeg.fits_pdf:
        entries = {"/BitsPerComponent": 8, "/Filter": "/DCTDecode"}
        return _Ready(((0, file.stat().st_size),), entries)
    return _ready_tiff(header.tiff) if header.tiff else None


def _ready_png(png: PngFile) -> _Ready | None:
    """Gray of up to 8 bits, not interlaced, nothing clear; or a one-bit palette of grays, told by /Decode."""
    if png.interlaced or png.transparency or png.depth == 16:
        return None
    decode: dict[str, Any] = {}
    if png.colour_type == 3 and png.depth == 1:
        first, second = png.palette[:3], png.palette[3:6]
        if {first, second} != {b"\0\0\0", b"\xff\xff\xff"}:
            return None
        decode = {"/Decode": [first[0] // 255, second[0] // 255]}
    elif png.colour_type != 0:
        return None
    parameters = {"/Predictor": 15, "/Colors": 1, "/BitsPerComponent": png.depth, "/Columns": png.width}
    return _Ready(
        png.data,
        {"/BitsPerComponent": png.depth, "/Filter": "/FlateDecode", "/DecodeParms": parameters} | decode,
    )


def _ready_tiff(frame: TiffFrame) -> _Ready | None:
    """One strip of plain gray: G4 fax, or Flate of 1 or 8 bits."""
    if not frame.single_strip or not frame.is_plain_gray or frame.fill_order != 1:
        return None
    white_is_zero = frame.photometric == 0
    if frame.compression == _FAX_G4 and frame.bits == (1,) and not frame.t6_options:
        # Fax data code white and black runs; /BlackIs1 false gives 0 for black, which is what white-is-zero means.
        parameters = {"/K": -1, "/Columns": frame.width, "/Rows": frame.height, "/BlackIs1": not white_is_zero}
        entries = {"/BitsPerComponent": 1, "/Filter": "/CCITTFaxDecode", "/DecodeParms": parameters}
        return _Ready((frame.single_strip,), entries)
    if frame.compression in _FLATE and (frame.bits == (8,) or (frame.bits == (1,) and frame.predictor == 1)):
        entries = {"/BitsPerComponent": frame.bits[0], "/Filter": "/FlateDecode"}
        if frame.predictor == 2:
            entries["/DecodeParms"] = {"/Predictor": 2, "/Colors": 1, "/BitsPerComponent": 8, "/Columns": frame.width}
        elif frame.predictor != 1:
            return None
        return _Ready((frame.single_strip,), entries | ({"/Decode": [1, 0]} if white_is_zero else {}))
    return None


def _packed(file: Path, header: ImageHeader, shown: str, target: pikepdf.Pdf, plate: str | None) -> EmbeddedImage:
    """Decode an image and pack it again without loss."""
    samples = gray_samples(file, header, shown, plate=plate)
    image = samples.image
    entries = _entries(image.size) | {"/BitsPerComponent": 1 if image.mode == "1" else 8}
    if image.mode == "1" and header.tiff and header.tiff.compression in _FAX:
        parameters = {"/K": -1, "/Columns": image.width, "/Rows": image.height, "/BlackIs1": True}
        entries |= {"/Filter": "/CCITTFaxDecode", "/DecodeParms": parameters}
        with decoding(shown):
            fax = _fax_data(image)
        xobject = file_stream(target, lambda stream: _write(stream, fax), entries, shown)
        return EmbeddedImage(xobject, samples.orientation)
    entries["/Filter"] = "/FlateDecode"
    if image.mode == "L":
        entries["/DecodeParms"] = {"/Predictor": 15, "/Colors": 1, "/BitsPerComponent": 8, "/Columns": image.width}
    xobject = file_stream(target, lambda stream: _write_flate(stream, image), entries, shown)
    return EmbeddedImage(xobject, samples.orientation)


def _write(stream: BinaryIO, data: bytes) -> None:
    stream.write(data)


def _write_flate(stream: BinaryIO, image: Image.Image) -> None:
    """Write rows as Flate, band by band: one bit as it is, 8 bits with the difference from the row above."""
    packer = zlib.compressobj(_LEVEL)
    above = np.zeros((1, image.width), dtype=np.uint8)
    for top, bottom in bands(image.height):
        band = image.crop((0, top, image.width, bottom))
        if image.mode == "1":
            stream.write(packer.compress(band.tobytes()))
            continue
        rows = np.asarray(band)
        filtered = np.empty((bottom - top, image.width + 1), dtype=np.uint8)
        filtered[:, 0] = _UP
        filtered[:, 1:] = rows - np.concatenate((above, rows[:-1]))
        above = rows[-1:]
        stream.write(packer.compress(filtered.data))
    stream.write(packer.flush())


def _fax_data(image: Image.Image) -> bytes:
    """Return one-bit samples as one strip of G4 fax, black-is-zero, for /BlackIs1 true."""
    packed = io.BytesIO()
    # A picture that was read from a TIFF would be written in that file's order of bits: it must have no file's tags.
    # 278: all rows in one strip; 266: the highest bit first.
    plain = image.crop((0, 0, *image.size))
    plain.save(packed, "TIFF", compression="group4", tiffinfo={278: image.height, 266: 1})
    (frame,) = frames_of(packed, LIMITS)
    if frame.single_strip is None or frame.photometric != 1 or frame.fill_order != 1:
        raise ValueError("fax data came out in pieces")
    offset, length = frame.single_strip
    return packed.getvalue()[offset : offset + length]
