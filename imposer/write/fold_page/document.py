"""The page itself: verdict, sheets, folds, nest, the booklet page by page. What was found comes in, HTML goes out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.findings import SIDES, Side
from imposer.fold_back.folded import FoldedBack, FoldedPart, misread
from imposer.fold_back.laid import LaidPiece, laid_pieces
from imposer.fold_back.paper import Face, Place, scheme_of
from imposer.fold_back.pictures import SheetPictures
from imposer.fold_back.record import FOLDED, PartRecord, RecordError
from imposer.offline import NOTHING_OUTSIDE
from imposer.units import show
from imposer.words import number_of
from imposer.write.fold_page.markup import Markup, element, empty, joined, jpeg
from imposer.write.fold_page.piece import folding_drawings, nest_drawings
from imposer.write.fold_page.sheet import side_picture
from imposer.write.fold_page.style import STYLE

_SLIT = (
    "Then opened, slit along the thick line, folded along its length with the print outside, and pushed together from "
    "both ends: the slit opens into a ring, which lies flat as the leaves below."
)


def write_fold_page(file: Path, folded: FoldedBack, pictures: SheetPictures) -> None:
    """Write the page to a file.

    Raises:
        ImposerError: it cannot be written.
    """
    try:
        file.write_text(fold_page(folded, pictures), encoding="utf-8")
    except OSError as error:
        problem = f"cannot be written ({error.strerror or error})"
        raise ImposerError(Fault(file=file, problem=problem, mend="make room, or check its rights")) from error


def fold_page(folded: FoldedBack, pictures: SheetPictures) -> str:
    """Return the whole page."""
    title = f"{folded.title}, folded back"
    head = [
        empty("meta", charset="utf-8"),
        empty("meta", http_equiv="Content-Security-Policy", content=NOTHING_OUTSIDE),
        empty("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("title", title),
        element("style", Markup(STYLE)),
    ]
    body = [element("h1", title), *_verdict(folded)]
    for part in folded.parts:
        body += _part(folded, part, pictures)
    inside = element("head", *head) + "\n" + element("body", element("main", *body))
    return f"<!doctype html>\n{element('html', Markup(inside), lang='en')}\n"


def _verdict(folded: FoldedBack) -> Iterator[Markup]:
    if folded.faults:
        yield element("p", "It does not read as it should. Do not print from these masters.", class_="verdict wrong")
        yield element("ul", *(element("li", str(fault)) for fault in folded.faults), class_="faults")
    else:
        yield element("p", f"It reads 1 … {folded.pages}, every page head up.", class_="verdict right")
    for note in folded.notes:
        yield element("p", note)
    yield element(
        "p",
        "The masters themselves were read, cut, folded and bound in memory; below is what was found on them.",
    )


def _part(folded: FoldedBack, folded_part: FoldedPart, pictures: SheetPictures) -> Iterator[Markup]:
    part = folded_part.part
    if part.name:
        yield element("h2", part.name)
    sheets = [(sheet, {side: folded.faces.get((sheet, side), ()) for side in SIDES}) for sheet in part.sheets]
    pieces = {sheet: _pieces(part, faces) for sheet, faces in sheets}
    yield element("h3", "Printed, cut, creased")
    yield element("p", _legend(part))
    yield element("div", *(_sheet(part, n, faces, pieces[n], pictures) for n, faces in sheets), class_="sheets")
    first = next((piece for found in pieces.values() for piece in found), None)
    if first:
        yield element("h3", f"Folded: piece {first.number}")
        yield folding_drawings(part, scheme_of(part), first)
        if part.slits:
            yield element("p", _SLIT)
    if part.kind == FOLDED and sum(part.signatures) > 1:
        yield element("h3", "Nested" if len(part.signatures) == 1 else "Nested and gathered")
        yield element("p", "Seen from the head: a line a leaf, with the pages on its two faces.")
        yield nest_drawings(part, folded_part.copies[0])
    yield element("h3", "Read")
    yield element("div", *_openings(part, folded_part.copies[0], folded.faces, pictures), class_="booklet")


def _pieces(part: PartRecord, faces: Mapping[Side, Sequence[Face]]) -> tuple[LaidPiece, ...]:
    try:
        return laid_pieces(part, faces["front"], faces["back"])
    except RecordError:
        return ()


def _legend(part: PartRecord) -> str:
    size = f"{show(part.size.width)} × {show(part.size.height)} mm"
    sheets = f"{number_of(len(part.sheets), 'sheet')} of {size}, backs by {part.flip}."
    lines = " Solid lines are cuts; dashed creases are valleys, dash-dotted ones mountains, as each side is seen."
    if part.slits:
        return sheets + lines + " The thick line is the slit; the creases are those of the finished booklet."
    return sheets + lines + " Numbers in circles are the order of the folds."


def _sheet(
    part: PartRecord,
    number: int,
    faces: Mapping[Side, Sequence[Face]],
    pieces: Sequence[LaidPiece],
    pictures: SheetPictures,
) -> Markup:
    figures = []
    for side in SIDES:
        picture = pictures.sides.get((number, side))
        words = f"sheet {number} {side}" + ("" if picture else ", no master")
        drawing = side_picture(part, side, picture, pieces, faces[side])
        figures.append(element("figure", drawing, element("figcaption", words)))
    return element("div", *figures, class_="sheet")


# --- the booklet ----------------------------------------------------------------------------------------------------


def _openings(
    part: PartRecord, places: Sequence[Place], faces: Mapping[tuple[int, Side], Sequence[Face]], pictures: SheetPictures
) -> Iterator[Markup]:
    """Yield what lies open before a reader, one opening after the other."""
    groups: list[Sequence[Place]] = [[place] for place in places]
    if part.kind == FOLDED:
        groups = [places[:1], *(places[i : i + 2] for i in range(1, len(places), 2))]
    for group in groups:
        shown = [_page(part, place, faces, pictures) for place in group]
        if part.reading == "right-to-left":
            shown.reverse()
        yield element("div", joined(shown), class_="opening")


def _page(
    part: PartRecord, place: Place, faces: Mapping[tuple[int, Side], Sequence[Face]], pictures: SheetPictures
) -> Markup:
    wanted = part.pages[place.number - 1] if place.number <= len(part.pages) else 0
    problem = misread(part, place, wanted)
    picture = _picture(place, faces, pictures)
    seen: Markup = (
        empty("img", src=jpeg(picture), alt=f"page {wanted} as found", loading="lazy", class_=_turned(place))
        if picture
        else element("div", "bare", class_="bare")
    )
    where = f"sheet {place.face.sheet} {place.face.side}" if place.face else "no master"
    words = [element("b", wanted), f" {where}"]
    if problem:
        words.append(element("span", problem, class_="problem"))
    return element("figure", seen, element("figcaption", *words), class_="wrong" if problem else None)


def _picture(place: Place, faces: Mapping[tuple[int, Side], Sequence[Face]], pictures: SheetPictures) -> bytes | None:
    if place.face is None:
        return None
    on_side = faces[place.face.sheet, place.face.side]
    index = next(i for i, face in enumerate(on_side) if face is place.face)
    return pictures.pages.get((place.face.sheet, place.face.side, index))


def _turned(place: Place) -> str | None:
    """Return how the picture is to be turned, where the booklet's page does not stand as its record says."""
    if place.face is None or place.face.turned:
        # What was found turned is turned in its picture already.
        return None
    return {"up": None, "down": "down", "to the left": "left", "to the right": "right"}[place.head]
