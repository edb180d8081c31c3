"""How wide every panel of a leaflet is: those that are tucked in are narrower. Millimetres in and out.

The job's trim is the full panel. How much narrower the others are is the trade's custom ("folding" in a bindery's
guide and in folding machine makers' leaflets; the figures stand beside each form), or the job's own `tuck`.
"""

from __future__ import annotations

from imposer.fold.model import Booklet, Scheme, Style
from imposer.geometry import Size
from imposer.job.model import BindingSpec, Paper

#: 1/16 in: the tucked-in panel of a letter fold, and the last panel of a roll against the one before it.
LETTER_TUCK = 25.4 / 16
#: 3/32 in for text weights, 1/8 in for cover weights: each further inner panel of a roll.
ROLL_STEP, ROLL_STEP_COVER = 25.4 * 3 / 32, 25.4 / 8
#: Heavier papers count as cover weight, g/m²; common practice, no source.
COVER_WEIGHT = 160
#: 1/4 in: the whole gap between the closing panels of a gate, each 1/8 in shorter than half the centre.
GATE_GAP = 25.4 / 4


def column_widths(binding: BindingSpec, scheme: Scheme, full: float, paper: Paper) -> tuple[float, ...]:
    """Return the width of every column of a leaflet's flat piece, from the left of its front, mm.

    Args:
        binding: the style, and the tuck if the job states one.
        scheme: how it is folded.
        full: width of the full panel, the job's trim.
        paper: its weight tells how much a roll wants.
    """
    widths = _widths(binding.style, scheme.columns, full, binding.form.tuck, paper.weight)
    return widths[::-1] if scheme.mirrored else widths


def _widths(style: Style, columns: int, full: float, tuck: float | None, weight: float) -> tuple[float, ...]:
    """Return the widths of an unmirrored piece, whose cover is the last column or beside the middle.

    >>> [round(w, 5) for w in _widths("roll", 4, 4.3125 * 25.4, None, 90)]
    [105.56875, 107.15625, 109.5375, 109.5375]
    """
    match style:
        case "letter" | "roll":
            further = ROLL_STEP_COVER if weight >= COVER_WEIGHT else ROLL_STEP
            steps = [further] * (columns - 3) + [LETTER_TUCK] if tuck is None else [tuck] * (columns - 2)
            return (*(full - sum(steps[:inward]) for inward in range(columns - 2, 0, -1)), full, full)
        case "gate":
            closing = (full - (GATE_GAP if tuck is None else tuck)) / 2
            return (closing, full, closing)
        case "double-gate":
            closing = full - (GATE_GAP if tuck is None else tuck) / 2
            return (closing, full, full, closing)
        case "double-parallel":
            # The catalogue gives quarters (XJDF 2.2, Table E.5: F8-1, F8-2), so nothing is taken off unasked.
            inner = full - (tuck or 0.0)
            return (inner, inner, full, full)
        case _:
            return (full,) * columns


def whole_size(widths: tuple[float, ...], rows: int, height: float) -> Size:
    """Return the size of a flat piece, and so of the poster on its back, mm."""
    return Size(sum(widths), rows * height)


def page_columns(booklet: Booklet) -> dict[int, tuple[int, bool]]:
    """Return for every page of a leaflet the column it lies in, and whether it stands on the front."""
    found: dict[int, tuple[int, bool]] = {}
    for piece in booklet.pieces:
        for leaf in piece.leaves:
            for page, front in ((leaf.front, True), (leaf.back, False)):
                if page is not None:
                    found[page] = (leaf.column + piece.first_column, front)
    return found
