"""The data of an image in a PDF in; its samples as numbers out, in bands of rows, whatever the coding."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import pikepdf
from PIL import Image, ImageChops
from PIL.Jpeg2KImagePlugin import Jpeg2KImageFile
from PIL.JpegImagePlugin import JpegImageFile

from imposer.limits import Limits
from imposer.pages.pdf_functions import unpack
from imposer.pages.pdf_objects import copy_of, name_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Samples that are worked on at once.
_BAND = 4_000_000
_JPEG = ("/DCTDecode", "/DCT")
#: What Pillow raises on damaged data; nothing but decoding runs where it is caught.
_DECODING = (OSError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError, EOFError, MemoryError)


class SamplesError(ValueError):
    """An image whose samples cannot be had."""


@dataclass(frozen=True, slots=True)
class Samples:
    """The samples of one image."""

    width: int
    height: int
    components: int
    bits: int
    #: A decoded picture, or raw rows, each padded to a byte.
    _picture: Image.Image | bytes
    #: Alpha that came with the data (JPEG 2000), (height, width).
    alpha: NDArray[np.uint8] | None = None
    #: The samples are the gray already that a coloured image stands for.
    gray: bool = False

    def bands(self, multiple: int = 1) -> Iterator[NDArray[np.uint8] | NDArray[np.uint16]]:
        """Give the samples, (rows, width, components), in bands of a whole multiple of rows (but the last)."""
        rows = max(1, _BAND // (self.width * self.components) // multiple) * multiple
        for top in range(0, self.height, rows):
            count = min(rows, self.height - top)
            if isinstance(self._picture, bytes):
                yield self._raw(self._picture, top, count)
            else:
                band = np.asarray(self._picture.crop((0, top, self.width, top + count)))
                yield band.reshape(count, self.width, self.components)

    def _raw(self, data: bytes, top: int, count: int) -> NDArray[np.uint8] | NDArray[np.uint16]:
        across = self.width * self.components
        stride = (across * self.bits + 7) // 8
        piece = data[top * stride : (top + count) * stride].ljust(count * stride, b"\0")
        shape = (count, self.width, self.components)
        if self.bits == 8:
            return np.frombuffer(piece, np.uint8).reshape(shape)
        if self.bits == 16:
            return np.frombuffer(piece, ">u2").astype(np.uint16).reshape(shape)
        each = 8 // self.bits
        padded = unpack(piece, self.bits, count * stride * each).astype(np.uint8)
        return padded.reshape(count, stride * each)[:, :across].reshape(shape)


def filters_of(stream: pikepdf.Object) -> list[str]:
    """Return the names of a stream's filters, in the order they are undone."""
    found = stream.get("/Filter")
    if isinstance(found, pikepdf.Array):
        return [name_of(one) for one in found.as_list()]
    return [] if found is None else [name_of(found)]


def read_samples(image: pikepdf.Object, limits: Limits, *, about: int | None = None, light: bool = False) -> Samples:
    """Return an image's samples.

    Args:
        image: an image that is no stencil mask.
        limits: pixels and bytes it may have.
        about: a longer side that is enough: a JPEG is decoded to the next size above it that it has.
        light: whether the lightness of a JPEG in colour is enough: it is a third of the memory.

    Raises:
        SamplesError: the data are damaged, beyond the limits or of a coding that is not read here.
    """
    width, height = _size(image)
    if width * height > limits.image_pixels:
        raise SamplesError(f"it has {width} × {height} pixels")
    filters = filters_of(image)
    if filters and filters[-1] in _JPEG:
        return _jpeg(image, (width, height), about, light)
    if filters and filters[-1] == "/JPXDecode":
        return _jpeg_2000(image, limits)
    return _plain(image, width, height, limits)


def has_end(coding: str) -> bool:
    """Tell whether data in this coding end with a mark of their own."""
    return coding in (*_JPEG, "/JPXDecode")


def samples_due(image: pikepdf.Object) -> int:
    """Return how many bytes an image's samples take once they are unfolded; a stencil mask has one bit a pixel.

    Raises:
        SamplesError: it does not say what its samples are.
    """
    width, height = _size(image)
    stencil = bool(image.get("/ImageMask", False))
    bits, components = (1, 1) if stencil else (_bits(image), _components(image))
    return _unfolded(width, height, components, bits)


def _unfolded(width: int, height: int, components: int, bits: int) -> int:
    """Return the bytes of so many samples, each row filled up to a whole one."""
    return (width * components * bits + 7) // 8 * height


def _size(image: pikepdf.Object) -> tuple[int, int]:
    width, height = image.get("/Width"), image.get("/Height")
    if not isinstance(width, int) or not isinstance(height, int) or width < 1 or height < 1:
        raise SamplesError("it states no size")
    return width, height


def _bits(image: pikepdf.Object) -> int:
    bits = image.get("/BitsPerComponent", 8)
    if not isinstance(bits, int) or bits not in (1, 2, 4, 8, 16):
        raise SamplesError("it has an odd number of bits")
    return bits


def _plain(image: pikepdf.Object, width: int, height: int, limits: Limits) -> Samples:
    bits, components = _bits(image), _components(image)
    needed = _unfolded(width, height, components, bits)
    if needed > limits.stream_bytes:
        raise SamplesError(f"it unfolds to {needed / 1e6:.4g} MB, more than {limits.stream_bytes / 1e6:.4g} MB")
    try:
        data = image.read_bytes(pikepdf.StreamDecodeLevel.specialized)
    except (pikepdf.PdfError, pikepdf.DependencyError, RuntimeError) as error:
        raise SamplesError("its data cannot be decoded") from error
    if len(data) * 2 < needed:
        raise SamplesError(f"it has {len(data)} bytes of data where {needed} are due")
    return Samples(width, height, components, bits, data)


def _components(image: pikepdf.Object) -> int:
    from imposer.pages.colour_spaces import ColourSpaceError, read_colour_space

    try:
        return max(1, read_colour_space(image.get("/ColorSpace")).components)
    except ColourSpaceError as error:
        raise SamplesError(str(error)) from error


def coded(image: pikepdf.Object) -> bytes:
    """Return data as the last filter left them, every other one undone."""
    filters = filters_of(image)
    if len(filters) == 1:
        return image.read_raw_bytes()
    inner = pikepdf.Pdf.new().make_stream(image.read_raw_bytes())
    inner.Filter = pikepdf.Array([pikepdf.Name(one) for one in filters[:-1]])
    parameters = image.get("/DecodeParms")
    if isinstance(parameters, pikepdf.Array) and len(parameters) == len(filters):
        plain = [one if isinstance(one, pikepdf.Dictionary) else None for one in parameters.as_list()[:-1]]
        inner.DecodeParms = pikepdf.Array([copy_of(one) if one else None for one in plain])
    return inner.read_bytes(pikepdf.StreamDecodeLevel.specialized)


def _jpeg(image: pikepdf.Object, size: tuple[int, int], about: int | None, light: bool) -> Samples:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            picture = JpegImageFile(io.BytesIO(coded(image)))
            if picture.size != size:
                raise SamplesError(f"it says {size[0]} × {size[1]} pixels and has {picture.width} × {picture.height}")
            gray = light and picture.mode == "RGB"
            if gray or about:
                wanted = tuple(max(1, side * about // max(size)) for side in size) if about else size
                picture.draft("L" if gray else picture.mode, (wanted[0], wanted[1]))
            picture.load()
    except (*_DECODING, pikepdf.PdfError, RuntimeError) as error:
        raise error if isinstance(error, SamplesError) else SamplesError("its data cannot be decoded") from error
    # Pillow takes every CMYK JPEG for one with its inks turned round; a PDF means the numbers as they stand.
    plain: Image.Image = ImageChops.invert(picture) if picture.mode == "CMYK" else picture
    count = len(plain.getbands())
    return Samples(plain.width, plain.height, count, 8, plain, gray=gray)


def _jpeg_2000(image: pikepdf.Object, limits: Limits) -> Samples:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            picture = Jpeg2KImageFile(io.BytesIO(coded(image)))
            if picture.width * picture.height > limits.image_pixels:
                raise SamplesError(f"it has {picture.width} × {picture.height} pixels")
            picture.load()
    except (*_DECODING, pikepdf.PdfError, RuntimeError) as error:
        raise error if isinstance(error, SamplesError) else SamplesError("its data cannot be decoded") from error
    bands: dict[str, int] = {"L": 1, "LA": 1, "RGB": 3, "RGBA": 3, "CMYK": 4, "I;16": 1}
    if picture.mode not in bands:
        raise SamplesError(f"it is coded in an odd way ({picture.mode})")
    alpha = np.asarray(picture.getchannel("A")) if picture.mode in ("LA", "RGBA") else None
    plain = picture.convert(picture.mode[:-1]) if alpha is not None else picture
    bits = 16 if picture.mode == "I;16" else 8
    return Samples(plain.width, plain.height, bands[picture.mode], bits, plain, alpha=alpha)
