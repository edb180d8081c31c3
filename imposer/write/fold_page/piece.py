"""One piece on its way through the folds, and the leaves of a booklet as they nest: small drawings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from imposer.fold.model import Compass, Scheme
from imposer.fold.steps import easier_side, points_to
from imposer.fold_back.laid import LaidPiece
from imposer.fold_back.paper import Face, Place
from imposer.fold_back.record import PartRecord
from imposer.geometry import Box
from imposer.sheet.safe_area import mirrors_x
from imposer.words import runs_of
from imposer.write.fold_page.markup import Markup, element, joined
from imposer.write.fold_pictures import FoldPicture, SeenCell, fold_pictures

#: The longer side of the flat piece in a drawing, in its own units.
_LONG = 200.0
_TURN: dict[Compass, int] = {"N": 0, "W": -90, "S": 180, "E": 90}
_AROUND: tuple[Compass, ...] = ("N", "W", "S", "E")
#: Leaves are drawn so far apart and so long.
_LEAF, _LENGTH, _SPINE = 11.0, 120.0, 90.0
_TINTS = ("#3b6ea5", "#b4622d", "#4f7f3d", "#8a4f8f", "#8f7a1f", "#3f8584", "#a34256", "#5b5b9a")


def folding_drawings(part: PartRecord, scheme: Scheme, piece: LaidPiece) -> Markup:
    """Return the flat piece and the piece after every fold, with the pages that are seen."""
    up = easier_side(scheme)
    pictures = fold_pictures(scheme, piece.lines_x, piece.lines_y, up)
    scale = _LONG / max(pictures[0].outline.width, pictures[0].outline.height)
    figures = []
    for number, picture in enumerate(pictures):
        words = "flat" if number == 0 else f"after fold {number}"
        if picture.move:
            way = "over" if picture.move.over else "under"
            words += f"; next, the {picture.move.moves} part goes {way}"
        figures.append(element("figure", _state(part, piece, picture, scale), element("figcaption", words)))
    lead = f"The {up} looks up." if scheme.creases else "This piece is not folded."
    return joined((element("p", lead), element("div", *figures, class_="steps")))


def _state(part: PartRecord, piece: LaidPiece, picture: FoldPicture, scale: float) -> Markup:
    out = picture.outline
    drawn = [cell for seen in picture.cells for cell in _cell(part, piece, seen, out, scale)]
    line = picture.next
    if line:
        kind = "valley" if line.valley else "mountain"
        x1, x2 = (scale * (x - out.x0) for x in (line.x0, line.x1))
        y1, y2 = (scale * (out.y1 - y) for y in (line.y0, line.y1))
        drawn.append(element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=f"crease {kind}"))
    wide, high = out.width * scale, out.height * scale
    box = f"-3 -3 {wide + 6:.2f} {high + 6:.2f}"
    return element("svg", *drawn, viewBox=box, width=wide + 6, height=high + 6, role="img", aria_label="the piece")


def _cell(part: PartRecord, piece: LaidPiece, seen: SeenCell, out: Box, scale: float) -> Iterator[Markup]:
    box, cell = seen.box, seen.cell
    x, y = scale * (box.x0 - out.x0), scale * (out.y1 - box.y1)
    wide, high = box.width * scale, box.height * scale
    side = "front" if cell.front_up else "back"
    yield element("rect", x=x, y=y, width=wide, height=high, class_=f"paper {side}")
    face = (piece.front if cell.front_up else piece.back).get((cell.column, cell.row))
    if not seen.on_top or face is None:
        return
    size = min(wide, high) / 3
    head = points_to(cell, _flat_head(part, face))
    transform = f"translate({x + wide / 2:.2f} {y + high / 2:.2f}) rotate({_TURN[head]})"
    yield element("g", element("text", _shown(face), y=size * 0.36, font_size=size), transform=transform)


def _flat_head(part: PartRecord, face: Face) -> Compass:
    """Return the edge of the flat cell, seen from the front, at which the page's head lies."""
    points = _AROUND[(face.panel.rotation + face.turned) // 90 % 4]
    if face.side == "back":
        level = mirrors_x(part.lead, part.flip)
        swapped: dict[Compass, Compass] = {"E": "W", "W": "E"} if level else {"N": "S", "S": "N"}
        points = swapped.get(points, points)
    return _AROUND[(_AROUND.index(points) - part.piece_turn // 90) % 4]


def _shown(face: Face) -> str:
    return "–" if face.bare else "?" if face.page is None else str(face.page)


# --- the nest -------------------------------------------------------------------------------------------------------


def nest_drawings(part: PartRecord, places: Sequence[Place]) -> Markup:
    """Return every signature as seen from the head: a line a leaf, its spine joined to the leaf it hangs on."""
    figures, at = [], 0
    per_piece = 2 * part.columns * part.rows
    for number, size in enumerate(part.signatures, 1):
        pages = places[at : at + size * per_piece]
        at += size * per_piece
        words = f"signature {number}: {_pieces(pages)}" if len(part.signatures) > 1 else _pieces(pages)
        figures.append(element("figure", _signature(part, pages), element("figcaption", words)))
    return element("div", *figures, class_="steps")


def _pieces(places: Sequence[Place]) -> str:
    numbers = sorted({place.face.panel.piece for place in places if place.face})
    return f"{'piece' if len(numbers) == 1 else 'pieces'} {runs_of(numbers, least=2)}" if numbers else "bare"


def _signature(part: PartRecord, places: Sequence[Place]) -> Markup:
    leaves = list(zip(places[::2], places[1::2], strict=False))
    backwards = part.reading == "right-to-left"
    high = len(leaves) * _LEAF
    depth = min(_SPINE, 6.0 * len(leaves))
    wide = depth + _LENGTH + 40
    drawn = []
    for i, (up, down) in enumerate(leaves):
        y = (i + 0.5) * _LEAF
        mate = len(leaves) - 1 - i
        colour = _tint(up, down)
        drawn.append(element("line", x1=depth, y1=y, x2=depth + _LENGTH, y2=y, stroke=colour, class_="leaf"))
        if i < mate:
            reach = depth * (mate - i) / len(leaves)
            other = (mate + 0.5) * _LEAF
            bend = f"{depth - reach:.1f} {y:.1f} {depth - reach:.1f} {other:.1f}"
            path = f"M{depth:.1f} {y:.1f} C{bend} {depth:.1f} {other:.1f}"
            drawn.append(element("path", d=path, stroke=colour, class_="leaf"))
        drawn.append(_leaf_words(up, down, depth + _LENGTH + 6, y, backwards=backwards))
    flip = f"translate({wide:.1f} 0) scale(-1 1)" if backwards else None
    inside = element("g", *drawn, transform=flip)
    return element("svg", inside, viewBox=f"0 0 {wide:.1f} {high:.1f}", width=wide, height=high, role="img")


def _leaf_words(up: Place, down: Place, x: float, y: float, *, backwards: bool) -> Markup:
    words = f"{_of(up)} · {_of(down)}"
    if not backwards:
        return element("text", words, x=x, y=y + 3, font_size=8.0, class_="leaf-text")
    # Written the right way round in a drawing that is mirrored.
    return element(
        "text", words, x=-x, y=y + 3, font_size=8.0, class_="leaf-text", text_anchor="end", transform="scale(-1 1)"
    )


def _of(place: Place) -> str:
    return "–" if place.face is None else _shown(place.face)


def _tint(up: Place, down: Place) -> str:
    face = up.face or down.face
    return _TINTS[face.panel.piece % len(_TINTS)] if face else "#999999"
