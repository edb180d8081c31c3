"""The first page: what the job is, what to pull for it, and the sums behind the numbers."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from math import ceil

from imposer.data.fonts import SANS_BOLD
from imposer.findings import Finding
from imposer.fold.leaflets import FORMS
from imposer.geometry import Box
from imposer.job.model import Stitch
from imposer.units import show
from imposer.words import number_of, runs_of
from imposer.write.guide.blocks import (
    BODY,
    SMALL,
    Block,
    barred,
    beside,
    gap,
    hairline,
    numbered,
    paragraph,
    stack,
    subheading,
)
from imposer.write.guide.booklet_view import draw_nest
from imposer.write.guide.cautions import MACHINE, caution
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import Pen
from imposer.write.guide.table import Cell, table

#: Sheets in a ream; common practice, no source.
REAM = 500

#: More different warnings than this are counted, not shown.
_WARNINGS_MOST = 8
#: How a booklet is held, in words.
_STITCHED: dict[Stitch, str] = {
    "saddle": "saddle-stitched",
    "side": "gathered and side-stitched",
    "sewn": "gathered and sewn",
    "stab": "gathered and stab-bound",
}

#: A warning names at most this many places.
_PLACES_MOST = 12


def start(facts: GuideFacts, width: float, steps: Sequence[tuple[str, int]]) -> Section:
    """Return the first section; `steps` are the titles of the others with the pages they begin on."""
    right = width * 0.40
    left = width - right - 8
    columns = beside(
        (0.0, (*subheading("Pull", left), *_pull(facts, left))),
        (left + 8, (*subheading("The steps", right), *_contents(steps, right))),
    )
    return Section(
        "",
        (
            *_title(facts, width),
            *caution(MACHINE, width),
            columns,
            *warnings(facts, width),
            *_sums(facts, width),
            _dummy(facts, width),
        ),
    )


def _title(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    size = 22.0 if len(facts.job.title) <= 60 else 15.0 if len(facts.job.title) <= 200 else 10.0
    trim = facts.trim
    stitch = facts.job.binding.stitch
    style = FORMS[facts.job.binding.style].words if facts.job.binding.style in FORMS else facts.job.binding.style
    style = _STITCHED[stitch] if stitch else style
    facts_in_a_line = " · ".join(
        (
            number_of(facts.job.copies, "copy", "copies"),
            number_of(facts.imposition.booklet.pages, "page"),
            f"{show(trim.width)} × {show(trim.height)} mm",
            style,
            f"reads {facts.job.binding.reading.replace('-', ' ')}",
        )
    )
    return (
        *paragraph(facts.job.title, width, size, font=SANS_BOLD),
        *paragraph(facts_in_a_line, width, BODY, paint=0.25),
        gap(3.0),
    )


def _pull(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    counts, stock, paper = facts.plan.counts, facts.layout.stock, facts.job.sheet.paper
    size = f"{show(stock.size.width)} × {show(stock.size.height)} mm"
    total = f"{facts.sheets_to_pull} = {counts.good_sheets} good + {counts.overs} overs"
    reams = number_of(ceil(facts.sheets_to_pull / REAM), "ream")
    changes = f"with {number_of(counts.drum_changes, 'drum change')}" if counts.drum_changes else "no drum change"
    blanks = facts.imposition.booklet.blanks
    rows: list[tuple[Cell | str, Cell | str]] = [
        ("Paper", f"{paper.name}, {show(paper.weight)} g/m², {stock.name}, {size}"),
        ("Sheets", f"{total}, out of {reams} of {REAM}"),
        ("Grain", f"parallel to the {show(grain_edge(facts))} mm edge, so that it runs along the spine"),
        ("Scrap", f"{number_of(counts.scrap, 'sheet')} for making ready; used ones will do"),
        ("Masters", f"{counts.masters}"),
        ("Passes", f"{counts.passes}, {changes}"),
        *(("Ink" if i == 0 else "", Cell(ink.name, ink.ink.colour)) for i, ink in enumerate(facts.job.inks)),
    ]
    if blanks:
        rows.append(("Blank", f"{number_of(len(blanks), 'page')} at the end: {', '.join(map(str, blanks))}"))
    labelled = [(Cell(name, bold=True) if isinstance(name, str) else name, value) for name, value in rows]
    return table(("", ""), labelled, (20, width - 20), BODY)


def grain_edge(facts: GuideFacts) -> float:
    """Return the length of the sheet's edge that the spines, and so the grain, lie parallel to, mm."""
    upright = next(
        (p.rotation in (0, 180) for p in facts.imposition.sheets[0].front.panels if p.page is not None), True
    )
    return facts.layout.size.height if upright else facts.layout.size.width


def _contents(steps: Sequence[tuple[str, int]], width: float) -> tuple[Block, ...]:
    rows = [
        (Cell(f"{number}  {title}", tick=True), Cell(f"p. {page}")) for number, (title, page) in enumerate(steps, 1)
    ]
    return table(("", ""), rows, (width - 14, 14), SMALL)


def _sums(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    lines = [block for line in facts.plan.counts.formula for block in paragraph(line, width - 4, SMALL)]
    return (*subheading("Where the numbers come from", width), *barred(lines, 0.5, 0.5), gap(2.0))


def warnings(facts: GuideFacts, width: float) -> tuple[Block, ...]:
    """Return the findings that matter on the press, alike ones drawn together."""
    found = [f for f in facts.findings if f.level in ("error", "warning") and f.accepted is None]
    if not found:
        return ()
    alike = [(key, list(group)) for key, group in groupby(sorted(found, key=_kind), key=_kind)]
    lines: list[Block] = []
    for (_, message, mend), group in alike[:_WARNINGS_MOST]:
        where = _places(group)
        lines += paragraph(f"{where}: {message}" if where else message, width - 4, BODY)
        lines += paragraph(mend, width - 4, SMALL, paint=0.25) if mend else ()
        lines.append(gap(1.2))
    if len(alike) > _WARNINGS_MOST:
        lines += paragraph(
            f"and {len(alike) - _WARNINGS_MOST} more kinds of warning: run the check to read them", width - 4, BODY
        )
    return (*subheading("Look at these before you print", width), *barred(lines, 1.2), gap(1.0))


def _places(alike: Sequence[Finding]) -> str:
    """Return where findings lie, in words; pages of one ink are drawn together."""
    if all(f.page is not None and f.sheet is None and f.ink == alike[0].ink for f in alike) and len(alike) > 1:
        pages = runs_of(f.page for f in alike if f.page is not None)
        return ", ".join(filter(None, (f"pages {pages}", alike[0].ink)))
    places = [f.where() for f in alike if f.where()]
    more = f" and {len(places) - _PLACES_MOST} more" if len(places) > _PLACES_MOST else ""
    return "; ".join(places[:_PLACES_MOST]) + more


def _kind(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.message, finding.mend


def _dummy(facts: GuideFacts, width: float) -> Block:
    pieces = facts.imposition.booklet.pieces
    number, pages = len(pieces), facts.imposition.booklet.pages
    first = [piece.number for piece in pieces if piece.signature == 1]
    drawing = Block(30.0, lambda pen, x, top: _draw_dummy(pen, x, top, first))
    nest = "nest them as drawn" if facts.imposition.booklet.signatures == 1 else "gather them in order"
    scrap = f"{number} pieces" if number > 1 else "one piece"
    each = "once each" if number > 1 else "once"
    how = each if facts.folded_once else 'as the step "Fold" shows'
    fold = f"Fold {scrap} of scrap {how}{f' and {nest}' if number > 1 else ''}."
    texts = (
        fold,
        f"Number the pages 1 to {pages} in pencil, as a reader meets them.",
        "Open it up again and hold it against the first good sheet of every pass: same numbers, same way up.",
    )
    words = numbered(texts, width - 58, BODY)
    if facts.imposition.booklet.scheme.columns * facts.imposition.booklet.scheme.rows == 1:
        return gap(1.0)
    return stack(
        (*subheading("Fold a dummy first", width), hairline(width), gap(2.0), beside((0.0, (drawing,)), (58.0, words)))
    )


def _draw_dummy(pen: Pen, x: float, top: float, pieces: Sequence[int]) -> None:
    draw_nest(pen, Box(x + 2, top - 25, x + 52, top - 1), pieces)
