"""A sheet that its pieces fill, as with most one-sheet zines and plain booklets: folded as printed, never trimmed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import floor

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.fold.creases import fold
from imposer.fold.model import Scheme
from imposer.geometry import Box, Size, Turn
from imposer.job.model import Job
from imposer.sheet.model import Layout
from imposer.sheet.safe_area import draw_sheet
from imposer.units import show

#: A piece may be smaller than the sheet by so much, mm: names such as "A7" are rounded down from the sheet's parts.
ROUNDED = 2.0

_TURNS: tuple[Turn, ...] = (0, 90)


def untrimmed_layout(job: Job, flat: Size, scheme: Scheme) -> tuple[Layout, tuple[Finding, ...]]:
    """Return the layout of a job whose pieces fill the sheet: one of them, or equal parts of it, cut from edge to edge.

    Args:
        job: sheet sizes to try, how many pieces a side if it says so, machine.
        flat: the piece, unfolded.
        scheme: how it is folded; for the trim that would fill the sheet.

    Raises:
        ImposerError: the pieces do not fill any sheet of the paper.
    """
    margins = job.shop.machine.margins
    for stock in job.sheet.stocks:
        sheet = draw_sheet(stock.size, stock.lead, job.sheet.turn, margins)
        for turn in _TURNS:
            piece = flat if turn == 0 else flat.turned
            parts = _parts(piece, sheet.size)
            if parts is None or job.sheet.pieces not in (None, parts[0] * parts[1]):
                continue
            cuts_x, cuts_y = _equal(sheet.size.width, parts[0]), _equal(sheet.size.height, parts[1])
            layout = Layout(
                stock=stock,
                size=sheet.size,
                safe=sheet.safe,
                lead=sheet.lead,
                flip=sheet.flip,
                columns=parts[0],
                rows=parts[1],
                piece_turn=turn,
                slots=tuple(_in_the_middle(piece, part) for part in _boxes(cuts_x, cuts_y)),
                bleed=0.0,
                cuts_x=cuts_x,
                cuts_y=cuts_y,
                untrimmed=True,
            )
            return layout, (_unprinted(job),)
    raise ImposerError(_not_filled(job, flat, scheme))


def fills_a_sheet(job: Job, flat: Size) -> bool:
    """Return whether the job's pieces, as many as it asks for, fill a sheet of its paper with nothing to trim."""
    found = [_parts(piece, stock.size) for stock in job.sheet.stocks for piece in (flat, flat.turned)]
    return any(parts and job.sheet.pieces in (None, parts[0] * parts[1]) for parts in found)


def _parts(piece: Size, sheet: Size) -> tuple[int, int] | None:
    """Return how many pieces lie across and up if they fill the sheet, each part of it no more than ROUNDED larger."""
    parts = floor(sheet.width / piece.width + 1e-9), floor(sheet.height / piece.height + 1e-9)
    if 0 in parts:
        return None
    over = (sheet.width / parts[0] - piece.width, sheet.height / parts[1] - piece.height)
    return parts if max(over) <= ROUNDED + 1e-6 else None


def _boxes(cuts_x: tuple[float, ...], cuts_y: tuple[float, ...]) -> Iterator[Box]:
    """Give the parts of the sheet, column by column from the left, in each from the top down."""
    for x0, x1 in pairwise(cuts_x):
        for y1, y0 in pairwise(reversed(cuts_y)):
            yield Box(x0, y0, x1, y1)


def _in_the_middle(piece: Size, part: Box) -> Box:
    return Box.around(*part.centre, piece.width, piece.height)


def _equal(length: float, parts: int) -> tuple[float, ...]:
    return tuple(length * k / parts for k in range(parts + 1))


def _unprinted(job: Job) -> Finding:
    margins = job.shop.machine.margins
    return Finding(
        rule="untrimmed",
        level="note",
        message=(
            f"the sheet is not trimmed, so its outer edges stay white: {show(margins.lead)} mm at the lead edge, "
            f"{show(margins.tail)} mm at the tail, {show(margins.sides)} mm at the sides; no marks stand around it"
        ),
        mend="keep art that matters inside; set untrimmed = false and a smaller trim to print to the edge of pages",
    )


def _not_filled(job: Job, flat: Size, scheme: Scheme) -> Fault:
    stock, pieces = job.sheet.stocks[0], job.sheet.pieces or 1
    sheet = stock.size.landscape
    lies = any(layer.head in ("E", "W") for layer in fold(scheme))
    trim = job.page.trim.turned if lies else job.page.trim
    grids = [(n, pieces // n) for n in range(1, pieces + 1) if pieces % n == 0]
    parts = [Size(sheet.width / across, sheet.height / up) for across, up in grids]
    filling = [
        Size(part.width / scheme.columns, part.height / scheme.rows)
        for whole in parts
        for part in (whole, whole.turned)
    ]
    nearest = min(filling, key=lambda size: abs(size.width / size.height - trim.width / trim.height))
    page = nearest.turned if lies else nearest
    what = f"{pieces} pieces must fill" if pieces > 1 else "the piece must be"
    return Fault(
        file=job.file,
        place="page.trim",
        problem=(
            f"untrimmed, {what} the whole sheet, but {'each' if pieces > 1 else 'it'} is {show(flat.width)} × "
            f"{show(flat.height)} mm and {stock.name} is {show(sheet.width)} × {show(sheet.height)} mm"
        ),
        mend=f"set trim = [{show(page.width)}, {show(page.height)}], or untrimmed = false",
    )
