"""A sheet that is the piece itself, as with most one-sheet zines: folded as it is printed, never trimmed."""

from __future__ import annotations

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


def whole_sheet(job: Job, flat: Size, scheme: Scheme) -> tuple[Layout, tuple[Finding, ...]]:
    """Return the layout of a job whose piece is the whole sheet.

    Args:
        job: sheet sizes to try, machine.
        flat: the piece, unfolded.
        scheme: how it is folded; for the trim that would fill the sheet.

    Raises:
        ImposerError: the piece is not as large as any sheet of the paper.
    """
    margins = job.shop.machine.margins
    if job.sheet.pieces not in (None, 1):
        problem = "a sheet that is not trimmed is one piece"
        raise ImposerError(
            Fault(file=job.file, place="sheet.pieces", problem=problem, mend="leave it out, or set untrimmed = false")
        )
    for stock in job.sheet.stocks:
        sheet = draw_sheet(stock.size, stock.lead, job.sheet.turn, margins)
        for turn in _TURNS:
            piece = flat if turn == 0 else flat.turned
            if _fills(piece, sheet.size):
                slot = Box.around(sheet.size.width / 2, sheet.size.height / 2, piece.width, piece.height)
                layout = Layout(
                    stock=stock,
                    size=sheet.size,
                    safe=sheet.safe,
                    lead=sheet.lead,
                    flip=sheet.flip,
                    columns=1,
                    rows=1,
                    piece_turn=turn,
                    slots=(slot,),
                    bleed=0.0,
                    cuts_x=(slot.x0, slot.x1),
                    cuts_y=(slot.y0, slot.y1),
                    untrimmed=True,
                )
                return layout, (_unprinted(job),)
    raise ImposerError(_not_filled(job, flat, scheme))


def _fills(piece: Size, sheet: Size) -> bool:
    over = (sheet.width - piece.width, sheet.height - piece.height)
    return all(-1e-6 <= each <= ROUNDED + 1e-6 for each in over)


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
    stock = job.sheet.stocks[0]
    sheet = stock.size.landscape
    across, up = (scheme.columns, scheme.rows)
    lies = any(layer.head in ("E", "W") for layer in fold(scheme))
    lying = Size(sheet.width / across, sheet.height / up)
    upright = Size(sheet.height / across, sheet.width / up)
    trim = job.page.trim.turned if lies else job.page.trim
    nearest = min((lying, upright), key=lambda size: abs(size.width / size.height - trim.width / trim.height))
    page = nearest.turned if lies else nearest
    return Fault(
        file=job.file,
        place="page.trim",
        problem=(
            f"untrimmed, the piece must be the whole sheet, but it is {show(flat.width)} × {show(flat.height)} mm and "
            f"{stock.name} is {show(sheet.width)} × {show(sheet.height)} mm"
        ),
        mend=f"set trim = [{show(page.width)}, {show(page.height)}], or untrimmed = false",
    )
