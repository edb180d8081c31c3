"""A printed side as a picture, with what is done to it: where it is cut, where and in which order it is creased."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from imposer.findings import Side
from imposer.fold_back.laid import LaidPiece, seen_through
from imposer.fold_back.paper import Face, scheme_of
from imposer.fold_back.record import PartRecord
from imposer.geometry import Box
from imposer.write.fold_page.markup import Markup, element, jpeg
from imposer.write.fold_pictures import CreaseLine, crease_map

_Ends = tuple[float, float]


def side_picture(
    part: PartRecord, side: Side, picture: bytes | None, pieces: Sequence[LaidPiece], faces: Sequence[Face]
) -> Markup:
    """Return one side as a drawing in mm, y downwards."""
    wide, high = part.size.width, part.size.height
    unit = max(wide, high) / 100
    inside: list[Markup] = [element("rect", width=wide, height=high, fill=part.paper or "#ffffff")]
    if picture:
        inside.append(element("image", href=jpeg(picture), width=wide, height=high, preserveAspectRatio="none"))
    inside += _cuts(part, side)
    for piece in pieces:
        inside += _creases(part, side, piece, unit)
    inside += [_number(part, face, unit) for face in faces]
    return element("svg", *inside, viewBox=f"0 0 {wide:g} {high:g}", role="img", aria_label=f"the {side} as printed")


def _cuts(part: PartRecord, side: Side) -> Iterator[Markup]:
    wide, high = part.size.width, part.size.height
    for x in part.cuts_x:
        at = _seen(part, side, Box(x, 0, x, high))
        yield element("line", x1=at.x0, y1=0, x2=at.x0, y2=high, class_="cut")
    for y in part.cuts_y:
        at = _seen(part, side, Box(0, y, wide, y))
        yield element("line", x1=0, y1=high - at.y0, x2=wide, y2=high - at.y0, class_="cut")


def _creases(part: PartRecord, side: Side, piece: LaidPiece, unit: float) -> Iterator[Markup]:
    """Yield the creases of one piece, numbered in order; a valley of the front is a mountain of the back."""
    yield from _slits(part, side, piece)
    numbered: set[int] = set()
    for line in crease_map(scheme_of(part), piece.lines_x, piece.lines_y):
        box = _seen(part, side, piece.to_sheet.apply_box(Box(line.x0, line.y0, line.x1, line.y1)))
        yield _crease(part, box, valley=line.valley == (side == "front"))
        # A slit sheet is creased in steps and then bent once more, as a ring: its creases show that last state.
        if line.number not in numbered and not part.slits:
            numbered.add(line.number)
            yield from _badge(part, box, line, unit)


def _slits(part: PartRecord, side: Side, piece: LaidPiece) -> Iterator[Markup]:
    """Yield what is cut inside a piece; a slit's ends are counted in cells."""
    for x0, y0, x1, y1 in part.slits:
        xs, ys = ([lines[min(int(at), len(lines) - 1)] for at in ends] for lines, ends in _ends(piece, x0, y0, x1, y1))
        box = _seen(part, side, piece.to_sheet.apply_box(Box(xs[0], ys[0], xs[1], ys[1])))
        high = part.size.height
        yield element("line", x1=box.x0, y1=high - box.y0, x2=box.x1, y2=high - box.y1, class_="slit")


def _ends(piece: LaidPiece, x0: float, y0: float, x1: float, y1: float) -> Iterator[tuple[Sequence[float], _Ends]]:
    yield piece.lines_x, (x0, x1)
    yield piece.lines_y, (y0, y1)


def _crease(part: PartRecord, box: Box, *, valley: bool) -> Markup:
    high = part.size.height
    kind = "valley" if valley else "mountain"
    return element("line", x1=box.x0, y1=high - box.y0, x2=box.x1, y2=high - box.y1, class_=f"crease {kind}")


def _badge(part: PartRecord, box: Box, line: CreaseLine, unit: float) -> Iterator[Markup]:
    # Near one end, so that badges of creases that cross do not meet.
    x, y = box.x0 + (box.x1 - box.x0) * 0.12, box.y0 + (box.y1 - box.y0) * 0.12
    y = part.size.height - y
    yield element("circle", cx=x, cy=y, r=2.2 * unit, class_="badge")
    yield element("text", line.number, x=x, y=y + 1.1 * unit, font_size=3 * unit, class_="badge-text")


def _number(part: PartRecord, face: Face, unit: float) -> Markup:
    """Return the page that was found on a panel, head up as it lies."""
    trim = face.panel.trim
    x, y = trim.centre
    shown = "–" if face.panel.page is None else "bare" if face.bare else "?" if face.page is None else str(face.page)
    turn = -(face.panel.rotation + face.turned) % 360
    y = part.size.height - y
    transform = f"translate({x:.2f} {y:.2f}) rotate({turn})"
    size = min(trim.width, trim.height) / 4
    label = element("text", shown, y=size * 0.36, font_size=size, class_="page-number", stroke_width=unit)
    return element("g", label, transform=transform)


def _seen(part: PartRecord, side: Side, box: Box) -> Box:
    return box if side == "front" else seen_through(part, box)
