"""Pictures written from their samples by the plainest means, for tests: what the usual writers cannot be asked for.

PNG of every colour type, depth and interlacing (PNG, Third Edition), and TIFF of any tags with strips or tiles (TIFF
6.0). Nothing of the program is used here, so that reader and writer cannot share a mistake.
"""

from __future__ import annotations

import itertools
import struct
import zlib

import numpy as np

#: Adam7: first column and row, and the steps, of each pass (PNG, 8.1).
ADAM7 = (
    (0, 0, 8, 8),
    (4, 0, 8, 8),
    (0, 4, 4, 8),
    (2, 0, 4, 4),
    (0, 2, 2, 4),
    (1, 0, 2, 2),
    (0, 1, 1, 2),
)
CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}


def png(
    samples,
    *,
    depth,
    colour_type,
    interlaced=False,
    palette=b"",
    clear=b"",
    per_metre=None,
    unit=1,
    exif=b"",
    pieces=1,
    filters=(0, 1, 2, 3, 4),
):
    """Return a PNG. `samples` is (height, width) or (height, width, channels), at the file's own depth."""
    samples = np.asarray(samples)
    height, width = samples.shape[:2]
    samples = samples.reshape(height, width, -1)
    assert samples.shape[2] == CHANNELS[colour_type]
    parts = [samples[y::dy, x::dx] for x, y, dx, dy in ADAM7 if samples[y::dy, x::dx].size] if interlaced else [samples]
    packed = zlib.compress(b"".join(_filtered(part, depth, filters) for part in parts))
    cuts = [len(packed) * piece // pieces for piece in range(pieces + 1)]
    chunks = [(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour_type, 0, 0, int(interlaced)))]
    chunks += [(b"pHYs", struct.pack(">IIB", *per_metre, unit))] if per_metre else []
    chunks += [(b"PLTE", palette)] if palette else []
    chunks += [(b"tRNS", clear)] if clear else []
    chunks += [(b"eXIf", exif)] if exif else []
    chunks += [(b"IDAT", packed[a:b]) for a, b in itertools.pairwise(cuts)]
    chunks.append((b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(map(_chunk, chunks))


def _chunk(chunk):
    kind, body = chunk
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def _filtered(samples, depth, filters):
    """Return the rows of one pass, each with the next filter of the list (PNG, 9.2)."""
    height, _, channels = samples.shape
    step = max(1, channels * depth // 8)
    above = None
    out = bytearray()
    for y in range(height):
        row = packed_row(samples[y].reshape(-1), depth)
        above = above or bytes(len(row))
        kind = filters[y % len(filters)]
        out.append(kind)
        for i, value in enumerate(row):
            left = row[i - step] if i >= step else 0
            corner = above[i - step] if i >= step else 0
            guess = (0, left, above[i], (left + above[i]) // 2, _paeth(left, above[i], corner))[kind]
            out.append((value - guess) & 255)
        above = row
    return bytes(out)


def _paeth(a, b, c):
    p = a + b - c
    return min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]


def packed_row(values, depth):
    """Return samples as bytes, the first in the highest bits; rows end on a whole byte."""
    if depth == 16:
        return np.asarray(values, dtype=">u2").tobytes()
    bits = "".join(format(int(value), f"0{depth}b") for value in values)
    bits += "0" * (-len(bits) % 8)
    return bytes(int(bits[i : i + 8], 2) for i in range(0, len(bits), 8))


def exif(orientation=1, ppi=None, unit=2, order=">"):
    """Return an Exif block: a TIFF of one directory (Exif 2.32, 4.5.2)."""
    tags = [(0x0112, 3, (orientation,))]
    if ppi is not None:
        tags += [(0x011A, 5, (ppi, 1)), (0x011B, 5, (ppi, 1)), (0x0128, 3, (unit,))]
    return tiff([dict_of(tags)], order=order)


def dict_of(tags):
    return {tag: (kind, values) for tag, kind, values in tags}


_CODES = {1: "B", 3: "H", 4: "I", 5: "I"}


def tiff(directories, order="<"):
    """Return a TIFF of directories {tag: (type, values)}; in 273 and 324 the values are the data themselves."""
    out = bytearray({"<": b"II", ">": b"MM"}[order] + struct.pack(order + "HI", 42, 0))
    link = 4
    for tags in directories:
        stored = {}
        for tag, (kind, values) in sorted(tags.items()):
            if tag in (273, 324):
                places = []
                for data in values:
                    places.append(len(out))
                    out += data + b"\0" * (len(data) % 2)
                stored[tag] = (4, tuple(places))
                stored[{273: 279, 324: 325}[tag]] = (4, tuple(len(data) for data in values))
            else:
                stored[tag] = (kind, tuple(values))
        entries = b""
        for tag, (kind, values) in sorted(stored.items()):
            body = struct.pack(order + _CODES[kind] * len(values), *values)
            count = len(values) // 2 if kind == 5 else len(values)
            if len(body) > 4:
                place = len(out)
                out += body + b"\0" * (len(body) % 2)
                body = struct.pack(order + "I", place)
            entries += struct.pack(order + "HHI", tag, kind, count) + body.ljust(4, b"\0")
        struct.pack_into(order + "I", out, link, len(out))
        out += struct.pack(order + "H", len(stored)) + entries
        link = len(out)
        out += b"\0\0\0\0"
    return bytes(out)


def gray_tiff_tags(width, height, data, *, bits=8, photometric=1, compression=1, ppi=600, more=()):
    """Return the tags of a gray TIFF page of one strip (or strips, if `data` is a list)."""
    strips = data if isinstance(data, list) else [data]
    return dict_of(
        [
            (256, 4, (width,)),
            (257, 4, (height,)),
            (258, 3, (bits,)),
            (259, 3, (compression,)),
            (262, 3, (photometric,)),
            (273, 4, strips),
            (277, 3, (1,)),
            (278, 4, (-(-height // len(strips)),)),
            (282, 5, (ppi, 1)),
            (283, 5, (ppi, 1)),
            (296, 3, (2,)),
            *more,
        ]
    )
