"""From stacks of pieces to booklets in order: nesting pieces, gathering signatures, the staircase on the spine."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from imposer.data.fonts import SANS_BOLD
from imposer.fold.model import Piece
from imposer.geometry import Box
from imposer.sheet.model import Panel, Patch
from imposer.write.guide.blocks import NAMES, Block, beside, gap, kept, numbered, paragraph, subheading
from imposer.write.guide.booklet_view import draw_nest, draw_pile
from imposer.write.guide.cautions import BENCH, caution_in_a_line
from imposer.write.guide.facts import GuideFacts, inner_pages, middle_pages, outer_pages
from imposer.write.guide.flow import Section
from imposer.write.guide.pen import FIRM, HAIR, THIN, Pen
from imposer.write.guide.table import Cell, table

#: A pile's drawing with its text and the space to the next, mm.
_PILE_WIDE, _PILE_HIGH = 33.0, 30.0


def collate(facts: GuideFacts, width: float) -> Section:
    """Return the step that nests pieces."""
    booklet = facts.imposition.booklet
    signatures = [list(group) for _, group in groupby(booklet.pieces, key=lambda piece: piece.signature)]
    several = len(signatures) > 1
    last = len(signatures[0])
    whole = "signature" if several else "booklet"
    left, right = inner_pages(signatures[0][-1])
    texts = (
        "Turn every pile over: the inside of the pieces looks up, heads away from you.",
        f"Take piece 1, lay piece 2 on it, and so on; piece {last} comes last and lies on top.",
        f"Look: pages {left} | {right} lie open before you. That is the middle of the {whole}. Jog to the head.",
        *(("Go on with the next signature in the same way.",) if several else ()),
        "Every tenth copy, leaf through one from 1 to the end. Piles must run out together: if not, stop and look.",
    )
    nest = 58.0
    words = numbered(texts, width - nest - 6)
    drawing = Block(44.0, lambda pen, x, top: _draw_first_nest(pen, x, top, nest, signatures[0]))
    piles: list[Block] = []
    for pieces in signatures:
        if several:
            piles += subheading(f"Signature {pieces[0].signature}", width)
        piles += _piles(pieces, width)
    return Section(
        "Collate",
        (
            *caution_in_a_line(BENCH, width),
            beside((0.0, words), (width - nest, (drawing,))),
            *subheading("Piles in order, inside up", width),
            *piles,
        ),
    )


def nest_folded(facts: GuideFacts, width: float) -> Section:
    """Return the step that nests pieces which are folded more than once, each by itself."""
    booklet = facts.imposition.booklet
    signatures = [list(group) for _, group in groupby(booklet.pieces, key=lambda piece: piece.signature)]
    first, last = signatures[0][0], signatures[0][-1]
    left, right = _pair(middle_pages(first, right_to_left=booklet.right_to_left)).split(" | ")
    inner_left, inner_right = middle_pages(last, right_to_left=booklet.right_to_left)
    whole = "signature" if len(signatures) > 1 else "booklet"
    inwards = (
        f"Open piece {first.number} at its middle, between pages {left} and {right}, and lay the next one in: spines "
        "together, heads the same way. Go on inwards; what is still closed at an edge stays closed."
    )
    texts = (
        inwards,
        f"Look: pages {inner_left} | {inner_right} are the middle of the {whole}. Jog to the head.",
        *(("Go on with the next signature in the same way.",) if len(signatures) > 1 else ()),
        "Every tenth copy, leaf through one from 1 to the end. Piles must run out together: if not, stop and look.",
    )
    nest = 58.0
    drawing = Block(44.0, lambda pen, x, top: _draw_first_nest(pen, x, top, nest, signatures[0]))
    rows = [
        (
            Cell(f"Signature {pieces[0].signature}", bold=True),
            ", then ".join(f"piece {piece.number}" for piece in pieces),
            _pair(middle_pages(pieces[-1], right_to_left=booklet.right_to_left)),
        )
        for pieces in signatures
    ]
    return Section(
        "Nest",
        (
            *caution_in_a_line(BENCH, width),
            beside((0.0, numbered(texts, width - nest - 6)), (width - nest, (drawing,))),
            *subheading("From the outside in", width),
            *table(("", "Pieces", "Middle pages"), rows, (34, width - 74, 40)),
        ),
    )


def _draw_first_nest(pen: Pen, x: float, top: float, width: float, pieces: Sequence[Piece]) -> None:
    draw_nest(pen, Box(x, top - 38, x + width, top - 1), [piece.number for piece in pieces])


def _piles(pieces: Sequence[Piece], width: float) -> tuple[Block, ...]:
    across = max(1, int(width // _PILE_WIDE))
    rows = [pieces[i : i + across] for i in range(0, len(pieces), across)]
    return tuple(_row_of_piles(row) for row in rows)


def _row_of_piles(pieces: Sequence[Piece]) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        for piece in pieces:
            box = Box.at(x, top - _PILE_HIGH + 4, _PILE_WIDE - 6, _PILE_HIGH - 6)
            lines = f"inside {_pair(inner_pages(piece))}", f"outside {_pair(outer_pages(piece))}"
            draw_pile(pen, box, str(piece.number), lines)
            x += _PILE_WIDE

    return Block(_PILE_HIGH, draw)


def _pair(pages: tuple[int | None, int | None]) -> str:
    left, right = pages
    return f"{left} | {right}"


def gather(facts: GuideFacts, width: float) -> Section:
    """Return the step that stacks folded signatures."""
    booklet = facts.imposition.booklet
    signatures = {n: [p for p in booklet.pieces if p.signature == n] for n in range(1, booklet.signatures + 1)}
    firsts = {n: min(page for piece in pieces for page in piece.pages) for n, pieces in signatures.items()}
    side = "right" if booklet.right_to_left else "left"
    texts = (
        f"Lay the folded signatures out in order, 1 to {booklet.signatures}, first page up, folds at the {side}.",
        f"Take the last one, lay the one before on it, and so on: signature 1, page {firsts[1]} up, comes on top.",
        "Jog to the spine, then to the head.",
    )
    steps = step_places(facts)
    return Section(
        "Gather",
        (
            *caution_in_a_line(BENCH, width),
            *numbered(texts, width),
            *subheading("Signatures in order", width),
            *_signature_piles(firsts, signatures, width),
            *(_staircase(steps, facts, width) if steps else ()),
        ),
    )


def _signature_piles(firsts: dict[int, int], signatures: dict[int, list[Piece]], width: float) -> tuple[Block, ...]:
    across = max(1, int(width // _PILE_WIDE))
    numbers = sorted(signatures)
    rows = [numbers[i : i + across] for i in range(0, len(numbers), across)]

    def row_of(row: Sequence[int]) -> Block:
        def draw(pen: Pen, x: float, top: float) -> None:
            for number in row:
                last = max(page for piece in signatures[number] for page in piece.pages)
                box = Box.at(x, top - _PILE_HIGH + 4, _PILE_WIDE - 6, _PILE_HIGH - 6)
                draw_pile(pen, box, str(number), (f"pages {firsts[number]}–{last}",))
                x += _PILE_WIDE

        return Block(_PILE_HIGH - 3, draw)

    return tuple(map(row_of, rows))


def step_places(facts: GuideFacts) -> tuple[tuple[float, float], ...]:
    """Return for each signature where its collation mark begins and ends, mm from the head; empty without marks.

    Read from the frames, so that the picture shows the marks that are printed.
    """
    found: dict[int, tuple[float, float]] = {}
    for (number, side), frame in facts.frames.items():
        marks = [m for m in frame.marks if isinstance(m, Patch) and m.kind == "steps"]
        for panel in facts.sheet(number).face(side).panels if marks else ():
            for mark in marks:
                if panel.page is not None and mark.box.meets(panel.trim.grown(0.5)):
                    found.setdefault(panel.signature, _from_head(panel, mark.box))
    return tuple(found[number] for number in sorted(found))


def _from_head(panel: Panel, box: Box) -> tuple[float, float]:
    trim = panel.trim
    match panel.rotation:
        case 0:
            return trim.y1 - box.y1, trim.y1 - box.y0
        case 90:
            return box.x0 - trim.x0, box.x1 - trim.x0
        case 180:
            return box.y0 - trim.y0, box.y1 - trim.y0
        case 270:
            return trim.x1 - box.x1, trim.x1 - box.x0


def _staircase(steps: Sequence[tuple[float, float]], facts: GuideFacts, width: float) -> tuple[Block, ...]:
    words = (
        "Every signature carries a black bar on its fold, a step further from the head each time. Looked at from the "
        "spine the bars of a stack form a staircase: a gap is a missing signature, two bars side by side are the same "
        "one twice, a step backward is two that have changed places."
    )
    thick = max(1.2, min(3.0, 60.0 / len(steps)))
    along = width * 0.62
    high = len(steps) * thick + 12

    def draw(pen: Pen, x: float, top: float) -> None:
        spines = Box(x, top - 6 - len(steps) * thick, x + along, top - 6)
        # Page 1 up, heads away: from the side of its spine a booklet has its head at the left; one that is read from
        # right to left has it at the right.
        head_at_left = not facts.imposition.booklet.right_to_left
        _draw_spines(pen, spines, steps, facts.trim.height, head_at_left=head_at_left)
        shown = min(5, len(steps))
        if shown >= 3:
            _draw_wrong(pen, Box(x + along + 10, top - 6 - shown * 2.4, x + width, top - 6), shown)

    heading = subheading("Check the staircase on the spine", width)
    return (*heading, *kept(paragraph(words, width)), gap(2.0, keep=True), Block(high, draw))


def _draw_spines(
    pen: Pen, box: Box, steps: Sequence[tuple[float, float]], page_height: float, *, head_at_left: bool
) -> None:
    """Draw the spine of a gathered stack, page 1 up, as seen from the spine's side."""
    thick, scale = box.height / len(steps), box.width / page_height
    for i, (start, end) in enumerate(steps):
        row = Box(box.x0, box.y1 - (i + 1) * thick, box.x1, box.y1 - i * thick)
        pen.box(row, weight=HAIR, paint=0.4)
        low, high = (start, end) if head_at_left else (page_height - end, page_height - start)
        pen.box(Box(row.x0 + low * scale, row.y0, row.x0 + high * scale, row.y1), weight=None, fill=0.0)
    pen.box(box, weight=FIRM)
    left, right = ("head", "foot") if head_at_left else ("foot", "head")
    pen.text((box.x0, box.y1 + 1.5), left, NAMES)
    pen.text((box.x1, box.y1 + 1.5), right, NAMES, align="right")
    pen.text((box.centre[0], box.y1 + 1.5), "signature 1 on top", NAMES, align="centre", paint=0.3)


def _draw_wrong(pen: Pen, box: Box, rows: int) -> None:
    """Draw two wrong stacks: one missing, one twice."""
    wide = (box.width - 6) / 2
    for k, (name, order) in enumerate((("missing", [0, 1, 3, 4, 5]), ("twice", [0, 1, 1, 2, 3]))):
        left = box.x0 + k * (wide + 6)
        pen.text((left, box.y1 + 1.5), name, NAMES, font=SANS_BOLD)
        for i, step in enumerate(order[:rows]):
            y = box.y1 - (i + 1) * 2.4
            pen.box(Box(left, y, left + wide, y + 2.4), weight=HAIR, paint=0.4)
            at = left + wide * (0.08 + 0.14 * step)
            pen.box(Box(at, y, at + wide * 0.14, y + 2.4), weight=None, fill=0.0)
        pen.box(Box(left, box.y1 - rows * 2.4, left + wide, box.y1), weight=THIN)
