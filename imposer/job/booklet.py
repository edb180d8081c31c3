"""The job's page count folded as it binds them: the one place where a style becomes pieces with pages."""

from __future__ import annotations

from imposer.errors import Fault, ImposerError
from imposer.fold.booklet import fold_booklet
from imposer.fold.leaflets import FORMS, WrongCountError, fold_leaflet
from imposer.fold.model import Booklet
from imposer.job.model import Job


def booklet_of(job: Job, pages: int) -> Booklet:
    """Fold `pages` pages, at least 1, as the job binds them.

    Raises:
        ImposerError: the form has not room for so many pages.
    """
    binding = job.binding
    right_to_left = binding.reading == "right-to-left"
    if binding.style in FORMS:
        try:
            return fold_leaflet(
                binding.style,
                pages,
                panels=binding.form.panels,
                sides=binding.form.sides,
                poster=binding.form.poster,
                right_to_left=right_to_left,
            )
        except WrongCountError as error:
            raise ImposerError(
                Fault(file=job.file, place="binding.style", problem=str(error), mend=error.mend)
            ) from error
    return fold_booklet(
        pages,
        scheme=binding.scheme,
        pieces_per_signature=None if binding.style == "saddle" else binding.pieces_per_signature or 1,
        right_to_left=right_to_left,
        short_inside=binding.stitch == "sewn",
    )
