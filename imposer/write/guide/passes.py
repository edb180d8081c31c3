"""A card for each pass: drums, files, how the stack lies, making ready, and for each sheet what to see and to write."""

from __future__ import annotations

from imposer.data.fonts import SANS_BOLD
from imposer.geometry import Size
from imposer.plan.model import Pass
from imposer.units import show
from imposer.words import number_of, runs_of
from imposer.write.guide.blocks import (
    SMALL,
    Block,
    beside,
    gap,
    hairline,
    kept,
    numbered,
    paragraph,
    stack,
    subheading,
    text_line,
)
from imposer.write.guide.cautions import PASS, caution_in_a_line
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.form import CLOSE, ROOMY, fields
from imposer.write.guide.pen import Pen
from imposer.write.guide.pictures import PagePictures
from imposer.write.guide.sheet_view import View, draw_machine, draw_map, draw_thumbnail, machine_room, scale_to_fit
from imposer.write.guide.table import Cell, table
from imposer.write.guide.words import in_series

#: With more sheets than this in a pass, thumbnails and boxes become smaller.
_ROOMY_SHEETS = 2

#: Width of the load drawing, mm.
_LOAD = 86.0


def pass_card(facts: GuideFacts, run: Pass, width: float, pictures: PagePictures) -> Section:
    """Return the card of one pass."""
    words = width - _LOAD - 6
    load = (*subheading("Load, seen from above", _LOAD), _load_drawing(facts, run), *_load_words(facts, run))
    ready = (*subheading("Make ready", words), *numbered(_make_ready(facts, run), words, SMALL))
    sheets = number_of(len(run.sheets), "press sheet")
    return Section(
        pass_title(facts, run),
        (
            *caution_in_a_line(PASS, width),
            *_drums(facts, run, width),
            beside((0.0, load), (_LOAD + 6, ready)),
            *subheading(f"Print {sheets}, drawn as seen after this pass", width),
            *_set_aside(facts, run, width),
            *(_sheet(facts, run, number, width, pictures) for number in run.sheets),
        ),
        fresh=True,
    )


def pass_title(facts: GuideFacts, run: Pass) -> str:
    """Return what a pass is called.

    The number of passes stands in it, so that nobody takes the second of four for the last.
    """
    return f"Pass {run.number} of {len(facts.plan.passes)}: {run.side}s"


def _drums(facts: GuideFacts, run: Pass, width: float) -> tuple[Block, ...]:
    rows: list[tuple[Cell | str, ...]] = []
    for master in run.masters:
        ink = Cell(master.ink, facts.colour(master.ink), bold=True)
        rows.append((Cell(f"Drum {master.drum}", tick=True, bold=True), ink, master.file))
    used = {drum for drum, _ in run.drums}
    for drum in range(1, facts.job.shop.machine.drums + 1):
        if drum not in used:
            rows.append((Cell(f"Drum {drum}", tick=True, bold=True), "not used: switch it off or take it out", ""))
    return table(("In the machine", "Ink", "Master file"), rows, (30, 62, width - 92))


def _load_drawing(facts: GuideFacts, run: Pass) -> Block:
    layout = facts.layout
    beyond = machine_room(layout.lead)
    scale = scale_to_fit(layout.size, Size(_LOAD - beyond.width - 2, 62 - beyond.height))
    high = layout.size.height * scale + beyond.height + 5
    sheet = facts.sheet(run.sheets[0])
    again = facts.printed_before(run, run.side, run.sheets[:1])
    backs = facts.leaf_backs() if run.side == "back" and "front" in facts.sides else None

    def draw(pen: Pen, x: float, top: float) -> None:
        view = View(x + beyond.width, top - layout.size.height * scale - 2.5, scale, layout.size)
        for i in (3, 2, 1):
            pen.box(view.outline.moved(0.7 * i, -0.5 * i), fill=1.0, paint=0.5)
        blanks = frozenset(facts.imposition.booklet.blanks)
        draw_map(pen, view, sheet.face(run.side), layout, printed=again, backs=backs, blanks=blanks)
        draw_machine(pen, view.outline, layout.lead)

    return Block(high, draw)


def _load_words(facts: GuideFacts, run: Pass) -> tuple[Block, ...]:
    earlier = any(facts.printed_before(run, side) for side in facts.sides)
    if facts.printed_before(run, run.side):
        up = f"The printed {run.side} looks up; the same edge leads as in the pass before."
    elif earlier:
        up = f"The bare {run.side} looks up, the printed side lies under it; turned as the step before says."
    else:
        up = "Bare paper: either face may look up. Keep to one all through."
    lead = _lead_words(facts)
    drawn = f"Drawn: sheet {run.sheets[0]}; a bar at the head of each page."
    upper = "Most machines print the upper face: try yours with a pencil cross on a scrap (common practice)."
    texts = (f"{lead} {up}", drawn) if earlier else (f"{lead} {up}", upper, drawn)
    return tuple(block for text in texts for block in (*paragraph(text, _LOAD, SMALL), gap(0.8)))


def _lead_words(facts: GuideFacts) -> str:
    size = facts.layout.size
    edge = size.height if facts.layout.lead == "left" else size.width
    kind = "short" if edge <= min(size.width, size.height) else "long"
    return f"The {kind} edge ({show(edge)} mm) enters first."


def _make_ready(facts: GuideFacts, run: Pass) -> tuple[str, ...]:
    files = "both files" if len(run.masters) == 2 else "the file" if len(run.masters) == 1 else "all files"
    bar = facts.scale_bar()
    block = facts.layout.block
    length = (
        f"every {bar} bar measures {bar} along and across the feed"
        if bar
        else f"the block of pages measures {show(block.width)} × {show(block.height)} mm"
    )
    several = ("Next sheet: new masters, same drums. Go on until the list is done.",) if len(run.sheets) > 1 else ()
    return (
        f"Scrap first. Make the masters of sheet {run.sheets[0]}: its page in {files}, at 100 %.",
        "Let 15–20 dark sheets go on scrap (common practice: fresh or rested drums begin too dark).",
        f"Check the length: {length}.",
        f"Check the register: {_register(facts, run)}",
        "Check one sheet against the dummy: same page numbers, same way up.",
        "Move the image until it sits; write dx and dy down. The slower, the better the register.",
        "Load the job's paper, run it all, look at every 20th to 50th sheet.",
        *several,
    )


def _register(facts: GuideFacts, run: Pass) -> str:
    drift = facts.job.shop.machine.drift
    crosses = "the crosses" if facts.has_mark("registration") else "the art"
    inks = in_series([ink for _, ink in run.drums]) if len(run.drums) <= 2 else "all inks"
    first_here = not facts.printed_before(run, run.side)
    backing = first_here and run.side == "back" and facts.printed_before(run, "front")
    parts = []
    if len(run.drums) > 1:
        parts.append(f"of {inks} within {show(drift.same_pass)} mm of each other")
    if not first_here:
        parts.append(f"within {show(drift.between_passes)} mm of the inks already printed")
    if backing:
        parts.append(f"within {show(drift.sides)} mm of the front's, against the light")
    if not parts:
        parts.append("square and even on the sheet")
    return f"{crosses} " + ", ".join(parts) + "."


def _set_aside(facts: GuideFacts, run: Pass, width: float) -> tuple[Block, ...]:
    """Return the line that names the sheets which do not run in this pass."""
    others = [sheet.number for sheet in facts.imposition.sheets if sheet.number not in run.sheets]
    if not others:
        return ()
    named, them = ("sheets", "them") if len(others) > 1 else ("sheet", "it")
    words = f"Not in this pass: {named} {runs_of(others)}. Set {them} aside, dry and flat."
    return (*kept(paragraph(words, width, SMALL)), gap(1.0, keep=True))


def _sheet(facts: GuideFacts, run: Pass, number: int, width: float, pictures: PagePictures) -> Block:
    """Return a sheet's row: thumbnail, what to run, boxes to write in."""
    roomy = len(run.sheets) <= _ROOMY_SHEETS
    layout = facts.layout
    scale = scale_to_fit(layout.size, Size(46, 40) if roomy else Size(36, 27))
    wide, high = layout.size.width * scale, layout.size.height * scale
    frame = facts.frames[number, run.side]
    inks = facts.inks_until(run, number)

    def draw(pen: Pen, x: float, top: float) -> None:
        draw_thumbnail(pen, View(x, top - high, scale, layout.size), frame, inks, pictures)

    beside_it = width - wide - 5
    words = _sheet_words(facts, run, number, beside_it)
    offsets = [f"drum {drum} dx / dy" for drum, _ in run.drums]
    boxes = ROOMY if roomy else CLOSE
    rows = (
        *fields(("counter start", "counter end", "good", "overs left", "waste"), beside_it, boxes),
        *fields((*offsets, "speed", "initials"), beside_it, boxes),
    )
    return stack(
        (
            hairline(width),
            gap(1.6),
            beside((0.0, (Block(high, draw),)), (wide + 5, (*words, gap(1.0), *rows))),
            gap(2.4),
        )
    )


def _sheet_words(facts: GuideFacts, run: Pass, number: int, width: float) -> tuple[Block, ...]:
    counts = facts.plan.counts
    good, overs = counts.good_per_sheet, counts.overs_by_sheet[number]
    title = text_line(f"Sheet {number} {run.side}: run {good + overs}  ({good} good + {overs} overs)", font=SANS_BOLD)
    parts = [
        f"drum {master.drum}: page {master.sheets.index(number) + 1} of its file"
        if number in master.sheets
        else f"drum {master.drum}: off, no {master.ink} on this sheet"
        for master in run.masters
    ]
    return (title, *paragraph(" · ".join(parts), width, SMALL))
