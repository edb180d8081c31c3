"""Folded paper in whole numbers: creases, leaves, pieces, the booklet. No lengths, no files.

A flat piece is a grid of cells seen from its front: column 0 at the left, row 0 at the bottom. A cell is one leaf of
the folded piece; its two faces are two pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

#: A side of a cell as seen from the front of the flat piece: north is up.
Compass = Literal["N", "E", "S", "W"]

#: What is made of the pieces. A booklet: all nested in one another, or in signatures that are gathered; a leaflet of
#: one piece; or flat sheets.
Style = Literal[
    "saddle",
    "gathered",
    "mini",
    "accordion",
    "roll",
    "letter",
    "gate",
    "double-gate",
    "double-parallel",
    "french",
    "flat",
]


@dataclass(frozen=True, slots=True)
class Crease:
    """One fold of the whole stack.

    `axis` "V": a vertical crease, the left part moves; "H": a horizontal crease, the bottom part moves. `part` is the
    size of the part that moves, as a fraction of the open (unfolded) width or height. `over`: it goes over the rest
    (a valley seen from the top); else under (a mountain). After CIP4, XJDF 2.2, App. A.3.8 and Table E.5.
    """

    axis: Literal["V", "H"]
    part: Fraction
    over: bool

    def __str__(self) -> str:
        return f"{self.axis}{self.part}{'U' if self.over else 'D'}"


@dataclass(frozen=True, slots=True)
class Scheme:
    """A grid and the folds that make it one cell."""

    columns: int
    rows: int
    creases: tuple[Crease, ...]
    #: Folded as in a mirror: the right part moves where the left one would, and the upper left corner stays put.
    mirrored: bool = False
    #: The top part moves where the bottom one would, so that a level fold comes to lie at the heads.
    from_top: bool = False
    #: Slit along the level fold over all columns but the outer two, then opened into a ring: a one-sheet mini zine. The
    #: creases are made first, for the ring to bend at.
    slit: bool = False
    #: The piece is the whole thing and nests in nothing: page 1 is the face on top, whichever way it is read.
    leaflet: bool = False

    @property
    def pages(self) -> int:
        """Pages in the folded piece, if both sides carry them."""
        return 2 * self.columns * self.rows


@dataclass(frozen=True, slots=True)
class Layer:
    """One leaf in the folded stack."""

    column: int
    row: int
    #: Whether the sheet's front faces the reader who looks at the top of the stack.
    front_up: bool
    #: The cell's edge at the head of its pages, and at their spine.
    head: Compass
    spine: Compass


@dataclass(frozen=True, slots=True)
class Leaf:
    """One cell of a piece with the pages it carries; None is a panel beyond the booklet."""

    column: int
    row: int
    head: Compass
    spine: Compass
    front: int | None
    back: int | None
    #: How many leaves of its signature lie outside this one (0 = outermost); creep grows with it.
    depth: int


@dataclass(frozen=True, slots=True)
class Piece:
    """What is folded as one."""

    #: 1 … n over the whole booklet, in the order they are collated.
    number: int
    signature: int
    #: How many pieces of its signature lie outside this one (0 = outermost).
    nest: int
    leaves: tuple[Leaf, ...]
    #: The page that fills the whole back, as a poster; no leaf has a page on its back then.
    poster: int | None = None
    #: Where several pieces are joined to one strip: the column of the strip that the piece's first column is.
    first_column: int = 0

    @property
    def pages(self) -> tuple[int, ...]:
        """The pages it carries, in reading order."""
        pages = [self.poster, *(page for leaf in self.leaves for page in (leaf.front, leaf.back))]
        return tuple(sorted(page for page in pages if page is not None))


@dataclass(frozen=True, slots=True)
class Booklet:
    """A page count folded: pieces, nested into signatures, signatures gathered."""

    scheme: Scheme
    pieces: tuple[Piece, ...]
    #: Pages of the booklet, blanks included.
    pages: int
    #: The pages that the artist did not fill, at the end.
    blanks: tuple[int, ...]
    right_to_left: bool = False
    #: Columns of a piece, where a strip too long for one sheet is joined from several; 0 where nothing is joined.
    joined: int = 0

    @property
    def pages_per_piece(self) -> int:
        """Pages of the first piece, blanks included; the last piece may carry fewer."""
        return len(self.pieces[0].pages)

    @property
    def signatures(self) -> int:
        """How many signatures are gathered."""
        return max(piece.signature for piece in self.pieces)
