"""The reader of images: PNG, JPEG and TIFF pages in, gray tones and gray image objects out (see `readers.Reader`)."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.geometry import Size, Transform
from imposer.limits import LIMITS, Limits
from imposer.pages.exif_turn import UNIT_TURNS, shown_size, turned
from imposer.pages.image_colour import is_coloured
from imposer.pages.image_decoder import try_opening
from imposer.pages.image_embed import embed_image
from imposer.pages.image_header import ImageHeader, read_headers
from imposer.pages.image_plates import check_plates, darkest_of_plates, has_process_colours
from imposer.pages.image_samples import bands, gray_samples
from imposer.pages.model import ArtSource
from imposer.pages.plates import BLACK, PROCESS, TRACE, coloured_mend, is_black
from imposer.pages.readers import Embedded
from imposer.pages.resolution import pixels_at, size_at
from imposer.units import from_points

if TYPE_CHECKING:
    import pikepdf
    from numpy.typing import NDArray

#: An image is placed this much inside its box on each side, mm. One renderer at least (PDFium) widens an image's box to
#: whole device pixels and would resample a picture that lies on them exactly; the inset is a third of a micron.
INSET = from_points(0.001)


def survey(file: Path, shown: str, limits: Limits = LIMITS, plate: str | None = None) -> tuple[ArtSource, ...]:
    """Return the images of a file.

    Only headers are read, but for images that could be coloured: those are looked at, since colour prints weak.

    Raises:
        ImposerError: the file cannot be used, or holds no plates though one is wanted.
    """
    headers = read_headers(file, shown, limits)
    for header in headers:
        try_opening(file, header, shown)
        if plate is not None:
            check_plates(file, header, shown)
    return tuple(
        ArtSource(
            file=file,
            shown=shown,
            kind="image",
            index=index,
            of=len(headers),
            size=size_at(header.pixels, header.ppi) if header.ppi else None,
            pixels=header.pixels,
            limits=limits,
            plate=plate,
            findings=_findings(file, header, shown, plate),
        )
        for index, header in enumerate(headers)
    )


def _findings(file: Path, header: ImageHeader, shown: str, plate: str | None) -> tuple[Finding, ...]:
    """Return what is worth telling about an image."""
    found = []
    if plate is None and is_coloured(file, header, shown):
        found.append(
            Finding(
                rule="coloured-layer",
                level="warning",
                message=f"{shown} is coloured; only its lightness is used, so its colours print weak",
                mend=coloured_mend(PROCESS if has_process_colours(header) else ()),
            )
        )
    if header.ppi is None:
        found.append(
            Finding(
                rule="resolution-missing",
                level="note",
                message=f"{shown} states no resolution that can be believed, so it is taken to fill trim and bleed",
                mend="look at its size in the proof, or export it with its resolution",
            )
        )
    return tuple(found)


def plates(source: ArtSource) -> tuple[str, ...]:
    """Return the plates of an image (see `readers.Reader.plates`): four of process colours, or black alone."""
    return PROCESS if has_process_colours(_header(source)) else (BLACK,)


def printing_plates(source: ArtSource, size: Size, among: Collection[str]) -> tuple[str, ...]:
    """Return those of some plates that carry ink (see `readers.Reader.printing_plates`).

    Raises:
        ImposerError: the file is damaged, or has changed since it was surveyed.
    """
    del size
    header = _header(source)
    if not has_process_colours(header):
        return tuple(plate for plate in among if is_black(plate))
    darkest = darkest_of_plates(source.file, header, source.place)
    return tuple(plate for plate, tone in zip(PROCESS, darkest, strict=True) if tone > TRACE and plate in among)


def tones(source: ArtSource, size: Size, ppi: float) -> NDArray[np.uint8]:
    """Return an image's tones (see `readers.Reader.tones`); `ppi = 0` gives its own pixels.

    Raises:
        ImposerError: the file is damaged, or has changed since it was surveyed.
    """
    header = _header(source)
    wanted = pixels_at(size, ppi) if ppi else header.pixels
    stored = shown_size(wanted, header.orientation)
    smaller = stored[0] < header.stored[0] and stored[1] < header.stored[1]
    samples = gray_samples(source.file, header, source.place, about=stored if smaller else None, plate=source.plate)
    gray = samples.image
    wanted_here = shown_size(wanted, samples.orientation)
    if gray.size != wanted_here:
        gray = gray.convert("L").resize(wanted_here, Image.Resampling.BOX, reducing_gap=2.0)
    return np.ascontiguousarray(turned(_as_tones(gray), samples.orientation))


def _as_tones(gray: Image.Image) -> NDArray[np.uint8]:
    """Return tones, 255 = full ink, as stored; in bands, for an array made of a whole image takes it three times."""
    found = np.empty((gray.height, gray.width), dtype=np.uint8)
    for top, bottom in bands(gray.height):
        band, into = gray.crop((0, top, gray.width, bottom)), found[top:bottom]
        if gray.mode == "1":
            into[...] = np.where(np.asarray(band), 0, 255)
        else:
            np.invert(np.frombuffer(band.tobytes(), dtype=np.uint8).reshape(into.shape), out=into)
    return found


def embed(source: ArtSource, size: Size, target: pikepdf.Pdf) -> Embedded:
    """Put an image into `target` (see `readers.Reader.embed`), its samples untouched.

    Raises:
        ImposerError: the file is damaged, or has changed since it was surveyed.
    """
    made = embed_image(source.file, _header(source), source.place, target, source.plate)
    inside = Transform.scale(size.width - 2 * INSET, size.height - 2 * INSET)
    return Embedded(
        xobject=made.xobject,
        to_art=UNIT_TURNS[made.orientation].then(inside).then(Transform.shift(INSET, INSET)),
    )


def _header(source: ArtSource) -> ImageHeader:
    """Read the header of a surveyed image again, and make sure that it is the same image."""
    headers = read_headers(source.file, source.shown, source.limits)
    if len(headers) != source.of or headers[source.index].pixels != source.pixels:
        problem = "changed while the job was running"
        raise ImposerError(Fault(file=source.shown, problem=problem, mend="leave the artwork alone and start again"))
    return headers[source.index]
