"""What an image file says about itself, of whatever kind it is, and what is refused before anything is decoded."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from imposer.errors import Fault, ImposerError, unreadable
from imposer.limits import Limits, check_file_size, millions, or_raise
from imposer.pages.exif_turn import shown_size, valid
from imposer.pages.jpeg_file import JpegFile, read_jpeg
from imposer.pages.png_file import SIGNATURE, DamagedError, PngFile, read_png
from imposer.pages.resolution import EXIF_UNKNOWN, believed
from imposer.pages.tiff_file import TiffFrame, read_tiff

_EXPORT_GRAY = "export it as 8-bit gray"
#: TIFF 6.0, tag 262, and what people call them; 0 … 6 are read.
_UNREAD_COLOURS = {4: "a mask", 8: "Lab colour", 9: "Lab colour", 10: "Lab colour", 32803: "raw camera data"}
_CM_PER_INCH = 2.54


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageHeader:
    """One image of a file, known from its header. One of `png`, `jpeg` and `tiff` is there and tells the kind."""

    #: Width and height of the samples as stored, px.
    stored: tuple[int, int]
    #: How they are shown, 1 … 8: see `exif_turn`.
    orientation: int
    #: Pixels an inch across and down of the picture as shown; None if the file states none that can be believed.
    ppi: tuple[float, float] | None
    #: Whether the samples could be coloured.
    coloured: bool
    png: PngFile | None = None
    jpeg: JpegFile | None = None
    tiff: TiffFrame | None = None

    @property
    def pixels(self) -> tuple[int, int]:
        """Width and height as shown."""
        return shown_size(self.stored, self.orientation)


def read_headers(file: Path, shown: str, limits: Limits) -> tuple[ImageHeader, ...]:
    """Read the headers of all images in a file.

    Raises:
        ImposerError: the file cannot be read, is damaged, is too large, or is of a kind that is not read here.
    """
    try:
        check_file_size(file.stat().st_size, shown, limits)
        headers = _headers(file, limits)
    except OSError as error:
        raise unreadable(shown, error) from error
    except DamagedError as error:
        raise ImposerError(Fault(file=shown, problem=str(error), mend=error.mend)) from error
    faults = [fault for header in headers if (fault := _refused(header, shown, limits))]
    if faults:
        raise ImposerError(faults)
    return headers


def _headers(file: Path, limits: Limits) -> tuple[ImageHeader, ...]:
    with file.open("rb") as stream:
        head = stream.read(8)
    if head == SIGNATURE:
        return (_png_header(read_png(file, limits)),)
    if head.startswith(b"\xff\xd8"):
        return (_jpeg_header(read_jpeg(file, limits)),)
    return tuple(_tiff_header(frame) for frame in read_tiff(file, limits))


def _png_header(png: PngFile) -> ImageHeader:
    orientation, _ = _exif(png.exif)
    return ImageHeader(
        stored=(png.width, png.height),
        orientation=orientation,
        ppi=_as_shown(believed(png.ppi), orientation),
        coloured=png.colour_type in (2, 3, 6),
        png=png,
    )


def _jpeg_header(jpeg: JpegFile) -> ImageHeader:
    orientation, exif_ppi = _exif(jpeg.exif)
    return ImageHeader(
        stored=(jpeg.width, jpeg.height),
        orientation=orientation,
        ppi=_as_shown(believed(jpeg.ppi) or believed(exif_ppi), orientation),
        coloured=jpeg.parts > 1,
        jpeg=jpeg,
    )


def _tiff_header(frame: TiffFrame) -> ImageHeader:
    orientation = valid(frame.orientation)
    return ImageHeader(
        stored=(frame.width, frame.height),
        orientation=orientation,
        ppi=_as_shown(believed(frame.ppi), orientation),
        coloured=frame.photometric not in (0, 1),
        tiff=frame,
    )


def _as_shown(ppi: tuple[float, float] | None, orientation: int) -> tuple[float, float] | None:
    """Return the resolution with across and down changed where the picture is shown on its side."""
    return None if ppi is None else (ppi[1], ppi[0]) if orientation >= 5 else ppi


def _exif(block: bytes) -> tuple[int, tuple[float, float] | None]:
    """Return the orientation and the resolution of an Exif block; a broken block states neither."""
    if not block:
        return 1, None
    exif = Image.Exif()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            exif.load(b"Exif\0\0" + block)
            turn, across, down, unit = (exif.get(tag) for tag in (0x0112, 0x011A, 0x011B, 0x0128))
            factor = {2: 1.0, 3: _CM_PER_INCH}.get(unit if isinstance(unit, int) else 2)
            ppi = None if factor is None or not across or not down else (float(across) * factor, float(down) * factor)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, ArithmeticError, AttributeError):
        return 1, None
    return valid(turn), None if ppi == (EXIF_UNKNOWN, EXIF_UNKNOWN) else ppi


def _refused(header: ImageHeader, shown: str, limits: Limits) -> Fault | None:
    """Return why an image cannot be used though its header is whole."""
    width, height = header.stored
    if max(width, height) > limits.image_side:
        problem = f"is {width} × {height} px; no side may have more than {limits.image_side}"
        mend = or_raise("image_side", "export it at the size of the page, at 600 ppi or less")
        return Fault(file=shown, problem=problem, mend=mend)
    if width * height > limits.image_pixels:
        problem = f"is {width} × {height} px, more than the {millions(limits.image_pixels)} px that are read"
        return Fault(file=shown, problem=problem, mend=or_raise("image_pixels", "export it at 600 ppi or less"))
    if header.jpeg and header.jpeg.depth != 8:
        problem = f"is a JPEG of {header.jpeg.depth} bits a sample; only 8 are read"
        return Fault(file=shown, problem=problem, mend=_EXPORT_GRAY)
    return _refused_tiff(header.tiff, shown) if header.tiff else None


def _refused_tiff(frame: TiffFrame, shown: str) -> Fault | None:
    """Return why a TIFF's samples cannot be used."""
    problem = ""
    if frame.sample_format == 3:
        problem = "holds floating-point numbers, which state no paper white"
    elif frame.sample_format == 2 and max(frame.bits) > 8:
        problem = "holds numbers with a sign, which state no paper white"
    elif max(frame.bits) > 16:
        problem = f"has {max(frame.bits)} bits a sample; at most 16 are read"
    elif frame.photometric in _UNREAD_COLOURS:
        problem = f"holds {_UNREAD_COLOURS[frame.photometric]}, which is not read here"
    return Fault(file=shown, problem=problem, mend=_EXPORT_GRAY) if problem else None
