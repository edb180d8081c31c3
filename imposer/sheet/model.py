"""Press sheets in mm: where every panel, fold, cut and mark lies on each side. No files, no screen.

Every side is described as seen from its own printed face, origin at the lower left corner of the sheet as drawn. The
sheet is drawn with its lead edge at the left or at the bottom.
"""

from __future__ import annotations

from dataclasses import dataclass

from imposer.findings import Finding, Side
from imposer.fold.model import Booklet
from imposer.geometry import Box, Edge, Size, Turn
from imposer.job.model import Flip, MarkKind, Stock


@dataclass(frozen=True, slots=True)
class Panel:
    """The place of one page on one side."""

    #: The reader's page, or None beyond the booklet.
    page: int | None
    piece: int
    signature: int
    #: Where the page's trim lies, creep included.
    trim: Box
    rotation: Turn
    #: What of the page's art may print: its trim and bleed, cut off at the fold.
    clip: Box
    #: Which copy of the set this is, from 1 (several copies may share a sheet).
    copy: int = 1
    #: How far creep moved it toward the spine, mm.
    creep: float = 0.0


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight line on a side: a fold, or a cut. `x0 == x1` or `y0 == y1`."""

    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class SheetSide:
    """One printed face of a press sheet."""

    side: Side
    panels: tuple[Panel, ...]
    #: The folds, each as long as the trimmed piece or as far as it is not slit.
    folds: tuple[Segment, ...]
    #: Cuts inside a piece that part none of it, such as a mini zine's.
    slits: tuple[Segment, ...] = ()
    #: Strips by which the next piece of a joined one is glued on.
    flaps: tuple[Box, ...] = ()
    #: Edges of pages inside a piece, beside a fold that is no spine: trimmed open after folding.
    trims: tuple[Segment, ...] = ()


@dataclass(frozen=True, slots=True)
class PressSheet:
    """A sheet of the job; as many are printed as the counts say."""

    number: int
    front: SheetSide
    back: SheetSide

    def face(self, side: Side) -> SheetSide:
        """Return one of its two faces."""
        return self.front if side == "front" else self.back


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How pieces lie on a sheet: the same for every sheet of the job, and on both faces as drawn."""

    stock: Stock
    #: The sheet as drawn.
    size: Size
    #: Where ink may lie, on both faces.
    safe: Box
    #: The edge that enters the machine first, on both faces as drawn.
    lead: Edge
    flip: Flip
    #: Pieces across and up, and the turn of a piece from its flat reading position on the front.
    columns: int
    rows: int
    piece_turn: Turn
    #: The trimmed pieces on the front: column by column from the left, each from the top down (stack order).
    slots: tuple[Box, ...]
    bleed: float
    #: Where the stack is cut, as coordinates on the front: vertical cuts (x) and horizontal cuts (y), in order.
    cuts_x: tuple[float, ...]
    cuts_y: tuple[float, ...]
    #: The whole sheet is the piece: nothing is cut off, and what lies beyond the safe area is not printed.
    untrimmed: bool = False

    @property
    def block(self) -> Box:
        """The box around all trimmed pieces, on both faces."""
        return Box(self.cuts_x[0], self.cuts_y[0], self.cuts_x[-1], self.cuts_y[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Imposition:
    """The whole booklet on its press sheets."""

    booklet: Booklet
    layout: Layout
    sheets: tuple[PressSheet, ...]
    #: How many whole copies one printing of all sheets gives.
    copies_per_set: int
    #: Creep of the innermost leaf, mm; 0 where it is left out.
    creep: float
    findings: tuple[Finding, ...] = ()


# --- frames: the neutral finished form of one side -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Art:
    """A page's art, in whatever ink the frame is drawn for."""

    page: int
    trim: Box
    rotation: Turn
    clip: Box


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of a mark, full tone. `dash` is (on, off) in mm, or None."""

    kind: MarkKind
    x0: float
    y0: float
    x1: float
    y1: float
    width: float
    dash: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle of a mark, drawn as a line, full tone."""

    kind: MarkKind
    x: float
    y: float
    radius: float
    width: float


@dataclass(frozen=True, slots=True)
class Patch:
    """A filled box of a mark; `tone` 0 … 1."""

    kind: MarkKind
    box: Box
    tone: float = 1.0
    #: The ink whose masters alone carry it; None where all do.
    ink: str | None = None


@dataclass(frozen=True, slots=True)
class Arrow:
    """A filled triangle that points to the lead edge, with its box."""

    kind: MarkKind
    box: Box
    points_to: Edge


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text, full tone, the same on every master. (x, y) is the start of its baseline."""

    kind: MarkKind
    text: str
    x: float
    y: float
    #: Height of the type, mm (the font's em).
    size: float
    turn: Turn = 0


@dataclass(frozen=True, slots=True)
class Label:
    """The line that names a master. In which pass and drum it runs, the writer knows; the rest stands here.

    Every ink has its label at a place of its own, so that they can be read beside each other on the printed sheet.
    """

    title: str
    sheet: int
    of: int
    side: Side
    x: float
    y: float
    size: float
    turn: Turn
    #: The title is shortened with "…" to this length, mm, so that the rest always stands in full.
    title_room: float
    #: The longest line that can stand after the title on any master of this ink; room was left for it.
    longest_rest: str
    #: The ink whose masters carry it.
    ink: str

    def after_title(self, pass_number: int, drum: int) -> str:
        """Return what stands after the title."""
        return f" · sheet {self.sheet} of {self.of} · {self.side} · pass {pass_number} · drum {drum} · {self.ink}"


Item = Art | Stroke | Ring | Patch | Arrow | Words | Label


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The finished form of one side: items at fixed places. Masters, proof and guide all draw the same frames."""

    sheet: int
    side: Side
    size: Size
    safe: Box
    lead: Edge
    art: tuple[Art, ...]
    marks: tuple[Stroke | Ring | Patch | Arrow | Words | Label, ...]

    def marks_of(self, ink: str) -> tuple[Stroke | Ring | Patch | Arrow | Words | Label, ...]:
        """Return the marks that the masters of an ink carry: those of all inks, and its own."""
        return tuple(mark for mark in self.marks if not isinstance(mark, Patch | Label) or mark.ink in (None, ink))
