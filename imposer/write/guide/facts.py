"""What the guide is made from: the finished values of every step before it, and the questions drawings ask of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from imposer.findings import Finding, Side
from imposer.fold.model import Leaf, Piece
from imposer.geometry import Size
from imposer.job.model import Job, MarkKind
from imposer.pages.model import Measured
from imposer.plan.model import Pass, PassPlan
from imposer.prepared import Prepared
from imposer.sheet.flat_piece import FlatPiece
from imposer.sheet.layout import TRIM_OPEN, piece_of
from imposer.sheet.model import Frame, Imposition, Label, Layout, PressSheet, Words
from imposer.units import show
from imposer.write.drawing import Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideFacts:
    """A job with every decision made."""

    job: Job
    #: By page and ink; what is missing is blank.
    measured: Mapping[tuple[int, str], Measured]
    imposition: Imposition
    #: By sheet number and side.
    frames: Mapping[tuple[int, Side], Frame]
    plan: PassPlan
    findings: tuple[Finding, ...] = ()
    #: The part's name, "" where the job is one; whether it is laid in or round, and no page of the reader's.
    name: str = ""
    extra: bool = False
    #: Other parts that are bound with this one, for how thick they are together.
    around: tuple[GuideFacts, ...] = ()

    @property
    def pages(self) -> tuple[int, ...]:
        """The reader's pages, blanks included, in order."""
        return tuple(sorted(page for piece in self.imposition.booklet.pieces for page in piece.pages))

    @property
    def layout(self) -> Layout:
        """How pieces lie on a sheet."""
        return self.imposition.layout

    @property
    def trim(self) -> Size:
        """The finished page, mm."""
        return self.job.page.trim

    @property
    def leaves(self) -> int:
        """How many leaves the closed booklet is thick."""
        own = sum(len(piece.leaves) for piece in self.imposition.booklet.pieces)
        return own + sum(part.leaves for part in self.around)

    @property
    def thickness(self) -> float:
        """How thick the closed booklet is, mm: its leaves pressed flat."""
        own = sum(len(piece.leaves) for piece in self.imposition.booklet.pieces)
        return own * self.job.sheet.paper.caliper + sum(part.thickness for part in self.around)

    @property
    def thickness_in_words(self) -> str:
        """How its thickness comes about."""
        if self.around:
            return f"{self.leaves} leaves, {show(self.thickness)} mm"
        return f"{self.leaves} leaves × {show(self.job.sheet.paper.caliper)} mm = {show(self.thickness)} mm"

    @property
    def folded_once(self) -> bool:
        """Whether a piece is two leaves that hang on one fold."""
        scheme = self.imposition.booklet.scheme
        return (scheme.columns, scheme.rows, len(scheme.creases)) == (2, 1, 1)

    @property
    def flat(self) -> FlatPiece:
        """Where panels and folds lie on a flat piece, mm."""
        return piece_of(self.job, self.trim, self.imposition.booklet.scheme, self.imposition.booklet.joined)

    @property
    def trim_open(self) -> float:
        """How much stands beyond the page where a fold closes it, mm: cut off, it opens the leaves."""
        return max(self.job.page.bleed, TRIM_OPEN)

    @property
    def sheets_to_pull(self) -> int:
        """Good sheets and overs of the job's own paper."""
        return self.plan.counts.good_sheets + self.plan.counts.overs

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides that are printed, in running order."""
        return tuple(dict.fromkeys(run.side for run in self.plan.passes))

    def colour(self, ink: str) -> str:
        """Return an ink's colour, `#rrggbb`."""
        return next(each.ink.colour for each in self.job.inks if each.name == ink)

    def sheet(self, number: int) -> PressSheet:
        """Return a press sheet by its number."""
        return next(sheet for sheet in self.imposition.sheets if sheet.number == number)

    def sheets_to_run(self, number: int) -> int:
        """Return how many of a press sheet are loaded: good ones and overs."""
        return self.plan.counts.good_per_sheet + self.plan.counts.overs_by_sheet[number]

    def inks_until(self, run: Pass, sheet: int) -> tuple[str, ...]:
        """Return the inks that lie on a sheet's side once this pass has run, in running order."""
        return tuple(
            master.ink
            for each in self.plan.passes
            if each.side == run.side and each.number <= run.number
            for master in each.masters
            if sheet in master.sheets
        )

    def printed_before(self, run: Pass, side: Side, sheets: Sequence[int] | None = None) -> bool:
        """Tell whether any of a pass's sheets (or of those named) was printed on a side in an earlier pass."""
        wanted = set(run.sheets if sheets is None else sheets)
        return any(
            each.side == side and each.number < run.number and wanted & set(each.sheets) for each in self.plan.passes
        )

    def leaf_backs(self) -> dict[int, int]:
        """Return for every page the one on the other side of its leaf."""
        backs: dict[int, int] = {}
        for piece in self.imposition.booklet.pieces:
            for leaf in piece.leaves:
                if leaf.front is not None and leaf.back is not None:
                    backs[leaf.front], backs[leaf.back] = leaf.back, leaf.front
        return backs

    def scale_bar(self) -> str | None:
        """Return the length written at the scale bars, such as "100 mm"; None if none was placed."""
        marks = (mark for frame in self.frames.values() for mark in frame.marks)
        return next((m.text for m in marks if isinstance(m, Words) and m.kind == "scale"), None)

    def has_mark(self, kind: MarkKind) -> bool:
        """Tell whether any side carries a mark of this kind."""
        return any(_kind_of(mark) == kind for frame in self.frames.values() for mark in frame.marks)

    def coverage(self, side: Side, sheet: int, ink: str) -> float:
        """Return the mean tone of an ink over the pages of a sheet's side, 0 … 1."""
        pages = [panel.page for panel in self.sheet(sheet).face(side).panels]
        found = [self.measured.get((page, ink)) for page in pages if page is not None]
        return sum(each.coverage for each in found if each) / max(1, len(pages))


def guide_facts(prepared: Prepared) -> tuple[GuideFacts, ...]:
    """Return what the guide is made from, part by part."""
    return tuple(
        GuideFacts(
            job=part.job,
            measured=part.measured,
            imposition=part.imposition,
            frames=part.frames,
            plan=part.plan,
            findings=part.findings,
            name=part.name,
            extra=part.extra,
        )
        for part in prepared.parts
    )


def _kind_of(mark: Mark) -> MarkKind:
    return "label" if isinstance(mark, Label) else mark.kind


def middle_pages(piece: Piece, *, right_to_left: bool = False) -> tuple[int | None, int | None]:
    """Return the two pages between which a folded piece opens at its middle, left and right."""
    pages = piece.pages
    if len(pages) < 2:
        return None, None
    one, other = pages[len(pages) // 2 - 1], pages[len(pages) // 2]
    return (other, one) if right_to_left else (one, other)


def front_rows(piece: Piece, side: Side = "front") -> tuple[tuple[int | None, ...], ...]:
    """Return the pages on one side of a flat piece, row by row from the top, each as seen from that side.

    >>> from imposer.fold.booklet import fold_booklet
    >>> front_rows(fold_booklet(8).pieces[0]), front_rows(fold_booklet(8).pieces[0], "back")
    (((8, 1),), ((2, 7),))
    """
    rows: dict[int, list[Leaf]] = {}
    for leaf in sorted(piece.leaves, key=lambda leaf: leaf.column, reverse=side == "back"):
        rows.setdefault(leaf.row, []).append(leaf)
    return tuple(
        tuple(leaf.front if side == "front" else leaf.back for leaf in rows[row]) for row in sorted(rows, reverse=True)
    )


def inner_pages(piece: Piece) -> tuple[int | None, int | None]:
    """Return the two pages inside a piece with one fold, left and right, as seen with heads up.

    >>> from imposer.fold.booklet import fold_booklet
    >>> inner_pages(fold_booklet(16).pieces[0]), outer_pages(fold_booklet(16).pieces[0])
    ((2, 15), (16, 1))
    """
    right, left = _by_column(piece)
    return left.back, right.back


def outer_pages(piece: Piece) -> tuple[int | None, int | None]:
    """Return the two pages outside a piece with one fold, left and right, as seen with heads up."""
    left, right = _by_column(piece)
    return left.front, right.front


def _by_column(piece: Piece) -> tuple[Leaf, Leaf]:
    first, second = sorted(piece.leaves, key=lambda leaf: leaf.column)
    return first, second
