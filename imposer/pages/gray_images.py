"""An image of a PDF in; the same image in DeviceGray out, its samples untouched wherever that can be.

An image of one number a sample (gray by a profile, a palette, a spot colour) keeps its data: only what its samples mean
is written anew. The rest is decoded in bands, turned to gray by the rule of `luminance` and packed without loss. A
decoded image lies in a file until the masters are saved.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, BinaryIO

import numpy as np
import pikepdf
from PIL import Image

from imposer.pages import luminance
from imposer.pages.colour_spaces import GRAY, ColourSpace, ColourSpaceError, by_components, read_colour_space
from imposer.pages.file_streams import file_stream
from imposer.pages.gray_packing import gray_entries, pack_gray, pack_stencil
from imposer.pages.pdf_functions import FunctionError, numbers
from imposer.pages.pdf_objects import number_of
from imposer.pages.pdf_samples import Samples, SamplesError, filters_of, read_samples
from imposer.pages.pdf_source import PdfSource
from imposer.pages.plate_spaces import on_plate
from imposer.pages.stand_in_images import bare_image, same_samples

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: The longer side of the reduced copy that is looked at for colour, pixels.
_LOOK = 1000
#: Codings that are not exact, so that a palette behind them would be a lottery.
_LOSSY = frozenset({"/DCTDecode", "/DCT", "/JPXDecode"})
_ONE_BIT = frozenset({"/CCITTFaxDecode", "/CCF", "/JBIG2Decode"})


@dataclass(frozen=True, slots=True)
class ImageLook:
    """What must be done to one image."""

    #: "keep" it as it is; "swap" what its samples mean; "decode" it; put a "bare" one in its place; have the renderer
    #: "render" it.
    way: str
    coloured: bool = False
    #: It leaves no mark (a spot colour named None).
    nothing: bool = False
    #: Why it cannot be decoded, in words.
    problem: str = ""
    #: The space of its colours, on the plate that is wanted; None of a stencil, and where it could not be read.
    space: ColourSpace | None = None


def look_at_image(source: PdfSource, image: pikepdf.Object, plate: str | None = None) -> ImageLook:
    """Return what must be done to an image; once a file for each, and plate.

    Args:
        source: the file it belongs to.
        image: the image, an indirect object.
        plate: the plate that is wanted of it; None for its lightness.
    """
    key = ("image", image.objgen, plate)
    if key not in source.seen:
        try:
            source.seen[key] = _look(source, image, plate)
        except (SamplesError, ColourSpaceError, FunctionError, pikepdf.PdfError, RuntimeError) as error:
            source.seen[key] = ImageLook("render", coloured=True, problem=str(error))
    found: ImageLook = source.seen[key]
    return found


def gray_image(source: PdfSource, image: pikepdf.Object, plate: str | None = None) -> pikepdf.Object:
    """Return an image in gray, or one plate of it: itself, with another meaning of its samples, or a new one.

    Raises:
        SamplesError: it cannot be decoded: see `ImageLook.way` "render", which is not done here.
    """
    look = look_at_image(source, image, plate)
    key = ("gray image", image.objgen, plate)
    if look.way in ("keep", "render"):
        return image
    if key not in source.seen:
        try:
            if look.way == "swap":
                # What stands on several plates means something else on each.
                turned = image if source.plate is None else same_samples(source, image)
                # JPEG 2000 may leave the space to its own data; only gray comes here without one.
                _swap(turned, _space(image, plate) if "/ColorSpace" in image else GRAY)
                source.seen[key] = turned
            elif look.way == "bare":
                source.seen[key] = bare_image(source, image)
            else:
                source.seen[key] = _decoded(source, image, plate)
        except (ColourSpaceError, FunctionError, pikepdf.PdfError, RuntimeError) as error:
            raise SamplesError(str(error)) from error
    found: pikepdf.Object = source.seen[key]
    return found


def _space(image: pikepdf.Object, plate: str | None) -> ColourSpace:
    return on_plate(read_colour_space(image.get("/ColorSpace")), plate)


def _look(source: PdfSource, image: pikepdf.Object, plate: str | None) -> ImageLook:
    if bool(image.get("/ImageMask", False)):
        return ImageLook("keep")
    coding = filters_of(image)[-1:]
    if coding == ["/JPXDecode"]:
        return _look_at_jpx(source, image, plate)
    space = _space(image, plate)
    if space.nothing:
        return ImageLook("keep", nothing=True)
    if space is GRAY:
        return ImageLook("keep" if image.get("/ColorSpace") == pikepdf.Name.DeviceGray else "swap", space=space)
    if space.family == "Indexed" and not space.bare and _is_gray_palette(image.get("/ColorSpace")):
        return ImageLook("keep", space=space)
    if space.bare and space.plates:
        # Inks of other plates; what is left of it is where it lies, and what of it is seen through.
        return ImageLook("decode" if isinstance(image.get("/Mask"), pikepdf.Array) else "bare", space=space)
    if space.components == 1 and _new_meaning(image, space) is not None:
        return ImageLook("swap", coloured=_table_is_coloured(source, image, space), space=space)
    samples = read_samples(image, source.limits, about=_LOOK)
    coloured = _is_coloured(samples, space, _decode_of(image, samples, space))
    return ImageLook("decode", coloured=coloured, space=space)


def _look_at_jpx(source: PdfSource, image: pikepdf.Object, plate: str | None) -> ImageLook:
    samples = read_samples(image, source.limits)
    stated = image.get("/ColorSpace")
    space = on_plate(by_components(samples.components) if stated is None else read_colour_space(stated), plate)
    if space is GRAY and samples.alpha is None:
        return ImageLook("keep" if stated == pikepdf.Name.DeviceGray else "swap", space=space)
    coloured = _is_coloured(samples, space, _decode_of(image, samples, space))
    return ImageLook("decode", coloured=coloured, space=space)


def _is_gray_palette(space: object) -> bool:
    return isinstance(space, pikepdf.Array) and len(space) > 1 and space[1] == pikepdf.Name.DeviceGray


def _bits(image: pikepdf.Object) -> int:
    if filters_of(image)[-1:] and filters_of(image)[-1] in _ONE_BIT:
        return 1
    bits = image.get("/BitsPerComponent")
    return bits if isinstance(bits, int) and bits in (1, 2, 4, 8, 16) else 8


def _table(image: pikepdf.Object, space: ColourSpace) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the gray, and the spread, that each value of a one-number sample means."""
    levels = 2 ** _bits(image)
    default = [0.0, levels - 1.0] if space.palette is not None else list(space.ranges[0])
    low, high = (numbers(image.get("/Decode")) or default)[:2]
    return space.rows((low + (high - low) * np.arange(levels) / (levels - 1))[:, None])


def _new_meaning(image: pikepdf.Object, space: ColourSpace) -> tuple[pikepdf.Object, pikepdf.Object | None] | None:
    """Return the colour space and decoding that give one-number samples their gray; None if there is none."""
    if _bits(image) > 8:
        return None
    grays, _ = _table(image, space)
    line = np.linspace(grays[0], grays[-1], len(grays))
    if np.abs(grays - line).max() < 0.5 / 255:
        ends = [round(float(one), 6) for one in (grays[0], grays[-1])]
        return pikepdf.Name.DeviceGray, None if ends == [0, 1] else pikepdf.Array(ends)
    if filters_of(image)[-1:] and filters_of(image)[-1] in _LOSSY:
        return None
    palette = np.rint(grays * 255).astype(np.uint8).tobytes()
    return pikepdf.Array([pikepdf.Name.Indexed, pikepdf.Name.DeviceGray, len(grays) - 1, pikepdf.String(palette)]), None


def _swap(image: pikepdf.Object, space: ColourSpace) -> None:
    """Write anew what an image's samples mean, in place: it means the same wherever it is drawn."""
    meaning = (pikepdf.Name.DeviceGray, image.get("/Decode")) if space is GRAY else _new_meaning(image, space)
    if meaning is None:
        raise SamplesError("its samples cannot be given another meaning")
    image.ColorSpace = meaning[0]
    if meaning[1] is not None:
        image.Decode = meaning[1]
    elif "/Decode" in image:
        del image["/Decode"]
    _matte(image, space)


def _matte(image: pikepdf.Object, space: ColourSpace) -> None:
    """Turn the colour that a soft-masked image was laid on beforehand (ISO 32000-1, Table 146) to gray."""
    mask = image.get("/SMask")
    if isinstance(mask, pikepdf.Stream) and "/Matte" in mask:
        colour = tuple(numbers(mask.Matte))
        if len(colour) == space.components:
            mask.Matte = pikepdf.Array([round(space.gray(colour)[0], 6)])


def _table_is_coloured(source: PdfSource, image: pikepdf.Object, space: ColourSpace) -> bool:
    """Tell whether the values that an image uses are coloured."""
    _, spreads = _table(image, space)
    coloured = np.flatnonzero(spreads > luminance.NEUTRAL)
    if not len(coloured) or (filters_of(image)[-1:] and filters_of(image)[-1] in _ONE_BIT | _LOSSY):
        return bool(len(coloured))
    samples = read_samples(image, source.limits)
    counts = np.zeros(len(spreads), dtype=np.int64)
    for band in samples.bands():
        counts += np.bincount(band.ravel(), minlength=len(spreads))
    return bool(counts[coloured].sum() > luminance.NEUTRAL_SHARE * samples.width * samples.height)


def _decode_of(image: pikepdf.Object, samples: Samples, space: ColourSpace) -> NDArray[np.float64]:
    """Return the ranges (components, 2) that samples are spread over (ISO 32000-1, 8.9.5.2)."""
    stated = numbers(image.get("/Decode"))
    if samples.components != space.components:
        raise SamplesError(f"it has {samples.components} numbers a sample, its colour space {space.components}")
    if len(stated) == 2 * space.components:
        return np.array(stated).reshape(-1, 2)
    return np.array([(0.0, 2.0**samples.bits - 1)] if space.palette is not None else space.ranges)


def _is_coloured(samples: Samples, space: ColourSpace, decode: NDArray[np.float64]) -> bool:
    """Tell it of a reduced copy: the colour noise of a lossy coding is none. One plate alone has no colour."""
    if space.part is not None:
        return False
    factor = max(1, max(samples.width, samples.height) // _LOOK)
    coloured = total = 0
    for band in samples.bands(factor):
        rows = _reduced(band, factor).reshape(-1, samples.components)
        values = decode[:, 0] + rows / (2.0**samples.bits - 1) * (decode[:, 1] - decode[:, 0])
        coloured += int((space.rows(values)[1] > luminance.NEUTRAL).sum())
        total += len(rows)
    return coloured > luminance.NEUTRAL_SHARE * total


def _reduced(band: NDArray[np.uint16] | NDArray[np.uint8], factor: int) -> NDArray[np.float64]:
    height, _, components = band.shape
    if factor == 1:
        return band.astype(float)
    if components in (3, 4) and band.dtype == np.uint8:
        picture = Image.fromarray(np.ascontiguousarray(band), {3: "RGB", 4: "CMYK"}[components])
        return np.asarray(picture.reduce(factor), dtype=float)
    return band[: max(1, height // factor * factor) : factor, ::factor].astype(float)


def _gray_bands(samples: Samples, space: ColourSpace, decode: NDArray[np.float64]) -> Iterator[NDArray[np.uint8]]:
    """Give the rows of an image in gray, 0 = black, band by band."""
    if samples.gray:
        for band in samples.bands():
            yield band[:, :, 0].astype(np.uint8)
        return
    straight = samples.bits == 8 and space.components in (3, 4) and space is by_components(space.components)
    turned = bool(straight and (decode == np.array([1.0, 0.0])).all())
    straight = straight and (turned or bool((decode == np.array([0.0, 1.0])).all()))
    part = space.part if samples.bits == 8 else None
    ends = () if part is None else tuple(decode[part])
    for band in samples.bands():
        height, width, components = band.shape
        if part is not None and ends in ((0.0, 1.0), (1.0, 0.0)):
            tones = band[:, :, part].astype(np.uint8)
            yield np.bitwise_not(tones) if ends == (0.0, 1.0) else tones
            continue
        if straight:
            rows = np.ascontiguousarray(255 - band if turned else band, dtype=np.uint8)
            if components == 3:
                picture = luminance.gray_of_rgb_picture(Image.fromarray(rows, "RGB"))
            else:
                picture = luminance.gray_of_cmyk_picture(Image.fromarray(rows, "CMYK"))
            yield np.asarray(picture)
            continue
        values = decode[:, 0] + band.reshape(-1, components) / (2.0**samples.bits - 1) * (decode[:, 1] - decode[:, 0])
        yield np.rint(space.rows(values)[0] * 255).astype(np.uint8).reshape(height, width)


def _decoded(source: PdfSource, image: pikepdf.Object, plate: str | None) -> pikepdf.Object:
    """Decode an image to gray, or one plate of it, and pack it as a new one."""
    stated = image.get("/ColorSpace")
    samples = read_samples(image, source.limits, light=_is_light(image, plate))
    if samples.gray:
        space, decode = GRAY, np.array([(0.0, 1.0)])
    else:
        space = on_plate(by_components(samples.components) if stated is None else read_colour_space(stated), plate)
        decode = _decode_of(image, samples, space)
    entries = gray_entries(samples.width, samples.height)

    def write(stream: BinaryIO) -> None:
        pack_gray(_gray_bands(samples, space, decode), samples.width, stream)

    new = file_stream(source.pdf, write, entries, source.shown)
    for key in ("/SMask", "/Mask", "/Interpolate"):
        if key in image:
            new[key] = image[key]
    if stated is not None and not samples.gray:
        _matte(new, space)
    if samples.alpha is not None and number_of(image.get("/SMaskInData")):
        new.SMask = _alpha(source, samples)
    if isinstance(image.get("/Mask"), pikepdf.Array):
        new.Mask = _stencil(source, samples, numbers(image.Mask))
    return new


def _is_light(image: pikepdf.Object, plate: str | None) -> bool:
    """Tell whether a JPEG's own lightness is the gray that is wanted: plain red, green and blue, all of it shown."""
    if filters_of(image)[-1:] != ["/DCTDecode"] or isinstance(image.get("/Mask"), pikepdf.Array):
        return False
    smask = image.get("/SMask")
    return (
        _space(image, plate) is by_components(3)
        and numbers(image.get("/Decode")) in ([], [0.0, 1.0] * 3)
        and not (isinstance(smask, pikepdf.Stream) and "/Matte" in smask)
    )


def _alpha(source: PdfSource, samples: Samples) -> pikepdf.Object:
    alpha = samples.alpha
    if alpha is None:
        raise SamplesError("it has no alpha")

    def write(stream: BinaryIO) -> None:
        pack_gray(iter([alpha]), samples.width, stream)

    return file_stream(source.pdf, write, gray_entries(samples.width, samples.height), source.shown)


def _stencil(source: PdfSource, samples: Samples, ranges: list[float]) -> pikepdf.Object:
    """Return the stencil mask of the samples that a colour-key mask leaves out (ISO 32000-1, 8.9.6.4)."""
    if len(ranges) != 2 * samples.components:
        raise SamplesError("its colour-key mask does not fit")
    bounds = np.array(ranges).reshape(-1, 2)
    entries: dict[str, object] = {
        "/Type": "/XObject",
        "/Subtype": "/Image",
        "/Width": samples.width,
        "/Height": samples.height,
        "/ImageMask": True,
        "/BitsPerComponent": 1,
        "/Filter": "/FlateDecode",
    }

    def left_out() -> Iterator[NDArray[np.bool_]]:
        for band in samples.bands():
            yield np.asarray(((band >= bounds[:, 0]) & (band <= bounds[:, 1])).all(axis=2))

    def write(stream: BinaryIO) -> None:
        pack_stencil(left_out(), stream)

    return file_stream(source.pdf, write, entries, source.shown)
