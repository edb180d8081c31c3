"""What the dummy says beside its drawings: how to print, cut, fold and put it together. Values in, short lines out."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.fold.model import Booklet
from imposer.job.model import Stitch
from imposer.sheet.model import Imposition, Layout
from imposer.sheet.safe_area import mirrors_x
from imposer.sheet.stitches import Stitching
from imposer.units import close, show
from imposer.words import number_of
from imposer.write.dummy.lines import SideLines


def how_to_print(layout: Layout, scale: float) -> str:
    """Say how an office printer turns the paper over, and that it must not scale."""
    edge = "short" if flips_at_short_edge(layout) else "long"
    return f"Print on both sides at 100 %, turned over at the {edge} edge.{'' if close(scale, 1) else _scaled(scale)}"


def _scaled(scale: float) -> str:
    return f" Drawn at {scale * 100:.1f} %: not the size of the masters."


def flips_at_short_edge(layout: Layout) -> bool:
    """Tell whether the back is seen after a flip about a line along the short edge of the sheet as drawn."""
    upright_line = mirrors_x(layout.lead, layout.flip)
    return upright_line == (layout.size.width >= layout.size.height)


_HELD: dict[Stitch, str] = {
    "saddle": "Mind your fingers: staple through the fold at the gray bars.",
    "side": "Mind your fingers: staple through the stack at the gray bars.",
    "sewn": "Mind the needle: sew each signature through the rings in its fold.",
    "stab": "Mind the awl: pierce the stack at the rings and sew.",
}


def how_to_fold(
    imposition: Imposition, sides: Sequence[SideLines], stitching: Stitching | None = None
) -> tuple[str, ...]:
    """Say in order what the hands do."""
    booklet, layout = imposition.booklet, imposition.layout
    folds = len(booklet.scheme.creases)
    steps = []
    slit = any(side.slits for side in sides)
    if has_cuts(layout) or slit:
        where = "along the solid lines" if has_cuts(layout) else "the slit alone"
        steps.append(f"Mind the blade, cut away from your hand: cut {where}.")
    if any(side.flaps or side.spare_flaps for side in sides):
        steps.append("Glue the next piece onto each hatched flap, in order; the last piece's flap is cut off.")
    if slit:
        steps.append("Crease every line and open again; fold the long way, push both ends in until the slit opens.")
        steps.append("V sinks, M rises. Fold round so that page 1 is on top.")
    elif folds == 1:
        steps.append("Front up, fold once: V sinks, M rises.")
    elif folds:
        steps.append(f"Front up, fold 1 to {folds} in order: V sinks, M rises.")
    steps += _put_together(booklet)
    if stitching is not None:
        steps.append(_HELD[stitching.kind])
    if any(side.open_strips for side in sides):
        steps.append("Trim the hatched strips open last.")
    return tuple(steps)


def has_cuts(layout: Layout) -> bool:
    """Tell whether the sheet is cut at all."""
    return (
        len(layout.slots) > 1
        or not close(layout.block.width, layout.size.width)
        or not close(layout.block.height, layout.size.height)
    )


def _put_together(booklet: Booklet) -> list[str]:
    nested = max((piece.nest for piece in booklet.pieces), default=0)
    steps = []
    if nested:
        first = [piece.number for piece in booklet.pieces if piece.nest == 0]
        outside = f"piece {first[0]}" if len(first) == 1 else "the lowest piece of each signature"
        steps.append(f"Nest the pieces in order, {outside} outermost.")
    if booklet.signatures > 1:
        steps.append(f"Gather signatures 1 to {booklet.signatures}, the first on top.")
    return steps


def blank_or_none(page: int | None, booklet: Booklet) -> str:
    """Return what is said under a page's number."""
    if page is None:
        return "no page"
    return "blank" if page in booklet.blanks else ""


def place_in_words(piece: int, signature: int, copy: int, imposition: Imposition) -> str:
    """Name the piece, signature and copy that a panel belongs to, as far as there are several."""
    booklet = imposition.booklet
    parts = []
    if len(booklet.pieces) > 1:
        parts.append(f"piece {piece} of {len(booklet.pieces)}")
    if booklet.signatures > 1:
        parts.append(f"signature {signature} of {booklet.signatures}")
    if imposition.copies_per_set > 1:
        parts.append(f"copy {copy}")
    return " · ".join(parts)


def sizes_in_words(imposition: Imposition) -> str:
    """Name the press sheet: "A3, 420 × 297 mm; 2 pieces a side"."""
    layout = imposition.layout
    size = f"{show(layout.size.width)} × {show(layout.size.height)} mm"
    name = layout.stock.name
    sheet = size if name.replace(" ", "") == size.replace(" ", "") else f"{name}, {size}"
    return f"{sheet}; {number_of(len(layout.slots), 'piece')} a side"


def what_lines_mean(side: SideLines, imposition: Imposition) -> tuple[str, ...]:
    """Say what the lines of a side mean, those that are there."""
    meanings = []
    if any(crease.valley for crease in side.creases):
        meanings.append("V: valley, dashed")
    if not all(crease.valley for crease in side.creases):
        meanings.append("M: mountain, dash and dot")
    if has_cuts(imposition.layout):
        meanings.append("solid: cut")
    if side.open_strips:
        meanings.append("hatched: trim open")
    if side.slits:
        meanings.append("thick: slit")
    return ("; ".join(meanings),) if meanings else ()
