"""A page count held against signatures: what is left blank, and what else could be done, with what each wastes."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.fold.booklet import signature_sizes
from imposer.fold.creases import SINGLE_FOLD
from imposer.fold.leaflets import FORMS, WrongCountError, fold_leaflet
from imposer.fold.model import Style
from imposer.words import number_of

_PAGES_PER_PIECE = SINGLE_FOLD.pages


@dataclass(frozen=True, slots=True, kw_only=True)
class PageCount:
    """A booklet of a number of pages, counted out."""

    #: What it is, in words: "as asked", "4 pages fewer", "gathered, 2 pieces a signature".
    choice: str
    style: Style
    #: Pages with something to print.
    pages: int
    #: Pages added at the end to fill the last piece.
    blanks: tuple[int, ...]
    #: Pages of the original that have no place.
    dropped: int
    pieces: int
    #: Pieces in each signature; none for leaflets and cards.
    signatures: tuple[int, ...]
    #: Press sheets a copy, and places on them that stay empty, if that many pieces lie on a side.
    sheets: int
    empty_places: int

    @property
    def bound_pages(self) -> int:
        """Pages of the booklet, blanks included."""
        return self.pages + len(self.blanks)


def count_pages(
    pages: int,
    *,
    style: Style = "saddle",
    pieces_per_signature: int | None = None,
    pieces_per_side: int = 1,
    choice: str = "as asked",
    dropped: int = 0,
) -> PageCount:
    """Count one booklet out.

    Args:
        pages: pages to be printed, at least 1.
        style: how it is bound.
        pieces_per_signature: for gathered signatures; 1 if left out.
        pieces_per_side: how many pieces lie on a press sheet's side.
        choice: what this booklet is, in words.
        dropped: pages of the original that were left out.

    >>> count_pages(14).blanks, count_pages(14, pieces_per_side=4).sheets
    ((15, 16), 1)
    """
    pieces = -(-pages // _PAGES_PER_PIECE)
    sheets = -(-pieces // pieces_per_side)
    per_signature = None if style == "saddle" else pieces_per_signature or 1
    return PageCount(
        choice=choice,
        style=style,
        pages=pages,
        blanks=tuple(range(pages + 1, pieces * _PAGES_PER_PIECE + 1)),
        dropped=dropped,
        pieces=pieces,
        signatures=signature_sizes(pieces, per_signature),
        sheets=sheets,
        empty_places=sheets * pieces_per_side - pieces if pieces > pieces_per_side else pieces_per_side % pieces,
    )


def count_leaflet(
    pages: int,
    *,
    style: Style,
    panels: int | None = None,
    sides: int = 2,
    poster: bool = False,
    pieces_per_side: int = 1,
    choice: str = "as asked",
) -> PageCount:
    """Count a leaflet or cards out; for arguments see `count_pages` and `fold.leaflets.fold_leaflet`.

    >>> count_leaflet(7, style="mini").blanks, count_leaflet(5, style="flat", pieces_per_side=3).pieces
    ((8,), 3)

    Raises:
        WrongCountError: the form has not room for so many pages.
    """
    booklet = fold_leaflet(style, pages, panels=panels, sides=sides, poster=poster)
    pieces = len(booklet.pieces)
    sheets = -(-pieces // pieces_per_side)
    return PageCount(
        choice=choice,
        style=style,
        pages=pages,
        blanks=booklet.blanks,
        dropped=0,
        pieces=pieces,
        signatures=(),
        sheets=sheets,
        empty_places=sheets * pieces_per_side - pieces if pieces > pieces_per_side else pieces_per_side % pieces,
    )


def other_forms(
    pages: int, *, style: Style, sides: int = 2, poster: bool = False, pieces_per_side: int = 1
) -> tuple[PageCount, ...]:
    """Return what else has room for so many pages, fewest blanks first: other leaflets, a saddle-stitched booklet."""
    found: list[PageCount] = []
    for other, form in FORMS.items():
        if other in (style, "flat"):
            continue
        try:
            found.append(
                count_leaflet(
                    pages, style=other, sides=sides, poster=poster, pieces_per_side=pieces_per_side, choice=form.words
                )
            )
        except WrongCountError:
            continue
    if not poster and sides == 2:
        found.append(count_pages(pages, pieces_per_side=pieces_per_side, choice="saddle stitched"))
    return tuple(sorted(found, key=lambda count: len(count.blanks)))


def alternatives(
    pages: int, *, style: Style = "saddle", pieces_per_signature: int | None = None, pieces_per_side: int = 1
) -> tuple[PageCount, ...]:
    """Return other booklets for the same pages: fewer pages, more pages, a full last sheet, another binding."""
    asked = count_pages(pages, style=style, pieces_per_signature=pieces_per_signature, pieces_per_side=pieces_per_side)
    found: list[PageCount] = []

    def offer(count: int, choice: str, bind: Style = style, per_signature: int | None = pieces_per_signature) -> None:
        if count < 1:
            return
        offered = count_pages(
            count,
            style=bind,
            pieces_per_signature=per_signature,
            pieces_per_side=pieces_per_side,
            choice=choice,
            dropped=max(0, pages - count),
        )
        same = (offered.pages, offered.style, offered.signatures)
        if all(same != (o.pages, o.style, o.signatures) for o in (asked, *found)):
            found.append(offered)

    short = pages % _PAGES_PER_PIECE
    if short:
        offer(pages - short, f"{number_of(short, 'page')} fewer")
        offer(pages + _PAGES_PER_PIECE - short, f"{number_of(_PAGES_PER_PIECE - short, 'page')} more")
    for_sheet = _PAGES_PER_PIECE * pieces_per_side
    over = pages % for_sheet
    if pages > for_sheet and over:
        offer(pages - over, f"{number_of(over, 'page')} fewer, every sheet full")
        offer(pages + for_sheet - over, f"{number_of(for_sheet - over, 'page')} more, every sheet full")
    if style == "saddle" and asked.pieces > 1:
        offer(pages, "gathered, 2 pieces a signature", "gathered", 2)
        offer(pages, "gathered, side-stitched single pieces", "gathered", 1)
    if style == "gathered":
        offer(pages, "saddle stitched", "saddle", None)
    return tuple(found)
