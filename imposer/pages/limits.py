"""What artwork may cost before it is refused, in one place, each with its reason.

Artwork comes from other people's disks and may be hostile or merely huge. The figures are measured limits of our own
unless a standard is named; they are far above what a press sheet needs, so that no honest file meets them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Upper bounds on what is read."""

    #: Bytes of one file. Offsets beyond 2³¹ are where readers of old formats begin to fail; an honest page is under 0.3 GB.
    file_bytes: int = 2_000_000_000
    #: Pages of one file, and of a booklet: a page table must stay small, and no zine comes near.
    pages: int = 5_000
    #: Pixels of one image, known from its header before anything is decoded: A2 at 1200 ppi is 557 million, A3 at
    #: 1200 ppi 278 million, and decoding takes 1 to 4 bytes for each.
    image_pixels: int = 400_000_000
    #: Chunks of one PNG: a file of 2 GB in the usual 8 KB chunks has a quarter of this; more is a trick to make us walk.
    png_chunks: int = 1_000_000
    #: Segments before the picture data of one JPEG: profiles and previews need some dozens.
    jpeg_segments: int = 10_000
    #: Files one ink may be given by its patterns.
    files: int = 5_000


LIMITS = Limits()
