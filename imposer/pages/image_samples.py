"""An image file decoded to gray: what each kind of sample means as lightness on white paper.

A header goes in, a Pillow image of mode "1" (one bit) or "L" (8 bit, 255 = bare paper) comes out. What counts:

* Colour is reduced to its lightness by the rule of `luminance`, CMYK by the same weights, so that 100 % black is 100 %
  tone. The Y of a colour JPEG is the same sum (ITU-T T.871, 7) and is taken as it is decoded.
* Alpha lies on white paper. A clear sample (PNG `tRNS`) is bare paper.
* Of one plate of process colours its own samples count and nothing else; gray is the black plate, and is on no other.
* 16 bit is divided by 257 and rounded; one bit stays one bit.

Only one image is in memory at a time; what Pillow cannot do is done in bands of rows.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image, ImageChops, ImageFile
from PIL.JpegImagePlugin import JpegImageFile

from imposer.pages.image_decoder import decoding, load, open_image
from imposer.pages.image_header import ImageHeader
from imposer.pages.luminance import WEIGHTS, gray_of_cmyk_picture, gray_of_rgb_picture, gray_of_rgb_rows
from imposer.pages.plates import is_black, process_number

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Rows that are worked on at once, so that no second whole image is made; sides are limited, so this bounds memory.
BAND = 256

#: Rounds floats to the nearest; with a hair more, so that sums which mean a half are not taken for less.
_HALF = 0.5 + 1e-9


@dataclass(frozen=True, slots=True)
class GraySamples:
    """A decoded image in gray."""

    #: Mode "1" or "L"; white is bare paper.
    image: Image.Image
    #: How the samples must still be turned to be as shown, 1 … 8: see `exif_turn`.
    orientation: int


def gray_samples(
    file: Path, header: ImageHeader, shown: str, about: tuple[int, int] | None = None, plate: str | None = None
) -> GraySamples:
    """Decode an image to gray.

    Args:
        file: The image file.
        header: Its header.
        shown: The file as people know it.
        about: A size in stored pixels that is enough; a JPEG is then decoded to the next size above that it has.
        plate: The plate that is wanted; None takes the lightness.

    Raises:
        ImposerError: the file is damaged, or of a kind that cannot be decoded.
    """
    with decoding(shown), open_image(file, header) as image:
        if (image.size != header.pixels) if header.tiff else (image.size != header.stored):
            raise ValueError("its size changed while it was read")
        if plate is not None and image.mode != "CMYK" and not is_black(plate):
            return GraySamples(Image.new("1", image.size, 1), 1 if header.tiff else header.orientation)
        if isinstance(image, JpegImageFile) and (about or image.mode == "RGB"):
            image.draft("L" if image.mode == "RGB" else image.mode, about or image.size)
        gray = _plate(image, file, header, plate) if plate and image.mode == "CMYK" else _gray(image, file, header)
    # Pillow turns TIFF samples itself when it decodes.
    return GraySamples(gray, 1 if header.tiff else header.orientation)


def bands(height: int) -> Iterator[tuple[int, int]]:
    """Give the first and last row of each band."""
    for top in range(0, height, BAND):
        yield top, min(top + BAND, height)


def _gray(image: ImageFile.ImageFile, file: Path, header: ImageHeader) -> Image.Image:
    """Decode and reduce an opened image to mode "1" or "L"."""
    if _is_deep_colour(image, header):
        return _deep_colour(image, file, header)
    load(image, header)
    clear = header.png.clear_sample if header.png else None
    if image.mode in ("1", "L", "I;16", "I;16B"):
        return _from_gray(image, clear, header)
    match image.mode:
        case "P" | "PA":
            return _from_palette(image, header)
        case "LA" | "La":
            return on_white(image.convert("LA").getchannel("L"), image.getchannel(1))
        case "RGB" if clear:
            return _whitened(image, clear)
        case "RGB":
            return gray_of_rgb_picture(image)
        case "RGBA":
            return on_white(image.convert("RGB").convert("L"), image.getchannel(3))
        case "CMYK":
            return gray_of_cmyk_picture(inks(image, header))
        case mode:
            raise ValueError(f"samples of mode {mode}")


def _plate(image: ImageFile.ImageFile, file: Path, header: ImageHeader, plate: str) -> Image.Image:
    """Decode one plate of an image in process colours; a spot colour's plate is bare."""
    number = process_number(plate)
    if number is None:
        return Image.new("1", image.size, 1)
    if not header.tiff or set(header.tiff.bits) != {16}:
        load(image, header)
        return ImageChops.invert(inks(image, header).getchannel(number))
    high, low = _byte_planes(image, file, header)

    def rows(top: int, bottom: int) -> NDArray[np.uint8]:
        box = (0, top, high.width, bottom)
        tones = np.asarray(high.crop(box))[..., number].astype(np.uint32) * 256 + np.asarray(low.crop(box))[..., number]
        gray: NDArray[np.uint8] = (255 - (tones + 128) // 257).astype(np.uint8)
        return gray

    return _assembled(high.size, rows)


def _is_deep_colour(image: Image.Image, header: ImageHeader) -> bool:
    """Tell whether there is more than one sample a pixel, of 16 bits each."""
    if header.png:
        return header.png.depth == 16 and header.png.colour_type != 0
    if header.tiff:
        return image.mode in ("RGB", "RGBA") and set(header.tiff.bits) == {16} and header.tiff.extra in ((), (2,))
    return False


def _from_gray(image: Image.Image, clear: tuple[int, ...] | None, header: ImageHeader) -> Image.Image:
    """Return gray samples of 1 to 16 bits."""
    if image.mode.startswith("I;16"):
        return _deep_gray(image, clear, header)
    if image.mode == "L":
        return _clear_gray(image, clear, header)
    # Clear black leaves nothing but paper; clear white is white anyway.
    return Image.new("1", image.size, 1) if clear == (0,) else image


def inks(image: Image.Image, header: ImageHeader) -> Image.Image:
    """Return a CMYK image with 255 = full ink; Pillow takes every JPEG for Adobe's kind, which is stored inverted."""
    return ImageChops.invert(image) if header.jpeg and not header.jpeg.adobe else image


def on_white(gray: Image.Image, alpha: Image.Image) -> Image.Image:
    """Lay gray with an alpha on white paper."""
    paper = Image.new("L", gray.size, 255)
    paper.paste(gray, mask=alpha)
    return paper


def _clear_gray(image: Image.Image, clear: tuple[int, ...] | None, header: ImageHeader) -> Image.Image:
    """Return 8-bit samples (Pillow has spread 2 and 4 bits already), with the clear one made white."""
    if clear is None or header.png is None:
        return image
    at_eight_bits = clear[0] * 255 // ((1 << header.png.depth) - 1)
    return image.point([255 if value == at_eight_bits else value for value in range(256)])


def _from_palette(image: Image.Image, header: ImageHeader) -> Image.Image:
    """Return the lightness of palette colours on white; a one-bit palette of black and white stays one bit."""
    if image.mode == "PA":
        return on_white(image.convert("RGBA").convert("RGB").convert("L"), image.getchannel("A"))
    levels = palette_levels(image, header)
    gray = image.point(levels, "L")
    one_bit = header.png.depth == 1 if header.png else header.tiff is not None and header.tiff.bits == (1,)
    if one_bit and {level for level, used in zip(levels, image.histogram(), strict=True) if used} <= {0, 255}:
        return gray.convert("1", dither=Image.Dither.NONE)
    return gray


def palette_colours(image: Image.Image, header: ImageHeader) -> NDArray[np.int64]:
    """Return the palette as seen on white paper: (256, 3), red, green, blue, 0 … 255."""
    stored = image.getpalette("RGB") or []
    colours = np.zeros((256, 3), dtype=np.int64)
    colours[: len(stored) // 3] = np.array(stored, dtype=np.int64).reshape(-1, 3)
    alphas = np.full((256, 1), 255, dtype=np.int64)
    if header.png and header.png.transparency:
        given = np.frombuffer(header.png.transparency[:256], dtype=np.uint8)
        alphas[: len(given), 0] = given
    return (colours * alphas + 255 * (255 - alphas) + 127) // 255


def palette_levels(image: Image.Image, header: ImageHeader) -> list[int]:
    """Return the lightness of each palette entry on white, 256 of them."""
    lightness = gray_of_rgb_rows(palette_colours(image, header).astype(np.float64))
    return [int(value) for value in np.floor(lightness + _HALF)]


def _whitened(image: Image.Image, clear: tuple[int, ...]) -> Image.Image:
    """Return the lightness of 8-bit colours with the clear one made white."""

    def rows(top: int, bottom: int) -> NDArray[np.uint8]:
        band = image.crop((0, top, image.width, bottom))
        gray = np.array(band.convert("L"))
        gray[(np.asarray(band) == np.array(clear, dtype=np.int64)).all(axis=2)] = 255
        return gray

    return _assembled(image.size, rows)


def _deep_gray(image: Image.Image, clear: tuple[int, ...] | None, header: ImageHeader) -> Image.Image:
    """Round 12 or 16 bit gray to 8."""
    most = (1 << header.tiff.bits[0]) - 1 if header.tiff else 0xFFFF
    white_is_zero = header.tiff is not None and header.tiff.photometric == 0

    def rows(top: int, bottom: int) -> NDArray[np.uint8]:
        samples = np.asarray(image.crop((0, top, image.width, bottom))).astype(np.uint32)
        gray = ((samples * 255 + most // 2) // most).astype(np.uint8)
        if white_is_zero:
            # Pillow leaves 16-bit samples as they are stored here, unlike those of 1 to 8 bits.
            gray = 255 - gray
        if clear is not None:
            gray[samples == clear[0]] = 255
        return gray

    return _assembled(image.size, rows)


def _deep_colour(image: ImageFile.ImageFile, file: Path, header: ImageHeader) -> Image.Image:
    """Reduce 16-bit colour, or gray with alpha, at full depth and then round to 8 bits.

    Pillow keeps one byte of two. So the file is decoded once for the high bytes and once for the low ones.
    """
    high, low = _byte_planes(image, file, header)
    clear = header.png.clear_sample if header.png else None

    def rows(top: int, bottom: int) -> NDArray[np.uint8]:
        box = (0, top, high.width, bottom)
        samples: NDArray[np.float64] = np.asarray(high.crop(box)).astype(np.float64) * 256 + np.asarray(low.crop(box))
        if header.png and header.png.colour_type == 4:
            lightness, alpha = samples[..., 0], samples[..., 1] / 65535
        else:
            lightness = samples[..., :3] @ np.asarray(WEIGHTS)
            alpha = samples[..., 3] / 65535 if samples.shape[2] == 4 else np.ones_like(lightness)
        if clear is not None:
            alpha[(samples[..., :3] == np.array(clear)).all(axis=2)] = 0
        on_paper = lightness * alpha + 65535 * (1 - alpha)
        return np.floor(on_paper / 257 + _HALF).astype(np.uint8)

    return _assembled(high.size, rows)


def _byte_planes(image: ImageFile.ImageFile, file: Path, header: ImageHeader) -> tuple[Image.Image, Image.Image]:
    """Decode the high and the low bytes of 16-bit samples as two images."""
    if header.png and header.png.colour_type == 4:
        # Gray and alpha of 16 bits are four bytes a pixel, which any decoder of RGB and alpha hands over untouched.
        image.tile = [tile._replace(args="RGBA") for tile in image.tile]
        load(image, header)
        high, low, alpha_high, alpha_low = image.split()
        return Image.merge("LA", (high, alpha_high)), Image.merge("LA", (low, alpha_low))
    with open_image(file, header) as again:
        again.tile = [tile._replace(args=_other_byte(tile.args)) for tile in again.tile]
        load(image, header)
        load(again, header)
        return image, again


def _other_byte(args: tuple[Any, ...] | str | None) -> tuple[Any, ...] | str:
    """Return a decoder's arguments changed to hand over the other byte of each sample."""
    raw_mode, *rest = args if isinstance(args, tuple) else (args,)
    letter = str(raw_mode)[-1]
    if letter == "N":
        letter = "L" if sys.byteorder == "little" else "B"
    other = str(raw_mode)[:-1] + {"L": "B", "B": "L"}[letter]
    return (other, *rest) if isinstance(args, tuple) else other


def _assembled(size: tuple[int, int], rows: Callable[[int, int], NDArray[np.uint8]]) -> Image.Image:
    """Make an image of mode "L" from bands of rows."""
    whole = np.empty((size[1], size[0]), dtype=np.uint8)
    for top, bottom in bands(size[1]):
        whole[top:bottom] = rows(top, bottom)
    return Image.fromarray(whole)
