"""A TIFF file read directory by directory: what each image is, and where its strips lie. Nothing is decoded.

The directories are read here, and not by the decoder, for three reasons: an image of a kind that cannot be decoded
still gets a plain word, small copies and masks beside the real pages are left out, and a single strip of fax or Flate
data can go into a master as it is. Sources: TIFF 6.0 (tags by number), Adobe TIFF Technical Notes (Deflate, 2002),
BigTIFF.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from imposer.limits import Limits, or_raise
from imposer.pages.png_file import DamagedError

Values = tuple[float, ...]

#: Bytes and struct code of each field type, TIFF 6.0 section 2 and BigTIFF; fractions are read as two numbers.
_TYPES = {
    1: (1, "B"), 3: (2, "H"), 4: (4, "I"), 5: (8, "II"), 6: (1, "b"), 8: (2, "h"), 9: (4, "i"), 13: (4, "I"),
    16: (8, "Q"),
}  # fmt: skip
_SUBFILE, _WIDTH, _HEIGHT, _BITS, _COMPRESSION, _PHOTOMETRIC, _FILL_ORDER = 254, 256, 257, 258, 259, 262, 266
_STRIP_OFFSETS, _ORIENTATION, _SAMPLES, _ROWS, _STRIP_BYTES = 273, 274, 277, 278, 279
_ACROSS, _DOWN, _T6_OPTIONS, _UNIT, _PREDICTOR = 282, 283, 293, 296, 317
_TILE_WIDTH, _INK_SET, _EXTRA, _SAMPLE_FORMAT = 322, 332, 338, 339
_KEPT = frozenset(
    {_SUBFILE, _WIDTH, _HEIGHT, _BITS, _COMPRESSION, _PHOTOMETRIC, _FILL_ORDER, _STRIP_OFFSETS, _ORIENTATION, _SAMPLES}
    | {
        _ROWS,
        _STRIP_BYTES,
        _ACROSS,
        _DOWN,
        _T6_OPTIONS,
        _UNIT,
        _PREDICTOR,
        _TILE_WIDTH,
        _INK_SET,
        _EXTRA,
        _SAMPLE_FORMAT,
    }
)
#: NewSubfileType: bit 0 a smaller copy of another image, bit 2 a mask of another image.
_NO_PAGE = 0b101
_CM_PER_INCH = 2.54


@dataclass(frozen=True, slots=True, kw_only=True)
class TiffFrame:
    """What one directory of a TIFF says."""

    #: Which directory of the file, from 0, smaller copies and masks counted.
    number: int
    width: int
    height: int
    #: Bits of each sample.
    bits: tuple[int, ...]
    #: 1 none, 3 and 4 fax, 5 LZW, 7 JPEG, 8 and 32946 Deflate.
    compression: int
    #: 0 gray, white is zero; 1 gray, black is zero; 2 RGB; 3 palette; 5 CMYK; 6 YCbCr; 8 and 9 Lab.
    photometric: int
    #: 1 the first pixel in the highest bit; 2 in the lowest.
    fill_order: int
    orientation: int
    #: 1 whole numbers; 2 with a sign; 3 floating point.
    sample_format: int
    #: 1 cyan, magenta, yellow and black; 2 other inks.
    ink_set: int
    #: Samples beyond the colour: alpha and the like.
    extra: tuple[int, ...]
    predictor: int
    #: Fax options; bit 1 allows passages that are not coded.
    t6_options: int
    #: Pixels an inch, across and down; None if not stated or stated without a unit.
    ppi: tuple[float, float] | None
    #: Offset and length of the picture's data if it is one piece, else None.
    single_strip: tuple[int, int] | None

    @property
    def is_plain_gray(self) -> bool:
        """Whether there is one sample a pixel and it is gray."""
        return self.photometric in (0, 1) and len(self.bits) == 1 and not self.extra


def read_tiff(file: Path, limits: Limits) -> tuple[TiffFrame, ...]:
    """Walk the directories of a TIFF and return those that are pages.

    Raises:
        DamagedError: the file breaks off or contradicts itself, or holds no page.
        OSError: it cannot be read.
    """
    with file.open("rb") as stream:
        return frames_of(stream, limits)


def frames_of(stream: BinaryIO, limits: Limits) -> tuple[TiffFrame, ...]:
    """Do the same for a TIFF that is open already."""
    directories = _directories(stream, limits)
    frames = tuple(
        _frame(number, tags)
        for number, tags in enumerate(directories)
        if not int(_first(tags, _SUBFILE, 0)) & _NO_PAGE or len(directories) == 1
    )
    if not frames:
        raise DamagedError("is a TIFF without a page in it")
    return frames


def _directories(stream: BinaryIO, limits: Limits) -> list[dict[int, Values]]:
    """Return the tags of each directory, in the order of the chain; a loop in the chain ends it."""
    size = stream.seek(0, 2)
    stream.seek(0)
    head = stream.read(16)
    order = {b"II": "<", b"MM": ">"}.get(head[:2])
    if order is None or len(head) < 8:
        raise DamagedError("does not begin as a TIFF does")
    big = struct.unpack(order + "H", head[2:4])[0] == 43
    if big and len(head) < 16:
        raise DamagedError("breaks off in the header of the TIFF")
    offset = struct.unpack(order + ("Q" if big else "I"), head[8:16] if big else head[4:8])[0]
    reader = _Reader(stream=stream, order=order, big=big, size=size)
    found: list[dict[int, Values]] = []
    seen: set[int] = set()
    while offset and offset not in seen:
        if len(found) >= limits.pages:
            raise DamagedError(f"holds more than {limits.pages} images", or_raise("pages", "split it"))
        seen.add(offset)
        tags, offset = reader.directory(offset)
        found.append(tags)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    """Reads directories of either byte order, plain or big."""

    stream: BinaryIO
    order: str
    big: bool
    size: int

    def directory(self, offset: int) -> tuple[dict[int, Values], int]:
        """Return the tags that are kept, and where the next directory begins (0: nowhere)."""
        count_code, entry_bytes, word = ("Q", 20, "Q") if self.big else ("H", 12, "I")
        head = self.read(offset, struct.calcsize("<" + count_code))
        count = struct.unpack(self.order + count_code, head)[0]
        if count > 4096:
            raise DamagedError(f"has a TIFF directory of {count} entries")
        start = offset + len(head)
        body = self.read(start, count * entry_bytes)
        tags: dict[int, Values] = {}
        for place in range(0, len(body), entry_bytes):
            entry = body[place : place + entry_bytes]
            tag = struct.unpack(self.order + "H", entry[:2])[0]
            if tag in _KEPT and tag not in tags:
                tags[tag] = self.values(entry, word)
        # Some writers forget the link after the last directory.
        self.stream.seek(start + len(body))
        link = self.stream.read(struct.calcsize("<" + word))
        following = struct.unpack(self.order + word, link)[0] if len(link) == struct.calcsize("<" + word) else 0
        return tags, following

    def values(self, entry: bytes, word: str) -> Values:
        """Return the values of one entry; empty if its type is not a number's."""
        kind = struct.unpack(self.order + "H", entry[2:4])[0]
        bytes_each, code = _TYPES.get(kind, (0, ""))
        if not bytes_each:
            return ()
        word_bytes = struct.calcsize("<" + word)
        count, pointer = struct.unpack(self.order + word * 2, entry[4:])
        length = count * bytes_each
        data = entry[4 + word_bytes :][:length] if length <= word_bytes else self.read(pointer, length)
        numbers = struct.unpack(self.order + code * count, data)
        if kind != 5:
            return numbers
        return tuple(up / down if down else 0.0 for up, down in zip(numbers[::2], numbers[1::2], strict=True))

    def read(self, offset: int, length: int) -> bytes:
        """Return bytes of the file."""
        if offset + length > self.size:
            raise DamagedError("breaks off in a directory of the TIFF")
        self.stream.seek(offset)
        return self.stream.read(length)


def _first(tags: Mapping[int, Values], tag: int, default: float) -> float:
    """Return the first value of a tag."""
    values = tags.get(tag)
    return values[0] if values else default


def _whole(tags: Mapping[int, Values], tag: int, default: int = 0) -> int:
    return int(_first(tags, tag, default))


def _frame(number: int, tags: Mapping[int, Values]) -> TiffFrame:
    """Make the frame of a directory, with the defaults of TIFF 6.0."""
    width, height = _whole(tags, _WIDTH), _whole(tags, _HEIGHT)
    if width <= 0 or height <= 0:
        raise DamagedError("has a TIFF directory without a width or a height")
    samples = _whole(tags, _SAMPLES, 1)
    bits = tuple(int(value) for value in tags.get(_BITS, ())) or (1,)
    return TiffFrame(
        number=number,
        width=width,
        height=height,
        bits=bits * samples if len(bits) == 1 and 1 < samples <= 16 else bits,
        compression=_whole(tags, _COMPRESSION, 1),
        photometric=_whole(tags, _PHOTOMETRIC),
        fill_order=_whole(tags, _FILL_ORDER, 1),
        orientation=_whole(tags, _ORIENTATION, 1),
        sample_format=int(max(tags.get(_SAMPLE_FORMAT) or (1,))),
        ink_set=_whole(tags, _INK_SET, 1),
        extra=tuple(int(value) for value in tags.get(_EXTRA, ())),
        predictor=_whole(tags, _PREDICTOR, 1),
        t6_options=_whole(tags, _T6_OPTIONS),
        ppi=_ppi(tags),
        single_strip=_single_strip(tags),
    )


def _ppi(tags: Mapping[int, Values]) -> tuple[float, float] | None:
    """Return pixels an inch: unit 2 is the inch and the default, 3 the centimetre, 1 a bare proportion."""
    across, down = _first(tags, _ACROSS, 0), _first(tags, _DOWN, 0)
    factor = {2: 1.0, 3: _CM_PER_INCH}.get(_whole(tags, _UNIT, 2))
    return (across * factor, down * factor) if factor and across and down else None


def _single_strip(tags: Mapping[int, Values]) -> tuple[int, int] | None:
    """Return the place of the picture's data if one strip holds them all."""
    offsets, lengths = tags.get(_STRIP_OFFSETS, ()), tags.get(_STRIP_BYTES, ())
    if len(offsets) != 1 or len(lengths) != 1 or _TILE_WIDTH in tags:
        return None
    return int(offsets[0]), int(lengths[0])
