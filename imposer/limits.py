"""What artwork may cost before it is refused: each figure in one place, with its reason and the range a shop may set.

Artwork comes from other people's disks and may be hostile or merely huge. The figures are measured limits of our own
unless a standard is named; they are far above what a press sheet needs, so that no honest file meets them. A shop sets
its own under `[limits]`. There is one door to them: `survey` is given the limits of the job's shop, every page it finds
carries them (`ArtSource.limits`), and whoever reads that page later, in whatever thread, asks the page.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

from imposer.errors import Fault, ImposerError


def _figure(usual: float, least: float, most: float) -> Any:  # noqa: ANN401 - what a field's default is to a type
    return field(default=usual, metadata={"least": least, "most": most})


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Upper bounds on what is read."""

    #: Bytes of one file. Beyond 2³¹ readers of old formats begin to fail; an honest page is under 0.3 GB.
    file_bytes: int = _figure(2_000_000_000, 1_000, 1_000_000_000_000)
    #: Pages of one file, and of a booklet: a page table must stay small, and no zine comes near.
    pages: int = _figure(5_000, 1, 100_000)
    #: Pixels of one image, known from its header before anything is decoded: A2 at 1200 ppi is 557 million, A3 at
    #: 1200 ppi 278 million, and decoding takes 1 to 4 bytes for each.
    image_pixels: int = _figure(400_000_000, 10_000, 4_000_000_000)
    #: Pixels along one side of an image: 1.5 m at 4800 ppi; work goes in bands of rows, so rows must be bounded.
    image_side: int = _figure(300_000, 100, 2_000_000)
    #: Chunks of one PNG: a file of 2 GB in the usual 8 KB chunks has a quarter of this; more is a trick.
    png_chunks: int = _figure(1_000_000, 3, 100_000_000)
    #: Segments before the picture data of one JPEG: profiles and previews need some dozens.
    jpeg_segments: int = _figure(10_000, 3, 1_000_000)
    #: Files one ink may be given by its patterns.
    files: int = _figure(5_000, 1, 100_000)

    #: Bytes one stream of a PDF may unfold to: a sheet of A3 at 600 ppi in four colours is 280 MB; a kilobyte can be
    #: made to unfold to a gigabyte. The PDF library holds the figure in 32 bits.
    stream_bytes: int = _figure(512 * 1024 * 1024, 1_000, 2**32 - 1)
    #: Filters in a row on one stream: two are usual, and each may unfold a thousandfold.
    stream_filters: int = _figure(4, 1, 25)
    #: Complaints about one damaged PDF before it is given up: each is kept in memory.
    pdf_warnings: int = _figure(1_000, 1, 1_000_000)
    #: Tokens of one drawing that are parsed: 100,000 curves have 700,000; each costs about 150 bytes for a while.
    drawing_tokens: int = _figure(3_000_000, 10, 100_000_000)
    #: How deep drawings may lie in one another; renderers give up near here, so a shop can only ask for less.
    drawing_depth: int = _figure(28, 1, 28)
    #: Drawings that are rewritten for one page, with all that lie in it.
    drawings: int = _figure(20_000, 1, 1_000_000)
    #: Least and largest side of a PDF page in its own units (ISO 32000-1, Annex C.2, has 3 to 14,400).
    page_side_least: float = _figure(9.0, 3.0, 1_000.0)
    page_side_most: float = _figure(14_400.0, 10.0, 14_400.0)
    #: Address space of the process that renders, bytes: an allocation beyond it fails there, not on the whole machine.
    #: It has 170 MB before it draws anything (measured on Linux).
    render_bytes: int = _figure(4 * 1024 * 1024 * 1024, 200_000_000, 1_000_000_000_000)
    #: Seconds that process may take for one page: an A3 sheet of line work at 600 ppi takes 0.2.
    render_seconds: float = _figure(60.0, 0.01, 3_600.0)


#: What is read where no shop says otherwise.
LIMITS = Limits()


def ranges() -> dict[str, tuple[float, float]]:
    """Return the least and the largest value a shop may give each figure, by the figure's name, in order.

    >>> ranges()["pages"]
    (1, 100000)
    """
    return {figure.name: (figure.metadata["least"], figure.metadata["most"]) for figure in fields(Limits)}


def or_raise(key: str, mend: str = "") -> str:
    """Return a mend with the other way out: a studio that trusts its customer lets more through.

    >>> or_raise("pages", "split it")
    'split it, or raise limits.pages in the shop file'
    """
    return f"{mend}{', or ' if mend else ''}raise limits.{key} in the shop file"


def check_file_size(size: int, shown: str, limits: Limits) -> None:
    """Refuse a file for its bytes alone, before any of them is read.

    Raises:
        ImposerError: it has more than is read.
    """
    if size > limits.file_bytes:
        problem = f"has {_megabytes(size)} MB; at most {_megabytes(limits.file_bytes)} MB are read"
        raise ImposerError(Fault(file=shown, problem=problem, mend=or_raise("file_bytes", "export it smaller")))


def _megabytes(count: int) -> str:
    return f"{count / 1e6:.4g}" if count < 1e9 else f"{count / 1e6:.0f}"


def millions(count: float) -> str:
    """Return a count in words, in millions where it has any.

    >>> millions(400_000_000), millions(20_000)
    ('400 million', '20000')
    """
    return f"{count / 1e6:g} million" if count >= 1e6 else f"{count:g}"
