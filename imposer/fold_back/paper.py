"""Paper cut, folded, nested and gathered in memory: faces found on sheets in, the booklet they make out.

This is the folding engine backwards. What lies where follows from boxes on the sheet, from the way the sheet turns over
and from the creases; which page a face carries was seen on it and is not looked up. Pieces are collated as a person
does it: sheets in order, cut, stack on stack.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from imposer.findings import Side
from imposer.fold.creases import fold, scheme
from imposer.fold.model import Compass, Layer, Scheme
from imposer.fold_back.record import FOLDED, LEAFLET, PanelRecord, PartRecord, RecordError
from imposer.geometry import Box, Transform, Turn
from imposer.sheet.safe_area import mirrors_x

_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
_MIRROR_X: dict[Compass, Compass] = {"N": "N", "S": "S", "E": "W", "W": "E"}
_MIRROR_Y: dict[Compass, Compass] = {"N": "S", "S": "N", "E": "E", "W": "W"}

#: How a page stands in the folded booklet.
Head = Literal["up", "to the left", "down", "to the right"]
_HEADS: tuple[Head, ...] = ("up", "to the left", "down", "to the right")


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One printed panel as it was found."""

    sheet: int
    side: Side
    panel: PanelRecord
    #: The page whose art lies there, if it is one; None too where no ink prints.
    page: int | None
    #: Whether no ink prints there.
    bare: bool = False
    #: How the art stands beside how the record says, counter-clockwise.
    turned: Turn = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One cell of a piece: two faces, back to back; None is bare paper that no master covers."""

    column: int
    row: int
    front: Face | None
    back: Face | None
    #: Where the head of each face points, as the flat piece is seen from its front.
    front_head: Compass = "N"
    back_head: Compass = "N"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One page of the booklet as it was folded."""

    #: Which page a reader meets here, from 1, counted through this part.
    number: int
    face: Face | None
    head: Head
    hand: Literal["left", "right"]


#: The faces of a sheet's side: as many as it has panels, or none if no master covers it.
Faces = Mapping[tuple[int, Side], Sequence[Face]]


def fold_part(part: PartRecord, faces: Faces) -> tuple[tuple[Place, ...], ...]:
    """Fold one part; return the pages of every copy that one printing of its sheets makes, in reading order.

    Raises:
        RecordError: what is printed cannot be cut and folded as the record says.
    """
    if part.kind not in (FOLDED, LEAFLET):
        raise RecordError(f"its form, {part.kind!r}, is not known to this program")
    layers = fold(scheme_of(part))
    binding = _read_leaflet if part.kind == LEAFLET else _bound
    stacks = [_cut(part, faces.get((sheet, "front"), ()), faces.get((sheet, "back"), ())) for sheet in part.sheets]
    return tuple(tuple(_places(part, binding(part, pieces, layers))) for pieces in _collated(part, stacks))


def scheme_of(part: PartRecord) -> Scheme:
    """Return how a piece of a part is folded.

    Raises:
        RecordError: its creases do not make its grid one cell.
    """
    try:
        return replace(
            scheme(part.columns, part.rows, " ".join(part.creases)),
            mirrored="mirrored" in part.ways,
            from_top="from_top" in part.ways,
            slit="slit" in part.ways,
            leaflet="leaflet" in part.ways,
        )
    except ValueError as error:
        raise RecordError(f"its creases cannot be folded ({error})") from error


# --- cut ------------------------------------------------------------------------------------------------------------

#: The pieces of one sheet, slot by slot: each with its copy and its leaves.
_Piece = tuple[int, tuple[Leaf, ...]]


@dataclass(frozen=True, slots=True)
class _Placed:
    """A face with its box and the direction of its head, both as the sheet is seen from its front."""

    face: Face
    box: Box
    head: Compass


def _cut(part: PartRecord, front: Sequence[Face], back: Sequence[Face]) -> list[_Piece | None]:
    """Cut a sheet; return what each slot gives, in stack order. A slot that holds no piece gives None."""
    fronts = [_Placed(face, face.panel.trim, _head_on_sheet(face)) for face in front]
    backs = [_through(part, _Placed(face, face.panel.trim, _head_on_sheet(face))) for face in back]
    pieces: list[_Piece | None] = []
    for slot in slots_of(part):
        here, behind = ([placed for placed in side if _inside(slot, placed.box)] for side in (fronts, backs))
        if not here and not behind:
            # No master covers it. A sheet that has none at all still has its pieces.
            pieces.append((1, _bare(part)) if not front and not back else None)
            continue
        one = (here or behind)[0].face.panel
        pieces.append((one.copy, _leaves(part, slot, here, behind)) if one.piece else None)
    return pieces


def slots_of(part: PartRecord) -> Iterator[Box]:
    """Yield the boxes that the cuts leave, as large as a piece: column by column, each from the top down."""
    columns = list(zip(part.cuts_x, part.cuts_x[1:], strict=False))
    rows = list(zip(part.cuts_y, part.cuts_y[1:], strict=False))[::-1]
    if not columns or not rows:
        raise RecordError("its cuts leave no piece")
    # Between two pieces may lie a strip of waste, narrower than they are.
    wide, high = (max(b - a for a, b in spans) for spans in (columns, rows))
    for x0, x1 in columns:
        for y0, y1 in rows:
            if x1 - x0 > 0.9 * wide and y1 - y0 > 0.9 * high:
                yield Box(x0, y0, x1, y1)


def _inside(slot: Box, box: Box) -> bool:
    x, y = box.centre
    return slot.x0 < x < slot.x1 and slot.y0 < y < slot.y1


def _head_on_sheet(face: Face) -> Compass:
    return _AROUND[(face.panel.rotation + face.turned) // 90 % 4]


def _through(part: PartRecord, placed: _Placed) -> _Placed:
    """Return a face of the back as it would be seen through the paper from the front."""
    if mirrors_x(part.lead, part.flip):
        return _Placed(placed.face, placed.box.mirrored_x(part.size.width), _MIRROR_X[placed.head])
    return _Placed(placed.face, placed.box.mirrored_y(part.size.height), _MIRROR_Y[placed.head])


def _leaves(part: PartRecord, slot: Box, front: list[_Placed], back: list[_Placed]) -> tuple[Leaf, ...]:
    """Lay the faces of a piece back to back, cell by cell of the flat piece."""
    flat = slot.size if part.piece_turn in (0, 180) else slot.size.turned
    to_flat = Transform.shift(-slot.x0, -slot.y0).then(Transform.quarter_turn(part.piece_turn, flat).inverse())
    posters = [placed for placed in back if part.poster and placed.box.size.close_to(slot.size, 0.1)]
    back = [placed for placed in back if placed not in posters]
    columns, rows = _lines(to_flat, (*front, *back), part)
    fronts, backs = ({_cell(to_flat, placed.box, columns, rows): placed for placed in side} for side in (front, back))
    turned = part.piece_turn // 90

    def flat_head(placed: _Placed | None) -> Compass:
        return _AROUND[(_AROUND.index(placed.head) - turned) % 4] if placed else "N"

    whole = [Leaf(column=-1, row=-1, front=None, back=placed.face, back_head=flat_head(placed)) for placed in posters]
    return tuple(
        Leaf(
            column=column,
            row=row,
            front=fronts[column, row].face if (column, row) in fronts else None,
            back=backs[column, row].face if (column, row) in backs else None,
            front_head=flat_head(fronts.get((column, row))),
            back_head=flat_head(backs.get((column, row))),
        )
        for column in range(len(columns) or part.columns)
        for row in range(len(rows) or part.rows)
    ) + tuple(whole)


def _bare(part: PartRecord) -> tuple[Leaf, ...]:
    return tuple(
        Leaf(column=column, row=row, front=None, back=None)
        for column in range(part.columns)
        for row in range(part.rows)
    )


def _lines(to_flat: Transform, faces: Iterable[_Placed], part: PartRecord) -> tuple[list[float], list[float]]:
    """Return the middles of the columns and rows of a flat piece, as its panels lie."""
    boxes = [to_flat.apply_box(placed.box) for placed in faces]
    if not boxes and part.poster:
        return [], []
    near_x, near_y = min(box.width for box in boxes) / 2, min(box.height for box in boxes) / 2
    columns = _apart((box.centre[0] for box in boxes), near_x)
    rows = _apart((box.centre[1] for box in boxes), near_y)
    # The last piece of a strip may have fewer panels.
    fits = len(columns) <= part.joined if part.joined else len(columns) == part.columns
    if not fits or len(rows) != part.rows:
        raise RecordError(
            f"a piece has panels in {len(columns)} × {len(rows)} places, "
            f"but is folded from {part.columns} × {part.rows}"
        )
    return columns, rows


def _apart(values: Iterable[float], near: float) -> list[float]:
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > near:
            found.append(value)
    return found


def _cell(to_flat: Transform, box: Box, columns: list[float], rows: list[float]) -> tuple[int, int]:
    x, y = to_flat.apply_box(box).centre
    column = min(range(len(columns)), key=lambda c: abs(columns[c] - x))
    return column, min(range(len(rows)), key=lambda r: abs(rows[r] - y))


# --- collate, fold, nest --------------------------------------------------------------------------------------------


def _collated(part: PartRecord, sheets: list[list[_Piece | None]]) -> list[list[tuple[Leaf, ...]]]:
    """Return the pieces of each copy in the order of the stacks."""
    wanted = sum(part.signatures)
    slots = max((len(pieces) for pieces in sheets), default=0)
    copies: dict[int, list[tuple[Leaf, ...]]] = {}
    for slot in range(slots):
        for pieces in sheets:
            piece = pieces[slot] if slot < len(pieces) else None
            if piece:
                copies.setdefault(piece[0], []).append(piece[1])
    for number, pieces_of_copy in copies.items():
        # Sheets without any master are counted full; what is beyond the booklet is paper to spare.
        copies[number] = pieces_of_copy[:wanted]
        if len(copies[number]) < wanted:
            raise RecordError(f"its sheets give {len(pieces_of_copy)} pieces, but the booklet is bound from {wanted}")
    if not copies:
        raise RecordError("its sheets give no piece")
    return [copies[number] for number in sorted(copies)]


@dataclass(frozen=True, slots=True)
class _Page:
    """One face of the folded stack."""

    face: Face | None
    head: Head


def _folded(piece: tuple[Leaf, ...], layers: tuple[Layer, ...]) -> list[_Page]:
    """Fold a piece; return its faces from the top of the stack to the bottom."""
    leaves = {(leaf.column, leaf.row): leaf for leaf in piece}
    pages = []
    for layer in layers:
        leaf = leaves[layer.column, layer.row]
        # Both heads are told as seen from the front; seen from behind, left and right change places.
        front = _Page(leaf.front, _head(leaf.front_head, layer.head, seen_from_behind=False))
        back = _Page(leaf.back, _head(leaf.back_head, layer.head, seen_from_behind=True))
        pages += [front, back] if layer.front_up else [back, front]
    return pages


def _head(points: Compass, should: Compass, *, seen_from_behind: bool) -> Head:
    quarter_turns = (_AROUND.index(points) - _AROUND.index(should)) % 4
    return _HEADS[-quarter_turns % 4 if seen_from_behind else quarter_turns]


def _read_leaflet(part: PartRecord, pieces: list[tuple[Leaf, ...]], layers: tuple[Layer, ...]) -> list[_Page]:
    """Fold a leaflet, joined first if it is a strip of several pieces; return the faces that carry pages."""
    posters = [leaf for piece in pieces for leaf in piece if leaf.column < 0]
    flat = [tuple(leaf for leaf in piece if leaf.column >= 0) for piece in pieces]
    if part.joined:
        strip = [replace(leaf, column=leaf.column + i * part.joined) for i, piece in enumerate(flat) for leaf in piece]
        flat = [tuple(leaf for leaf in strip if leaf.column < part.columns)]
    read: list[_Page] = []
    for piece in flat:
        pages = _folded(piece, layers)
        fronts = [up for layer in layers for up in (layer.front_up, not layer.front_up)]
        read += [page for page, front in zip(pages, fronts, strict=True) if front or part.sides == 2]
    if part.poster:
        found = next(iter(posters), None)
        read.append(
            _Page(found.back, _head(found.back_head, "N", seen_from_behind=True)) if found else _Page(None, "up")
        )
    return read


def _bound(part: PartRecord, pieces: list[tuple[Leaf, ...]], layers: tuple[Layer, ...]) -> list[_Page]:
    """Fold, nest and gather the pieces of a booklet; return its faces as a reader meets them."""
    folded = [_folded(piece, layers) for piece in pieces]
    signatures, at = [], 0
    for size in part.signatures:
        signatures.append(folded[at : at + size])
        at += size
    backwards = part.reading == "right-to-left"
    read: list[_Page] = []
    for nested in signatures[::-1] if backwards else signatures:
        inside: list[_Page] = []
        for faces in reversed(nested):
            middle = len(faces) // 2
            inside = [*faces[:middle], *inside, *faces[middle:]]
        read += inside
    return read[::-1] if backwards else read


def _places(part: PartRecord, read: list[_Page]) -> Iterator[Place]:
    """Yield what a reader meets."""
    backwards = part.reading == "right-to-left"
    for number, page in enumerate(read, 1):
        first_hand = (number % 2 == 1) != backwards
        yield Place(number=number, face=page.face, head=page.head, hand="right" if first_hand else "left")
