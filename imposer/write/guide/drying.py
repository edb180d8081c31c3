"""Waiting for the ink: before the next pass, before the turn, before the knife."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Box
from imposer.plan.model import Pass
from imposer.write.guide.blocks import NAMES, SMALL, Block, beside, gap, kept, paragraph
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.form import CLOSE, fields
from imposer.write.guide.pen import FIRM, HAIR, Pen
from imposer.write.guide.table import Cell, table

#: Rules of thumb, no source but common practice: a handbook gives 2–3 h at least on a rack and 24 h as ideal.
_WAITS = (("under 20 %", "2 hours"), ("20 to 40 %", "12 hours"), ("over 40 %, or the middle strip inked", "24 hours"))
_NO_PROMISE = "Rules of thumb, no promise: paper, weather and ink decide; solids may never dry fully. Touch a corner."
_BEFORE_CUTTING = "Wait 24 hours before cutting and folding, longer after heavy solids"


@dataclass(frozen=True, slots=True)
class Heaviest:
    """The darkest ink of a pass: its mean tone over the pages of one sheet's side."""

    tone: float
    ink: str
    sheet: int


def dry(facts: GuideFacts, run: Pass, before: str, width: float) -> Section:
    """Return the wait after a pass; `before` says what comes next."""
    drawing = 50.0
    words = width - drawing - 8
    rows = [(Cell(tone), Cell(wait, bold=True)) for tone, wait in _WAITS]
    text = (
        *table(("Mean tone of the heaviest ink", "Wait at least"), rows, (words * 0.68, words * 0.32)),
        gap(1.5),
        *paragraph(_seen(facts, run), words, SMALL),
        *paragraph(_NO_PROMISE, words, SMALL),
    )
    columns = beside((0.0, (Block(34.0, _draw_stacks),)), (drawing + 8, text))
    return Section(f"Dry before {before}", (columns, gap(2.0), *_boxes(width)))


def dry_in_short(facts: GuideFacts, run: Pass, before: str, width: float, *, finishing: bool = False) -> Section:
    """Return the wait after a pass, short enough to stand under its card."""
    waits = (
        _BEFORE_CUTTING
        if finishing
        else "By the mean tone of the heaviest ink, " + "; ".join(": ".join(w) for w in _WAITS)
    )
    text = f"{waits} (rules of thumb). {_seen(facts, run)}"
    return Section(f"Dry before {before}", (*kept(paragraph(text, width, SMALL)), gap(1.0, keep=True), *_boxes(width)))


def _seen(facts: GuideFacts, run: Pass) -> str:
    heaviest = heaviest_of(facts, run)
    where = f"{heaviest.ink} on sheet {heaviest.sheet}"
    return f"Heaviest in this pass: {where}, {heaviest.tone * 100:.0f} % on average over its pages."


def _boxes(width: float) -> tuple[Block, ...]:
    return fields(("printed: date, time", "not before: date, time", "dry: initials"), width, CLOSE)


def heaviest_of(facts: GuideFacts, run: Pass) -> Heaviest:
    """Return the heaviest ink of a pass."""
    found = [
        Heaviest(facts.coverage(run.side, sheet, master.ink), master.ink, sheet)
        for master in run.masters
        for sheet in master.sheets
    ]
    return max(found, key=lambda each: each.tone)


def _draw_stacks(pen: Pen, x: float, top: float) -> None:
    """Draw low stacks on a rack, and a tall one crossed out."""
    x += 2
    for i in range(3):
        y = top - 7 - 8.5 * i
        pen.line((x, y), (x + 24, y), FIRM)
        for k in range(3):
            pen.line((x + 2, y + 0.9 + 0.8 * k), (x + 22, y + 0.9 + 0.8 * k), HAIR)
    pen.line((x, top - 3), (x, top - 26), FIRM)
    pen.line((x + 24, top - 3), (x + 24, top - 26), FIRM)
    pen.text((x + 12, top - 31), "low stacks, a rack", NAMES, align="centre")
    tall = Box(x + 31, top - 26, x + 47, top - 4)
    for k in range(22):
        pen.line((tall.x0, tall.y0 + k), (tall.x1, tall.y0 + k), HAIR)
    pen.line((tall.x0 - 1, tall.y0 - 1), (tall.x1 + 1, tall.y1 + 1), 1.0)
    pen.line((tall.x0 - 1, tall.y1 + 1), (tall.x1 + 1, tall.y0 - 1), 1.0)
    pen.text((tall.centre[0], top - 31), "no tall stack", NAMES, font=SANS_BOLD, align="centre")
