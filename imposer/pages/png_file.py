"""A PNG file read chunk by chunk: its header, and where its picture data lie. Nothing is unpacked.

The picture data of a gray PNG are a PDF's Flate data with PNG predictors, byte for byte (ISO 32000-1, 7.4.4.4), so a
page can go into a master without being decoded. For that, and for the resolution and the transparency that other
readers report scaled or rounded, the chunks are read here. Source: PNG (Third Edition), W3C 2025.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from imposer.limits import Limits, or_raise

SIGNATURE = b"\x89PNG\r\n\x1a\n"

_COLOUR_TYPES = {0: "gray", 2: "RGB", 3: "palette", 4: "gray and alpha", 6: "RGB and alpha"}
_DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
_METRES_PER_INCH = 0.0254
#: Chunks that are kept whole; the longest honest one is a palette of 768 bytes, or an Exif block of 64 kB.
_KEPT = frozenset({b"IHDR", b"PLTE", b"tRNS", b"pHYs", b"eXIf"})
_LONGEST_KEPT = 1 << 20


EXPORT_AGAIN = "export or copy it again"


class DamagedError(ValueError):
    """A file does not hold what its kind must; the message says what, in words that follow the file's name."""

    def __init__(self, problem: str, mend: str = EXPORT_AGAIN) -> None:
        super().__init__(problem)
        self.mend = mend


@dataclass(frozen=True, slots=True, kw_only=True)
class PngFile:
    """What the chunks of a PNG say."""

    width: int
    height: int
    #: Bits a sample.
    depth: int
    #: 0 gray, 2 RGB, 3 palette, 4 gray and alpha, 6 RGB and alpha.
    colour_type: int
    interlaced: bool
    #: Red, green and blue of each palette entry; empty if there is none.
    palette: bytes
    #: As in the file: alphas of palette entries, or the sample value (16 bit each) that is clear.
    transparency: bytes
    #: Pixels an inch, across and down; None if not stated or stated without a unit.
    ppi: tuple[float, float] | None
    #: The Exif block; empty if there is none.
    exif: bytes
    #: Offset and length of each piece of picture data, in order.
    data: tuple[tuple[int, int], ...]

    @property
    def clear_sample(self) -> tuple[int, ...] | None:
        """The gray or red, green and blue that is clear, at the file's own depth; None if there is none."""
        if self.colour_type not in (0, 2) or not self.transparency:
            return None
        count = 1 if self.colour_type == 0 else 3
        return struct.unpack(f">{count}H", self.transparency[: 2 * count])


def read_png(file: Path, limits: Limits) -> PngFile:
    """Walk the chunks of a PNG.

    Raises:
        DamagedError: the file breaks off or contradicts itself.
        OSError: it cannot be read.
    """
    with file.open("rb") as stream:
        if stream.read(8) != SIGNATURE:
            raise DamagedError("does not begin as a PNG does")
        kept, data = _walk(stream, limits)
    head = kept.get(b"IHDR", b"")
    if len(head) != 13 or not data:
        raise DamagedError("is a PNG without a header or without picture data")
    width, height, depth, colour_type, packing, filtering, interlace = struct.unpack(">IIBBBBB", head)
    if depth not in _DEPTHS.get(colour_type, ()) or packing or filtering or interlace > 1 or not width or not height:
        raise DamagedError("has a PNG header that no PNG may have")
    palette, transparency = kept.get(b"PLTE", b""), kept.get(b"tRNS", b"")
    if colour_type == 3 and (not palette or len(palette) % 3):
        raise DamagedError("is a PNG of palette colours without a whole palette")
    if len(transparency) < {0: 2, 2: 6}.get(colour_type, 0) and transparency:
        raise DamagedError("has a cut-off transparency chunk")
    return PngFile(
        width=width,
        height=height,
        depth=depth,
        colour_type=colour_type,
        interlaced=interlace == 1,
        palette=palette,
        transparency=transparency if colour_type in (0, 2, 3) else b"",
        ppi=_ppi(kept.get(b"pHYs", b"")),
        exif=kept.get(b"eXIf", b""),
        data=tuple(data),
    )


def _walk(stream: BinaryIO, limits: Limits) -> tuple[dict[bytes, bytes], list[tuple[int, int]]]:
    """Return the chunks that are kept and the places of the picture data."""
    kept: dict[bytes, bytes] = {}
    data: list[tuple[int, int]] = []
    size = stream.seek(0, 2)
    offset = stream.seek(len(SIGNATURE))
    for _ in range(limits.png_chunks):
        head = stream.read(8)
        if len(head) < 8:
            raise DamagedError("breaks off before the end of the PNG")
        length, kind = struct.unpack(">I4s", head)
        if offset + 12 + length > size:
            raise DamagedError("breaks off before the end of the PNG")
        if kind == b"IEND":
            return kept, data
        if kind == b"IDAT":
            data.append((offset + 8, length))
        elif kind in _KEPT and kind not in kept and length <= _LONGEST_KEPT:
            kept[kind] = stream.read(length)
        offset = stream.seek(offset + 12 + length)
    raise DamagedError(f"has more than {limits.png_chunks} chunks", or_raise("png_chunks", EXPORT_AGAIN))


def _ppi(chunk: bytes) -> tuple[float, float] | None:
    """Return pixels an inch from a pHYs chunk; unit 1 is the metre, unit 0 states only a proportion (11.3.4.3)."""
    if len(chunk) != 9:
        return None
    across, down, unit = struct.unpack(">IIB", chunk)
    return (across * _METRES_PER_INCH, down * _METRES_PER_INCH) if unit == 1 else None
