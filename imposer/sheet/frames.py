"""Frames: panels and marks of every side brought into the one neutral form that masters, proof and guide draw.

Marks are placed once for the whole job: at the same places on every sheet, on both faces as drawn, for every ink.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from imposer.findings import SIDES, Finding, Side
from imposer.geometry import Box
from imposer.job.model import Job, MarkKind
from imposer.sheet.collation_marks import collation_marks
from imposer.sheet.extents import extent
from imposer.sheet.free_space import Space
from imposer.sheet.hole_marks import hole_marks
from imposer.sheet.inside_marks import inside_marks
from imposer.sheet.line_marks import line_marks
from imposer.sheet.mark_room import CLEARANCE
from imposer.sheet.model import Arrow, Art, Frame, Imposition, Item, Label, Patch, Ring, SheetSide, Stroke, Words
from imposer.sheet.placed_marks import (
    LabelText,
    Strips,
    label_place,
    lead_arrow,
    registration,
    scale_bar,
    strips_around,
    tone_steps,
)
from imposer.sheet.stitches import stitching_of

Mark = Stroke | Ring | Patch | Arrow | Words | Label
#: A kind of mark, and what places it in free space.
_Wanted = tuple[MarkKind, Callable[[Space], Mark | tuple[Mark, ...] | None]]


@dataclass(frozen=True, slots=True)
class Frames:
    """The frames of a job by sheet number and side, and what could not be placed."""

    sides: Mapping[tuple[int, Side], Frame]
    findings: tuple[Finding, ...]


def draw_frames(job: Job, imposition: Imposition, sheets_in_all: int | None = None) -> Frames:
    """Return the frame of every side of every sheet; where a job has several parts, labels count all their sheets."""
    of = sheets_in_all or len(imposition.sheets)
    placed: dict[Side, tuple[tuple[Mark, ...], tuple[MarkKind, ...]]] = {
        side: _place_marks(job, imposition, imposition.sheets[0].face(side), of) for side in SIDES
    }
    sides: dict[tuple[int, Side], Frame] = {}
    held, holes = stitching_of(job.binding, job.page.trim), 0
    for sheet in imposition.sheets:
        for side in SIDES:
            marks = tuple(_for_sheet(mark, sheet.number, side) for mark in placed[side][0])
            steps = collation_marks(sheet.face(side), imposition.booklet) if "steps" in job.marks else ()
            found = hole_marks(sheet.face(side), imposition.booklet, held, steps) if "holes" in job.marks else ()
            holes += len(found)
            sides[sheet.number, side] = _frame(imposition, sheet.number, sheet.face(side), marks + steps + found)
    left_out = sorted({kind for _, kinds in placed.values() for kind in kinds})
    pierced = held is not None and held.named and held.kind != "saddle" and not job.binding.spine
    if "holes" in job.marks and pierced and not holes:
        left_out.append("holes")
    return Frames(sides, tuple(map(_left_out, left_out)))


def frame_text(frame: Frame) -> str:
    """Return a frame as sorted lines of text, three decimals: what a golden file of a test holds."""
    lines = [f"sheet {frame.sheet} {frame.side} {frame.size.width:.3f} x {frame.size.height:.3f} lead {frame.lead}"]
    return "\n".join(lines + sorted(_line(item) for item in (*frame.art, *frame.marks))) + "\n"


def _line(item: Item) -> str:
    box = extent(item)
    where = f"{box.x0:.3f} {box.y0:.3f} {box.x1:.3f} {box.y1:.3f}"
    match item:
        case Art():
            trim = item.trim
            at = f"{trim.x0:.3f} {trim.y0:.3f} {trim.x1:.3f} {trim.y1:.3f}"
            return f"art page {item.page:03d} turn {item.rotation} trim {at} clip {where}"
        case Stroke():
            return f"{item.kind} line {where}" + (" dashed" if item.dash else "")
        case Ring():
            return f"{item.kind} ring {where}"
        case Patch():
            return f"{item.kind} patch {where} tone {item.tone:.2f}" + (f" {item.ink}" if item.ink else "")
        case Arrow():
            return f"{item.kind} arrow {where} to {item.points_to}"
        case Words():
            return f"{item.kind} words {where} {item.text}"
        case Label():
            return f"label {where} {item.title}{item.after_title(0, 0)}"


def _frame(imposition: Imposition, number: int, side: SheetSide, marks: tuple[Mark, ...]) -> Frame:
    layout = imposition.layout
    return Frame(
        sheet=number,
        side=side.side,
        size=layout.size,
        safe=layout.safe,
        lead=layout.lead,
        art=tuple(Art(p.page, p.trim, p.rotation, p.clip) for p in side.panels if p.page is not None),
        marks=marks,
    )


def _for_sheet(mark: Mark, sheet: int, side: Side) -> Mark:
    return replace(mark, sheet=sheet, side=side) if isinstance(mark, Label) else mark


def _place_marks(
    job: Job, imposition: Imposition, side: SheetSide, of: int
) -> tuple[tuple[Mark, ...], tuple[MarkKind, ...]]:
    """Place every wanted mark, each clear of those before it; return also the kinds that found no room."""
    layout = imposition.layout
    pages = layout.block.grown(layout.bleed)
    strips = strips_around(layout.safe, pages, layout.lead)
    lines, missing = line_marks(layout, side.folds, job.marks, side.trims)
    marks: list[Mark] = [*lines, *inside_marks(side, job.marks)]
    left_out: list[MarkKind] = list(missing)
    space = Space(layout.safe, (pages, *_keep_clear(lines)))
    feed_level = layout.lead == "left"
    labels, tones = _of_each_ink(job, of, strips)
    wanted: tuple[_Wanted, ...] = (
        ("registration", lambda s: registration(s, strips)),
        ("lead", lambda s: lead_arrow(s, strips, layout.lead)),
        *labels,
        ("scale", lambda s: scale_bar(s, strips, level=feed_level)),
        ("scale", lambda s: scale_bar(s, strips, level=not feed_level)),
        *tones,
    )
    for kind, place in wanted:
        if kind not in job.marks:
            continue
        found = place(space)
        if found is None:
            left_out.append(kind)
            continue
        items = found if isinstance(found, tuple) else (found,)
        marks += items
        space = space.with_boxes(_keep_clear(items))
    if layout.untrimmed:
        # There is no paper beyond the pages, as is told with the sheet's white edges; inks of several passes want more.
        several = len(job.inks) > job.shop.machine.drums
        left_out = [kind for kind in left_out if kind == "registration" and several]
    return tuple(marks), tuple(left_out)


def _keep_clear(items: Iterable[Mark]) -> list[Box]:
    return [extent(item).grown(CLEARANCE) for item in items]


def _of_each_ink(job: Job, sheets: int, strips: Strips) -> tuple[list[_Wanted], list[_Wanted]]:
    """Return what places the label and the tone steps of every ink: on the printed sheet all are seen at once."""
    labels: list[_Wanted] = []
    tones: list[_Wanted] = []
    for text in label_texts(job, sheets):
        labels.append(("label", partial(label_place, strips=strips, text=text)))
        tones.append(("tone", partial(tone_steps, strips=strips, ink=text.ink)))
    return labels, tones


def label_texts(job: Job, sheets: int) -> tuple[LabelText, ...]:
    """Return what the label of every ink says, with the longest line that follows the title on any of its masters."""
    drums = job.shop.machine.drums
    passes = 2 * -(-len(job.inks) // drums)
    return tuple(
        LabelText(
            job.title,
            Label(job.title, sheets, sheets, "front", 0, 0, 1, 0, 0, "", ink).after_title(passes, drums),
            sheets,
            ink,
        )
        for ink in job.ink_names
    )


_WHY_LEFT_OUT: dict[MarkKind, str] = {
    "crop": "the cutter works to the scale and the plan's sizes instead",
    "cut": "the cutter works to the scale and the plan's sizes instead",
    "fold": "fold by the edges",
    "registration": "register by the art itself; check the first sheets of every pass with care",
    "scale": "measure the block of pages instead",
    "lead": "mark the lead edge of the stack by hand",
    "label": "keep the masters in the order of the guide",
    "tone": "judge tones by the art itself",
    "holes": "measure them off from the guide",
}


def _left_out(kind: MarkKind) -> Finding:
    names = {
        "lead": "the lead-edge arrow",
        "registration": "the registration crosses",
        "tone": "the tone steps of every ink",
        "label": "the label of every ink",
        "scale": "both scale bars",
    }
    return Finding(
        rule="mark-left-out",
        level="warning" if kind in ("crop", "cut", "registration") else "note",
        message=f"no room outside the pages for {names.get(kind, f'all {kind} marks')}, even at the least size",
        mend=_WHY_LEFT_OUT.get(kind, ""),
    )
