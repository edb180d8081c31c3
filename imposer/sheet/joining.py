"""What must be told of a strip that is joined from several pieces: where the glue goes and what it hides."""

from __future__ import annotations

from imposer.findings import Finding
from imposer.fold.model import Booklet, Piece
from imposer.job.model import Job
from imposer.units import show


def glue_findings(job: Job, booklet: Booklet) -> tuple[Finding, ...]:
    """Return a note that says how the pieces are joined, and a warning for every page that a flap covers."""
    flap = show(job.binding.form.glue_flap)
    count = len(booklet.pieces)
    note = Finding(
        rule="joined",
        level="note",
        message=(
            f"the strip of {booklet.scheme.columns} panels is longer than the sheet: it is joined from {count} pieces "
            f"of {booklet.joined} panels, with a glue flap of {flap} mm at the right, front and heads up"
        ),
        mend="cut the flap off the last piece, with any panels that stay empty beside it",
    )
    return (note, *filter(None, (_covered(piece, flap) for piece in booklet.pieces[1:])))


def _covered(piece: Piece, flap: str) -> Finding | None:
    """Return what the flap of the piece before hides: a strip at the back of this piece's first panel."""
    page = next((leaf.back for leaf in piece.leaves if leaf.column == 0), None)
    if page is None:
        return None
    return Finding(
        rule="glue-covers",
        level="warning",
        message=f"the glue flap of the piece before covers {flap} mm at its right edge",
        mend="keep that strip free",
        page=page,
    )
