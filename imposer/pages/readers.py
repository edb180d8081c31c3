"""One reader per kind of artwork behind one small interface.

A reader knows three things about a file of its kind: what pages it holds (from headers alone), what their tones are,
and how one page becomes an object inside another PDF. Everything else in the program asks here and does not care what
kind a file is. A new kind is a new module with these functions and a row in `reader_for`.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from imposer.errors import Fault, ImposerError, unreadable
from imposer.geometry import Size, Transform
from imposer.limits import LIMITS, Limits
from imposer.pages.model import ArtSource
from imposer.pages.other_formats import unread_format

if TYPE_CHECKING:
    import numpy as np
    import pikepdf
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Embedded:
    """A page's art as an object inside a PDF that is being made."""

    #: An image or form XObject of the target PDF.
    xobject: pikepdf.Object
    #: From the object's own space (the unit square of an image; a form's user space, points) to art space, mm.
    to_art: Transform
    #: The second number of the version of PDF 1 that the object needs at least, as far as its source says.
    minor_version: int = 4


class Reader(Protocol):
    """What a kind of artwork must be able to do. Modules `images` and `pdfs` satisfy it."""

    def survey(
        self, file: Path, shown: str, limits: Limits = LIMITS, plate: str | None = None
    ) -> tuple[ArtSource, ...]:
        """Return the pages of a file, from its headers alone; `limits` rule then and whenever a page is read.

        `plate` names the one plate of it that is wanted; a page that does not use it has nothing on it.

        Raises:
            ImposerError: the file cannot be used, or not taken apart into plates; the fault names `shown`, and says
                what to export instead.
        """

    def plates(self, source: ArtSource) -> tuple[str, ...]:
        """Return the plates that a page may print on: process colours in their order, then spot colours by name."""

    def printing_plates(self, source: ArtSource, size: Size, among: Collection[str]) -> tuple[str, ...]:
        """Return those of some of its plates that carry more than a trace of ink."""

    def tones(self, source: ArtSource, size: Size, ppi: float) -> NDArray[np.uint8]:
        """Return a page's tones as (height, width) uint8, 0 = bare paper, 255 = full tone; the top row first.

        `size` is the page's art space in mm. The array has `round(mm * ppi / 25.4)` pixels each way (at least 1).
        Reduced by averaging, so that thin lines grow pale but do not vanish. `ppi = 0` asks for the art's own pixels
        (an image untouched; a PDF page at 600 ppi).
        """

    def embed(self, source: ArtSource, size: Size, target: pikepdf.Pdf) -> Embedded:
        """Put a page into `target` in gray alone, samples and vectors untouched wherever they are gray already.

        The caller keeps `target` and calls this once per page and file; files opened for it are kept open until
        `target` is closed or collected.
        """


def reader_for(file: Path, shown: str) -> Reader:
    """Return the reader of a file, chosen by what its first bytes say, not by its name.

    Raises:
        ImposerError: the file cannot be read, is empty, or is of no kind that is read here.
    """
    from imposer.pages import images, pdfs

    try:
        with file.open("rb") as stream:
            head = stream.read(1024)
    except OSError as error:
        raise unreadable(shown, error) from error
    if not head:
        raise ImposerError(Fault(file=shown, problem="is empty (0 bytes)", mend="export or copy it again"))
    if head.startswith((b"\x89PNG", b"\xff\xd8\xff", b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")):
        return images
    if b"%PDF-" in head:
        return pdfs
    raise ImposerError(unread_format(head, shown))


def reader_of(source: ArtSource) -> Reader:
    """Return the reader of a page that was surveyed; the file is not looked at again."""
    from imposer.pages import images, pdfs

    return pdfs if source.kind == "pdf" else images
