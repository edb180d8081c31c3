"""What was found: the art of every page in every ink, and what was measured on it.

Two spaces matter here. *Art space* is one page of a file as a viewer shows it: mm at 1:1, origin at its lower left,
after any turn the file asks for. *Page space* is the finished page: mm, origin at the lower left corner of the trim.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from imposer.findings import Finding
from imposer.geometry import Box, Size, Transform
from imposer.job.model import PageSpec
from imposer.limits import LIMITS, Limits
from imposer.pages.previews import Preview

ArtKind = Literal["image", "pdf"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtSource:
    """One page of one file, known from its header; nothing decoded."""

    file: Path
    #: The file as people know it, relative to the job's folder.
    shown: str
    kind: ArtKind
    #: Which page of the file, from 0.
    index: int = 0
    #: How many pages the file has.
    of: int = 1
    #: Size of art space in mm. None for an image that states no resolution: it fills trim plus bleed.
    size: Size | None
    #: Width and height in pixels as shown; None for a PDF page.
    pixels: tuple[int, int] | None = None
    #: The trim box that the file itself states, in art space.
    trim: Box | None = None
    #: Which half of a double page this is; its trim box is that half.
    half: Literal["left", "right"] | None = None
    #: Which plate of it is meant; None takes all of it by its lightness.
    plate: str | None = None
    #: What is worth telling about it (repaired, coloured, …); page and ink are filled in by the table.
    findings: tuple[Finding, ...] = ()
    #: What it may cost to read it: those of the shop whose job found it.
    limits: Limits = LIMITS

    @property
    def place(self) -> str:
        """The file, and the page in it where it has several, in words."""
        page = f", page {self.index + 1}" if self.of > 1 else ""
        half = f", {self.half} half" if self.half else ""
        return self.shown + page + half + (f", plate {self.plate}" if self.plate else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class PageArt:
    """The art of one page in one ink, with its place on the finished page."""

    page: int
    ink: str
    source: ArtSource
    #: Size of art space, mm (never None: see `ArtSource.size`).
    size: Size
    #: From art space to page space. A pure shift, unless the job asked for `fit = "scale"`.
    to_page: Transform
    #: The page's trim where it is not the job's: a panel narrower than the others, a poster.
    trim: Size | None = None

    @property
    def covers(self) -> Box:
        """The box that the art covers in page space, mm."""
        return self.to_page.apply_box(Box(0, 0, self.size.width, self.size.height))

    def own(self, page: PageSpec) -> PageSpec:
        """Return the page that this art is for: the job's, or one of another trim."""
        return page if self.trim is None else replace(page, trim=self.trim)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageTable:
    """The table of page × ink."""

    #: Ink names in the job's order.
    inks: tuple[str, ...]
    #: The last page that any ink has.
    pages: int
    #: What each page carries in each ink; a cell that is missing is blank.
    cells: Mapping[tuple[int, str], PageArt]
    findings: tuple[Finding, ...] = ()

    def art(self, page: int | None, ink: str) -> PageArt | None:
        """Return the art of a page in an ink, or None where there is none."""
        return None if page is None else self.cells.get((page, ink))


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What one page carries in one ink, measured on its tones."""

    #: Mean tone over the trim, 0 … 1.
    coverage: float
    #: The darkest tone anywhere inside trim plus bleed, 0 … 1.
    darkest: float
    #: The smallest box in page space that holds all ink; None if there is none.
    inked: Box | None
    #: Where its preview waits; not compared, for the digest tells one picture from another.
    kept: Preview = field(repr=False, compare=False)
    #: Mean tones of the trim in the cells of `tones.sketch.cells_of`, by which the page is known on a master; empty in
    #: values that no page was measured for.
    sketch: bytes = field(default=b"", repr=False)
    #: SHA-256 of all its tones as decoded, in hexadecimal: another digest is another picture. "" if not taken.
    digest: str = ""

    @property
    def preview(self) -> bytes:
        """The page's trim as a small gray picture, TIFF or JPEG (black = full tone), for thumbnails and proofs."""
        return self.kept.read()

    @property
    def prints(self) -> bool:
        """Whether any ink is laid down at all."""
        return self.inked is not None
