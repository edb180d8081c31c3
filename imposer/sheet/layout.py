"""Which sheet of the paper, which grid of pieces on it; and where nothing fits, by how much, and what would.

Every mend that is offered was tried here with the same sums.
"""

from __future__ import annotations

from math import floor

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.fold.model import Scheme
from imposer.geometry import Size
from imposer.job.model import Job, Stock
from imposer.sheet.fitting import Grid, Overshoot, best_grid, grid_of, mark_room, overshoot
from imposer.sheet.flat_piece import FlatPiece, flat_piece, wrapped_piece
from imposer.sheet.leaflet_piece import leaflet_piece
from imposer.sheet.model import Layout
from imposer.sheet.safe_area import DrawnSheet, draw_sheet
from imposer.sheet.untrimmed_sheet import fills_a_sheet, untrimmed_layout
from imposer.units import TOLERANCE, show

#: What is trimmed off a leaf at a closed fold: 0.125 in at head, foot and face (a bindery's signature guide), mm.
TRIM_OPEN = 3.175

#: Trims that are offered as a mend come in steps of this, mm.
_TRIM_STEP = 0.5


def choose_layout(job: Job, scheme: Scheme, joined: int = 0) -> tuple[Layout, tuple[Finding, ...]]:
    """Return the layout of the job's sheets: the first sheet size of the paper that takes the pieces.

    A number of pieces that the job states is kept even where marks must then be left out; else as many as fit with
    their marks. `joined` is how many columns each piece of a joined strip has, 0 for what is one piece.

    Raises:
        ImposerError: nothing fits; the fault says by how many mm, in which direction, and which mends do fit.
    """
    room = mark_room(wanted=bool(job.marks & {"crop", "fold", "cut"}))
    flat = piece_of(job, job.page.trim, scheme, joined).size
    if job.sheet.untrimmed:
        return untrimmed_layout(job, flat, scheme)
    for marks in (room, 0.0) if job.sheet.pieces else (room,):
        for stock in job.sheet.stocks:
            sheet = _drawn(job, stock)
            grid = _grid(job, flat, job.page.bleed, sheet, marks)
            if grid:
                return _layout(stock, sheet, grid), _tight(grid, sheet, room)
    raise ImposerError(_does_not_fit(job, scheme, room))


def piece_of(job: Job, trim: Size, scheme: Scheme, joined: int = 0) -> FlatPiece:
    """Return the flat piece of the job's booklet or leaflet, for any trim."""
    if scheme.leaflet:
        return leaflet_piece(job, trim, scheme, joined)
    if isinstance(job.binding.spine, float) and job.binding.spine > 0:
        return wrapped_piece(trim, job.binding.spine)
    return flat_piece(trim, scheme, max(job.page.bleed, TRIM_OPEN))


def _drawn(job: Job, stock: Stock) -> DrawnSheet:
    return draw_sheet(stock.size, stock.lead, job.sheet.turn, job.shop.machine.margins)


def _grid(job: Job, flat: Size, bleed: float, sheet: DrawnSheet, room: float) -> Grid | None:
    if job.sheet.pieces is None:
        return best_grid(flat, bleed, sheet, room)
    grid, over = grid_of(job.sheet.pieces, flat, bleed, sheet, room)
    return grid if over.fits else None


def _layout(stock: Stock, sheet: DrawnSheet, grid: Grid) -> Layout:
    slots = grid.slots(sheet.safe)
    return Layout(
        stock=stock,
        size=sheet.size,
        safe=sheet.safe,
        lead=sheet.lead,
        flip=sheet.flip,
        columns=grid.columns,
        rows=grid.rows,
        piece_turn=grid.turn,
        slots=slots,
        bleed=grid.bleed,
        cuts_x=_distinct([x for slot in slots for x in (slot.x0, slot.x1)]),
        cuts_y=_distinct([y for slot in slots for y in (slot.y0, slot.y1)]),
    )


def _distinct(values: list[float]) -> tuple[float, ...]:
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > TOLERANCE:
            found.append(value)
    return tuple(found)


def _tight(grid: Grid, sheet: DrawnSheet, room: float) -> tuple[Finding, ...]:
    if overshoot(grid, sheet.safe, room).fits:
        return ()
    return (
        Finding(
            rule="marks-crowded",
            level="warning",
            message=f"{grid.pieces} pieces a side leave no room for all their crop, fold and cut marks",
            mend="print fewer pieces a side, or a smaller trim, if the cutter needs every mark",
        ),
    )


def _does_not_fit(job: Job, scheme: Scheme, room: float) -> Fault:
    flat = piece_of(job, job.page.trim, scheme).size
    pieces = job.sheet.pieces or 1
    tries = [(grid_of(pieces, flat, job.page.bleed, _drawn(job, s), room), s) for s in job.sheet.stocks]
    (grid, over), stock = min(tries, key=lambda found: found[0][1].worst)
    safe = _drawn(job, stock).safe
    needed = grid.needs(room)
    what = f"{pieces} pieces" if pieces > 1 else "one piece"
    each = f"of {show(grid.piece.width)} × {show(grid.piece.height)} mm"
    beyond = " with bleed and marks" if job.page.bleed and room else " with bleed" if job.page.bleed else ""
    beyond = beyond or (" with marks" if room else "")
    return Fault(
        file=job.file,
        place="page.trim",
        problem=(
            f"{what} {each}{beyond} need {show(needed.width)} × {show(needed.height)} mm, but {stock.name} can be "
            f"printed on {show(safe.width)} × {show(safe.height)} mm: {_over_in_words(over)}"
        ),
        mend=_mends(job, scheme, room, stock),
    )


def _over_in_words(over: Overshoot) -> str:
    parts = [
        f"{show(by)} mm too {word}" for by, word in ((over.width, "wide"), (over.height, "high")) if by > TOLERANCE
    ]
    return " and ".join(parts)


def _mends(job: Job, scheme: Scheme, room: float, stock: Stock) -> str:
    """Return the mends that were tried and fit, in words."""
    flat = piece_of(job, job.page.trim, scheme).size
    sheet = _drawn(job, stock)
    pieces = job.sheet.pieces or 1
    offers = []
    if not job.page.bleed and fills_a_sheet(job, flat):
        offers.append("sheet.untrimmed = true, with white margins, since nothing is cut off")
    trim = _largest_trim(job, scheme, pieces, sheet, room)
    if trim:
        offers.append(f"trim = [{show(trim.width)}, {show(trim.height)}]")
    tried = {s.name for s in job.sheet.stocks}
    offers += [
        f'size = "{other.name}"'
        for other in job.sheet.paper.stocks
        if other.name not in tried
        and _within_machine(job, other)
        and grid_of(pieces, flat, job.page.bleed, _drawn(job, other), room)[1].fits
    ]
    fewer = next((n for n in range(pieces - 1, 0, -1) if grid_of(n, flat, job.page.bleed, sheet, room)[1].fits), None)
    if fewer:
        offers.append(f"pieces = {fewer}")
    if job.page.bleed and grid_of(pieces, flat, 0.0, sheet, room)[1].fits:
        offers.append("bleed = 0")
    return "these fit: " + "; or ".join(offers) if offers else "choose a much smaller trim or a larger sheet"


def _within_machine(job: Job, stock: Stock) -> bool:
    largest, lying = job.shop.machine.largest_sheet.landscape, stock.size.landscape
    return lying.width <= largest.width + TOLERANCE and lying.height <= largest.height + TOLERANCE


def _largest_trim(job: Job, scheme: Scheme, pieces: int, sheet: DrawnSheet, room: float) -> Size | None:
    """Return the largest trim of the same shape that fits, in steps of half a millimetre; None if there is none."""
    trim = job.page.trim
    for steps in range(floor(trim.width / _TRIM_STEP), 0, -1):
        width = steps * _TRIM_STEP
        smaller = Size(width, floor(width * trim.height / trim.width / _TRIM_STEP) * _TRIM_STEP)
        if smaller.height < _TRIM_STEP:
            return None
        if grid_of(pieces, piece_of(job, smaller, scheme).size, job.page.bleed, sheet, room)[1].fits:
            return smaller
    return None
