"""A JPEG file read marker by marker: size, parts, coding and the resolution it states. Nothing is decoded.

A gray JPEG goes into a master as it is, provided that a PDF's DCT filter knows its coding: Huffman coded, 8 bits,
baseline, extended or progressive (ISO 32000-1, 7.4.8). Sources: ITU-T T.81 (markers, B.1.1.3), ITU-T T.871 (JFIF).
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from imposer.limits import Limits, or_raise
from imposer.pages.png_file import EXPORT_AGAIN, DamagedError

#: Start-of-frame markers, T.81 Table B.1; C4, C8 and CC are no frames.
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
#: Baseline, extended sequential and progressive, all Huffman coded.
_PDF_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
#: Markers without a length: TEM, RST0 … RST7, SOI.
_BARE = frozenset({0x01, *range(0xD0, 0xD9)})
#: APP0 (JFIF), APP1 (Exif), APP14 (Adobe).
_KEPT = frozenset({0xE0, 0xE1, 0xEE})
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_CM_PER_INCH = 2.54


@dataclass(frozen=True, slots=True, kw_only=True)
class JpegFile:
    """What the markers of a JPEG say."""

    width: int
    height: int
    #: 1 gray, 3 colour, 4 CMYK.
    parts: int
    #: Bits a sample.
    depth: int
    #: Whether it has the marker APP14 "Adobe" (ITU-T T.872, 6.5.3): such CMYK is stored inverted, common practice.
    adobe: bool
    #: Whether a PDF may hold it as it is.
    fits_pdf: bool
    #: Pixels an inch from the JFIF header, across and down; None if not stated or stated without a unit.
    ppi: tuple[float, float] | None
    #: The Exif block, with its TIFF header first; empty if there is none.
    exif: bytes


def read_jpeg(file: Path, limits: Limits) -> JpegFile:
    """Walk the markers of a JPEG up to its picture data.

    Raises:
        DamagedError: the file breaks off or contradicts itself.
        OSError: it cannot be read.
    """
    with file.open("rb") as stream:
        segments = _segments(stream, limits)
    ppi, exif, frame, adobe = None, b"", None, False
    for marker, body in segments:
        if marker in _FRAMES and frame is None and len(body) >= 6:
            frame = (marker, *struct.unpack(">BHHB", body[:6]))
        elif marker == 0xE0 and body.startswith(b"JFIF\0") and len(body) >= 12:
            ppi = _ppi(body)
        elif marker == 0xE1 and body.startswith(b"Exif\0") and not exif:
            exif = body[6:]
        elif marker == 0xEE and body.startswith(b"Adobe"):
            adobe = True
    if frame is None:
        raise DamagedError("is a JPEG without a header, or breaks off in it")
    marker, depth, height, width, parts = frame
    if not width or not height or parts not in (1, 3, 4):
        raise DamagedError(f"has a JPEG header that cannot be used here ({width} × {height} px, {parts} parts)")
    fits = marker in _PDF_FRAMES and depth == 8
    return JpegFile(
        width=width, height=height, parts=parts, depth=depth, adobe=adobe, fits_pdf=fits, ppi=ppi, exif=exif
    )


def _segments(stream: BinaryIO, limits: Limits) -> list[tuple[int, bytes]]:
    """Return markers with their bodies, up to the first scan; bodies of no interest are left empty."""
    found: list[tuple[int, bytes]] = []
    if stream.read(2) != b"\xff\xd8":
        raise DamagedError("does not begin as a JPEG does")
    for _ in range(limits.jpeg_segments):
        marker = _next_marker(stream)
        if marker in (_START_OF_SCAN, _END_OF_IMAGE):
            return found
        if marker in _BARE:
            continue
        head = stream.read(2)
        length = int.from_bytes(head, "big") - 2
        body = stream.read(max(0, length))
        if len(head) < 2 or length < 0 or len(body) < length:
            raise DamagedError("breaks off in the header of the JPEG")
        found.append((marker, body if marker in _FRAMES or marker in _KEPT else b""))
    problem = f"has more than {limits.jpeg_segments} segments before its picture data"
    raise DamagedError(problem, or_raise("jpeg_segments", EXPORT_AGAIN))


def _next_marker(stream: BinaryIO) -> int:
    """Return the next marker's code; any number of fill bytes FF may stand before it (T.81, B.1.1.2)."""
    byte = stream.read(1)
    while byte and byte != b"\xff":
        byte = stream.read(1)
    while byte == b"\xff":
        byte = stream.read(1)
    if not byte:
        raise DamagedError("breaks off in the header of the JPEG")
    return byte[0]


def _ppi(body: bytes) -> tuple[float, float] | None:
    """Return pixels an inch from a JFIF header: unit 1 is the inch, 2 the centimetre, 0 none (T.871, 10.1)."""
    unit, across, down = struct.unpack(">BHH", body[7:12])
    factor = {1: 1.0, 2: _CM_PER_INCH}.get(unit)
    return None if factor is None else (across * factor, down * factor)
