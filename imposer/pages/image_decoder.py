"""The decoders of image files, made safe: opened for one kind only, their errors in plain words, their chatter kept.

A header goes in, a decoded Pillow image comes out. A module of its own because decoders fail in many ways, and because
one of them talks past Python to the process's standard error.
"""

from __future__ import annotations

import os
import re
import struct
import tempfile
import threading
import warnings
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image, ImageFile
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.TiffImagePlugin import TiffImageFile

from imposer.errors import Fault, ImposerError, one_line
from imposer.pages.image_header import ImageHeader

#: What libtiff says of damaged data (4.7); what it says of odd tags does no harm.
_DAMAGE = re.compile(r"[^\n]*(?:Decode: |Read error|code not yet in table|corrupt)[^\n]*")

#: What Pillow (13.0) says of pixels that it has no mode for: 16 bits or process colours with alpha, planes of 16 bits.
_NO_MODE = frozenset({"unknown pixel mode", "'R'", "'G'", "'B'"})

#: Standard error and Pillow's limit are the whole process's: two TIFFs at once would take each other's.
_ONE_AT_A_TIME = threading.Lock()

#: What decoders raise on damaged files. Broad, for files are hostile; nothing but decoding runs where it is caught.
_DECODING = (
    OSError, SyntaxError, ValueError, TypeError, LookupError, AttributeError, AssertionError, EOFError, ArithmeticError,
    RuntimeError, MemoryError, struct.error, zlib.error, Image.DecompressionBombError,
)  # fmt: skip


@contextmanager
def decoding(shown: str) -> Iterator[None]:
    """Turn whatever a decoder raises into one plain line, and keep its warnings to ourselves."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except _DECODING as error:
        why = one_line(str(error) or type(error).__name__)[:120]
        problem = f"cannot be decoded ({why})"
        mend = "export it again, as 8-bit gray PNG or TIFF"
        if why in _NO_MODE:
            problem = "holds its pixels in a way that no decoder here knows"
            mend = "export it as 8-bit gray, without alpha and not in planes, as PNG or TIFF"
        raise ImposerError(Fault(file=shown, problem=problem, mend=mend)) from error


@contextmanager
def open_image(file: Path, header: ImageHeader) -> Iterator[ImageFile.ImageFile]:
    """Open an image with the one decoder that its header calls for; inside `decoding`.

    The plugin's class is called, not `Image.open`, for that tries 43 formats and keeps a limit on pixels that is one
    for the whole process; ours has been held against the header already. It is given a stream, not a name: files with a
    name are mapped into memory, which goes wrong for a TIFF that is shown on its side (Pillow 13.0).
    """
    with file.open("rb") as stream:
        if header.png:
            yield PngImageFile(stream)
        elif header.jpeg:
            yield JpegImageFile(stream)
        else:
            image = TiffImageFile(stream)
            if header.tiff:
                image.seek(header.tiff.number)
            # Where the tag is missing, the decoder would turn the picture by what XMP says; the tag alone counts here.
            image.info.pop("xmp", None)
            yield image


def try_opening(file: Path, header: ImageHeader, shown: str) -> None:
    """Make sure that there is a decoder for an image, without decoding it.

    Raises:
        ImposerError: there is none, or the file is damaged in its header.
    """
    with decoding(shown), open_image(file, header):
        pass


def load(image: ImageFile.ImageFile, header: ImageHeader) -> None:
    """Decode an opened image; inside `decoding`.

    Raises:
        ValueError: the decoder of TIFFs met damage. It says so on the process's standard error only, and goes on.
    """
    if header.tiff is None:
        image.load()
        return
    with _ONE_AT_A_TIME, _standard_error_kept() as complaints, _pixels_allowed(header):
        image.load()
    damage = _DAMAGE.search(complaints())
    if damage:
        raise ValueError(damage.group())
    if image.size != header.pixels:
        raise ValueError("it came out in another size")


@contextmanager
def _pixels_allowed(header: ImageHeader) -> Iterator[None]:
    """Raise Pillow's limit for the process to the pixels of a header, which were held against our limit before.

    Its reader of TIFFs asks for that once more. The limit is never lowered: other threads work under it too.
    """
    usual = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None if usual is None else max(usual, header.stored[0] * header.stored[1])
    try:
        yield
    finally:
        Image.MAX_IMAGE_PIXELS = usual


@contextmanager
def _standard_error_kept() -> Iterator[Callable[[], str]]:
    """Keep what C code writes to standard error; gives a function that returns it, to be called afterwards."""
    kept: list[str] = []
    with tempfile.TemporaryFile() as written:
        try:
            real = os.dup(2)
        except OSError:
            # There is no standard error to keep clean.
            yield lambda: ""
            return
        os.dup2(written.fileno(), 2)
        try:
            yield lambda: "".join(kept)
        finally:
            os.dup2(real, 2)
            os.close(real)
            written.seek(0)
            kept.append(written.read(1 << 16).decode("utf-8", "replace"))
