"""Counts: sheets, overs, masters, drum changes; and the sums in words, so that copies, pieces and sheets never mix.

Overs follow the rule of `job.model.Overs`: make-ready runs on scrap; of the job's own paper each press sheet gets
running waste, more for each further pass, finishing waste, and a least number in all. Make-ready is a fixed number,
running waste a share, and the allowances of successive steps add up ("Determining your paper waste", American Printer,
1 January 1996); the percentages are working defaults without a source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from imposer.fold.model import Booklet
from imposer.job.model import Job, Overs
from imposer.plan.model import Counts, Pass, PassPlan, Totals
from imposer.sheet.model import Imposition
from imposer.words import number_of


def count_job(job: Job, imposition: Imposition, passes: Sequence[Pass]) -> Counts:
    """Return the counts of a job whose passes are known."""
    rule = job.shop.machine.overs
    sheets = len(imposition.sheets)
    good_each = ceil(job.copies / imposition.copies_per_set)
    runs = {sheet.number: sum(sheet.number in p.sheets for p in passes) for sheet in imposition.sheets}
    overs = {number: overs_of(good_each, times, rule) for number, times in runs.items()}
    masters = sum(len(master.sheets) for p in passes for master in p.masters)
    return Counts(
        pieces_per_copy=len(imposition.booklet.pieces),
        sheets_per_copy=sheets,
        copies_per_set=imposition.copies_per_set,
        good_sheets=good_each * sheets,
        overs=sum(overs.values()),
        masters=masters,
        passes=len(passes),
        drum_changes=drum_changes(passes),
        overs_by_sheet=overs,
        good_per_sheet=good_each,
        scrap=masters * rule.scrap,
        formula=_formula(job, imposition, good_each, runs, overs, masters),
    )


def totals(plans: Sequence[PassPlan]) -> Totals:
    """Return the counts of a whole job from the plans of its parts, run in this order."""
    counts = [plan.counts for plan in plans]
    return Totals(
        pieces_per_copy=sum(count.pieces_per_copy for count in counts),
        sheets_per_copy=sum(count.sheets_per_copy for count in counts),
        good_sheets=sum(count.good_sheets for count in counts),
        overs=sum(count.overs for count in counts),
        scrap=sum(count.scrap for count in counts),
        masters=sum(count.masters for count in counts),
        passes=sum(count.passes for count in counts),
        drum_changes=drum_changes([run for plan in plans for run in plan.passes]),
    )


def overs_of(good: int, passes: int, rule: Overs) -> int:
    """Return the extra sheets of one press sheet that runs `passes` times for `good` good sheets.

    >>> overs_of(120, 4, Overs()), overs_of(500, 2, Overs())
    (19, 40)
    """
    return max(rule.least, sum(_allowances(good, passes, rule)))


def drum_changes(passes: Sequence[Pass]) -> int:
    """Return how often a drum must be taken out for another ink; putting the first ones in does not count."""
    loaded: dict[int, str] = {}
    changes = 0
    for p in passes:
        for drum, ink in p.drums:
            changes += drum in loaded and loaded[drum] != ink
            loaded[drum] = ink
    return changes


def _pages(booklet: Booklet) -> str:
    if booklet.joined:
        return f"{booklet.scheme.columns} panels ÷ {booklet.joined} panels a piece"
    return f"{number_of(booklet.pages, 'page')} ÷ {number_of(booklet.pages_per_piece, 'page')} a piece"


def _allowances(good: int, passes: int, rule: Overs) -> tuple[int, int, int]:
    """Return waste of the first pass, of the further passes, and of finishing, in sheets."""
    first = ceil(good * rule.run / 100) if passes else 0
    further = ceil(good * rule.each_pass / 100) * max(0, passes - 1)
    finishing = max(rule.finishing_least, ceil(good * rule.finishing / 100))
    return first, further, finishing


def _formula(
    job: Job, imposition: Imposition, good: int, runs: dict[int, int], overs: dict[int, int], masters: int
) -> tuple[str, ...]:
    rule = job.shop.machine.overs
    sheets, pieces = len(imposition.sheets), len(imposition.booklet.pieces)
    per_set = imposition.copies_per_set
    folded = f"{number_of(pieces, 'piece')} a copy, on {number_of(sheets, 'press sheet')}"
    each = f"{good} good of each press sheet"
    lines = [
        f"{_pages(imposition.booklet)} = {folded}",
        f"{number_of(job.copies, 'copy', 'copies')} ÷ {number_of(per_set, 'copy', 'copies')} a set of sheets = {each}",
        f"{good} × {number_of(sheets, 'press sheet')} = {good * sheets} good sheets",
    ]
    for number, times in runs.items():
        first, further, finishing = _allowances(good, times, rule)
        total = first + further + finishing
        least = f", but never under {rule.least}: {overs[number]}" if total < overs[number] else ""
        lines.append(
            f"overs of sheet {number}: {first} running ({rule.run:g} %) + {further} for "
            f"{number_of(max(0, times - 1), 'further pass', 'further passes')} ({rule.each_pass:g} % each) + "
            f"{finishing} finishing ({rule.finishing:g} %) = {total}{least}"
        )
    lines.append(f"{good * sheets} good + {sum(overs.values())} overs = {good * sheets + sum(overs.values())} sheets")
    scrap = f"{number_of(masters, 'master')} × {number_of(rule.scrap, 'sheet')} = {masters * rule.scrap}"
    lines.append(f"make-ready on scrap: {scrap}")
    return tuple(lines)
