"""The flat piece of a leaflet or card in mm: panels side by side, folds between them, slit and glue flap."""

from __future__ import annotations

from itertools import pairwise

from imposer.errors import Fault, ImposerError
from imposer.fold.creases import fold
from imposer.fold.model import Scheme
from imposer.geometry import Box, Size
from imposer.job.model import Job
from imposer.job.panel_widths import column_widths
from imposer.sheet.flat_piece import FlatPiece
from imposer.units import show


def leaflet_piece(job: Job, trim: Size, scheme: Scheme, joined: int = 0) -> FlatPiece:
    """Return the flat piece of a leaflet.

    Args:
        job: for its style, tuck and glue flap.
        trim: the full panel.
        scheme: how it is folded.
        joined: columns of each piece of a strip that is joined from several, which end in a flap; 0 for one piece.
    """
    lies = any(layer.head in ("E", "W") for layer in fold(scheme))
    cell = trim.turned if lies else trim
    widths = column_widths(job.binding, scheme, cell.width, job.sheet.paper)
    widths = widths[:joined] if joined else widths
    columns, folds_x = _side_by_side(widths)
    rows, folds_y = _side_by_side((cell.height,) * scheme.rows)
    across = columns[-1][1]
    slits = (Box(columns[1][0], folds_y[0], columns[-2][1], folds_y[0]),) if scheme.slit else ()
    if not joined:
        scores = job.binding.form.scores
        if scores and scores[-1] >= across:
            problem = f"{show(scores[-1])} mm lies beyond the card, which is {show(across)} mm wide"
            raise ImposerError(Fault(file=job.file, place="binding.scores", problem=problem, mend="mend the list"))
        return FlatPiece(columns, rows, folds_x, folds_y, slits, scores=scores)
    flap = Box(across, 0.0, across + job.binding.form.glue_flap, rows[-1][1])
    return FlatPiece(columns, rows, (*folds_x, across), folds_y, slits, flap)


def _side_by_side(lengths: tuple[float, ...]) -> tuple[tuple[tuple[float, float], ...], tuple[float, ...]]:
    """Return from and to of panels that touch, and the folds between them."""
    edges = [0.0]
    for length in lengths:
        edges.append(edges[-1] + length)
    return tuple(pairwise(edges)), tuple(edges[1:-1])
