"""What one look at a page's tones found: everything that rules ask of an ink, and of the inks together.

Values only, so that a rule is a sum on finished numbers. Boxes are in *plane space*, mm from the lower left corner of
trim plus bleed, unless a name says "page"; `InkTones.on_page` brings them into page space.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from imposer.geometry import Box, Edge, Size
from imposer.pages.drawn_facts import Drawn
from imposer.pages.model import ArtKind
from imposer.tones.agreement import Agreement
from imposer.tones.content import Content
from imposer.tones.coverage import Outside, SummedTone, Window
from imposer.tones.enlargement import Enlargement
from imposer.tones.levels import Levels
from imposer.tones.likeness import Match, Sameness
from imposer.tones.margins import Detail, Heavy, Run
from imposer.tones.plane import Plane
from imposer.tones.screened import Screen
from imposer.tones.slivers import Slivers
from imposer.tones.solids import Solid
from imposer.tones.strokes import Thin

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Rim:
    """What of a page can be printed but should carry no heavy ink: what is safe but not within `careful`."""

    safe: Box
    careful: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Zones:
    """The boxes of one page, in page space, that its ink is measured in.

    Attributes:
        safe: Where the machine can print; one box for every different place of the page.
        rims: Where heavy ink is not welcome.
        bands: Under the feed roller, and along the lead edge.
    """

    safe: tuple[Box, ...] = ()
    rims: tuple[Rim, ...] = ()
    bands: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """Ink in a band of the page: its mean tone, 0 … 1, and the worst 20 mm of it."""

    tone: float
    worst: Window


@dataclass(frozen=True, slots=True, kw_only=True)
class ToneMap:
    """Mean tones of a page's trim and bleed in cells of 2 mm, kept small.

    Attributes:
        rows: Cells down.
        columns: Cells across.
        packed: The cells, 0 = bare, 255 = full tone, row by row from the top, deflated.
    """

    rows: int
    columns: int
    packed: bytes = field(repr=False)

    def cells(self) -> NDArray[np.uint8]:
        """Return the cells, shape (rows, columns)."""
        import numpy as np

        return np.frombuffer(zlib.decompress(self.packed), dtype=np.uint8).reshape(self.rows, self.columns)


#: Side of a cell of a tone map, mm.
MAP_CELL = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class InkTones:
    """One ink that prints on a page.

    Attributes:
        kind: What kind of file the art is.
        ppi: Pixels an inch of the art as it is printed; of a PDF page those it was drawn at to be measured.
        size: The plane, trim plus bleed.
        bleed: How far it goes beyond the trim.
        ink: Tone × area of all of it, mm².
        window: The worst 20 mm.
        outside: Ink beyond each safe box (keys in page space).
        heavy: Heavy ink in each rim (keys in page space).
        bands: What lies in each band (keys in page space).
        bare_edges: Where ink runs along each edge of the trim without bleed.
        details: The fine detail nearest to each edge of the trim.
        levels: Tones too light, too dark, bare and solid.
        solids: Large solids, the largest first.
        content: What the ink is made of.
        screen: A screen found in it.
        enlargement: How it was drawn up.
        lines: Lines thinner than the limit.
        gaps: Gaps thinner than the limit.
        map: Its mean tones in cells of 2 mm.
        marks: The rectangle whose corners crop marks inside the page point at.
        drawn: What a PDF page draws, from its operators, in page space; None for an image.
    """

    kind: ArtKind
    ppi: float
    size: Size
    bleed: float
    ink: float
    window: Window
    outside: Mapping[Box, Outside]
    heavy: Mapping[Rim, Heavy]
    bands: Mapping[Box, Band]
    bare_edges: Mapping[Edge, Run]
    details: Mapping[Edge, Detail]
    levels: Levels
    solids: tuple[Solid, ...]
    content: Content
    screen: Screen | None
    enlargement: Enlargement | None
    lines: Thin | None
    gaps: Thin | None
    map: ToneMap
    marks: Box | None = None
    drawn: Drawn | None = None

    @property
    def area(self) -> float:
        """Area of the plane, mm²."""
        return self.size.width * self.size.height

    def on_page(self, box: Box) -> Box:
        """Return a box of the plane in page space."""
        return box.moved(-self.bleed, -self.bleed)


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTones:
    """Two inks of one page.

    Attributes:
        first: Name of the one.
        second: Name of the other.
        match: How the second would have to lie to match the first best; None where it was not asked.
        agreement: What detail of the two agrees then; None where it would not have to lie otherwise.
        sameness: How alike their tones are.
        slivers: What drift is expected to show between them: in one pass if all inks of the job share one, else in
            passes of their own. Its own places of inks say nothing here.
    """

    first: str
    second: str
    match: Match | None
    agreement: Agreement | None
    sameness: Sameness
    slivers: Slivers


@dataclass(frozen=True, slots=True, kw_only=True)
class InkMasks:
    """Where the inks of a page lie, yes or no, for trying out how they shift.

    Attributes:
        inks: Their names.
        rows: Cells down.
        columns: Cells across.
        ppi: Cells an inch.
        packed: A bit a cell, ink by ink and row by row from the top, deflated.
    """

    inks: tuple[str, ...]
    rows: int
    columns: int
    ppi: float
    packed: bytes = field(repr=False)

    def planes(self) -> tuple[Plane, ...]:
        """Return a plane for each ink: full tone where it lies."""
        import numpy as np

        bits = np.frombuffer(zlib.decompress(self.packed), dtype=np.uint8)
        count = len(self.inks) * self.rows * self.columns
        cells = np.unpackbits(bits, count=count).reshape(len(self.inks), self.rows, self.columns)
        return tuple(Plane(one * np.uint8(255), self.ppi) for one in cells)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageTones:
    """One page: every ink that prints on it, and the inks together.

    Attributes:
        inks: By name, in the job's order.
        summed: Where the tones of all inks add up to the most; None where fewer than two print.
        pairs: Every two inks.
        masks: Where the inks lie, if drift may show anything at all; None if it cannot.
    """

    inks: Mapping[str, InkTones]
    summed: SummedTone | None = None
    pairs: tuple[PairTones, ...] = ()
    masks: InkMasks | None = None
