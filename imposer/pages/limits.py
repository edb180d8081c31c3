"""What artwork may cost before it is refused, in one place, each with its reason.

Artwork comes from other people's disks and may be hostile or merely huge. The figures are measured limits of our own
unless a standard is named; they are far above what a press sheet needs, so that no honest file meets them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Upper bounds on what is read."""

    #: Bytes of one file. Beyond 2³¹ readers of old formats begin to fail; an honest page is under 0.3 GB.
    file_bytes: int = 2_000_000_000
    #: Pages of one file, and of a booklet: a page table must stay small, and no zine comes near.
    pages: int = 5_000
    #: Pixels of one image, known from its header before anything is decoded: A2 at 1200 ppi is 557 million, A3 at
    #: 1200 ppi 278 million, and decoding takes 1 to 4 bytes for each.
    image_pixels: int = 400_000_000
    #: Pixels along one side of an image: 1.5 m at 4800 ppi; work goes in bands of rows, so rows must be bounded.
    image_side: int = 300_000
    #: Chunks of one PNG: a file of 2 GB in the usual 8 KB chunks has a quarter of this; more is a trick.
    png_chunks: int = 1_000_000
    #: Segments before the picture data of one JPEG: profiles and previews need some dozens.
    jpeg_segments: int = 10_000
    #: Files one ink may be given by its patterns.
    files: int = 5_000

    #: Bytes one stream of a PDF may unfold to: a sheet of A3 at 600 ppi in four colours is 280 MB; a kilobyte can be
    #: made to unfold to a gigabyte.
    stream_bytes: int = 512 * 1024 * 1024
    #: Filters in a row on one stream: two are usual, and each may unfold a thousandfold.
    stream_filters: int = 4
    #: Complaints about one damaged PDF before it is given up: each is kept in memory.
    pdf_warnings: int = 1_000
    #: Tokens of one drawing that are parsed: 100,000 curves have 700,000; each costs about 150 bytes for a while.
    drawing_tokens: int = 3_000_000
    #: How deep drawings may lie in one another; renderers give up near here.
    drawing_depth: int = 28
    #: Drawings that are rewritten for one page, with all that lie in it.
    drawings: int = 20_000
    #: Least and largest side of a PDF page in its own units (ISO 32000-1, Annex C.2, has 3 to 14,400).
    page_side_least: float = 9.0
    page_side_most: float = 14_400.0
    #: Address space of the process that renders: an allocation beyond it fails there, not on the whole machine.
    render_bytes: int = 4 * 1024 * 1024 * 1024
    #: Seconds that process may take for one page: an A3 sheet of line work at 600 ppi takes 0.2.
    render_seconds: float = 60.0


LIMITS = Limits()
