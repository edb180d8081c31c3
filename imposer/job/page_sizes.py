"""How large every page of a job is: the trim for most; a narrower panel's own width, or the whole back for a poster."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from imposer.fold.leaflets import FORMS
from imposer.job.booklet import booklet_of
from imposer.job.model import Job, PageSpec
from imposer.job.panel_widths import column_widths, page_columns, whole_size
from imposer.units import close

CutAt = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class OwnSize:
    """The size of a page, and how it differs from the job's trim."""

    spec: PageSpec
    #: The job's own page, if this one differs from it.
    full: PageSpec | None = None
    #: Where art of the full trim is cut to make it the page: the edge of the page that is tucked in; None for pages
    #: that are no part of a full panel.
    cut_at: CutAt | None = None


def own_sizes(job: Job, pages: int) -> Mapping[int, OwnSize]:
    """Return the pages that are not of the job's trim, when it has so many pages.

    Raises:
        ImposerError: the form has not room for so many pages.
    """
    if pages < 1 or job.binding.style not in FORMS:
        return {}
    booklet = booklet_of(job, pages)
    full = job.page.trim
    widths = column_widths(job.binding, booklet.scheme, full.width, job.sheet.paper)
    found: dict[int, OwnSize] = {}
    for page, (column, front) in page_columns(booklet).items():
        if not close(widths[column], full.width):
            spec = replace(job.page, trim=replace(full, width=widths[column]))
            # The free edge, or the one toward it, gives way; seen from the back it lies at the other hand.
            gates = job.binding.style == "double-gate"
            free_left = column < len(widths) / 2 if gates else not booklet.scheme.mirrored
            cut: CutAt | None = "left" if free_left == front else "right"
            found[page] = OwnSize(spec, job.page, None if job.binding.style == "gate" else cut)
    poster = booklet.pieces[0].poster
    if poster is not None:
        whole = whole_size(widths, booklet.scheme.rows, full.height)
        found[poster] = OwnSize(replace(job.page, trim=whole), job.page)
    return found
