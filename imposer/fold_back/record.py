"""What a master page knows of itself and of the booklet: one frozen value, and the text in which it travels.

The text is JSON, one object a page, lengths in mm rounded to a micrometre, keys in plain words. It is written and read
here and nowhere else; whoever reads a master that another program went over gets this value or a plain reason why not.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeVar, cast, get_args

from imposer.findings import SIDES, Side
from imposer.geometry import Box, Edge, Size, Turn
from imposer.job.model import Flip, Reading
from imposer.tones.sketch import Sketch

#: The format of the text; a later one adds keys and raises this.
FORMAT, VERSION = "imposer-master", 1
#: No more panels, sheets or letters than this are read: the text may come from anywhere.
MOST_PANELS, MOST_TEXT = 512, 4_000_000

#: How the pieces of a part become leaves: folded along creases and cut open, or a form with a way of its own.
Kind = str
FOLDED: Kind = "folded"
#: A leaflet or cards: nothing nests, and page 1 is the face on top.
LEAFLET: Kind = "leaflet"
#: In which ways a piece may be folded beside its creases, as `fold.model.Scheme` names them.
WAYS = ("mirrored", "from_top", "slit", "leaflet")

_Value = TypeVar("_Value")


class RecordError(Exception):
    """The text is no record of a master, in words for people."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelRecord:
    """One page's place on this side, and what of it this master prints."""

    #: The reader's page; None for a panel beyond the booklet.
    page: int | None
    piece: int
    signature: int
    copy: int
    trim: Box
    clip: Box
    rotation: Turn
    creep: float
    #: What the page prints in this master's ink; None where it prints nothing.
    sketch: Sketch | None
    #: Names the art and its place: no two pages that differ in either share it. Empty where nothing prints.
    art: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterName:
    """Which master: there is one for every sheet, side and ink that prints."""

    sheet: int
    side: Side
    ink: str

    def __str__(self) -> str:
        return f"sheet {self.sheet} {self.side}, {self.ink}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRecord:
    """How one part of the booklet is cut, folded and bound."""

    #: 1 … n in running order.
    number: int
    #: What the parts of a job call this one; empty where there is one alone.
    name: str
    kind: Kind
    #: Its pages in the order it is read, blanks included; and those that no ink prints.
    pages: tuple[int, ...]
    bare: tuple[int, ...]
    #: Every piece is a grid of cells folded along these creases ("V1/2U"), in order.
    columns: int
    rows: int
    creases: tuple[str, ...]
    #: Slits, in cells of the flat piece: x0, y0, x1, y1.
    slits: tuple[tuple[float, float, float, float], ...]
    #: How many pieces nest in each signature, in the order they are gathered.
    signatures: tuple[int, ...]
    style: str
    stitch: str
    reading: Reading
    #: The sheets of this part; its pieces lie turned by so much, cut along these lines of the front.
    sheets: tuple[int, ...]
    piece_turn: Turn
    cuts_x: tuple[float, ...]
    cuts_y: tuple[float, ...]
    size: Size
    lead: Edge
    flip: Flip
    #: The paper's colour, "#rrggbb", and that of every ink on white paper, where they are known.
    paper: str
    ink_colours: tuple[tuple[str, str], ...]
    #: The masters that were made for it, as runs of sheets: (side, ink, first, last).
    masters: tuple[tuple[Side, str, int, int], ...]
    #: Which of `WAYS` hold.
    ways: tuple[str, ...] = ()
    #: 1 if the front alone carries pages; whether the last page fills the whole back.
    sides: int = 2
    poster: bool = False
    #: Columns of each piece, where a strip is joined from several; else 0.
    joined: int = 0

    @property
    def master_names(self) -> tuple[MasterName, ...]:
        """Every master of this part."""
        return tuple(
            MasterName(sheet=sheet, side=side, ink=ink)
            for side, ink, first, last in self.masters
            for sheet in range(first, last + 1)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterRecord:
    """What one page of a master file knows."""

    title: str
    #: Names everything that was decided for the booklet: pages of one set share it, and no other page has it.
    set: str
    #: Pages of the whole booklet, blanks included, and its parts.
    pages: int
    parts: int
    name: MasterName
    drum: int
    pass_number: int
    part: PartRecord
    panels: tuple[PanelRecord, ...]
    #: Names the page's own drawing as it was written; empty before it is.
    drawing: str = ""


# --- writing --------------------------------------------------------------------------------------------------------


def record_text(record: MasterRecord) -> str:
    """Return a record as text: the same record gives the same text. Sketches are left out; see `sketch_bytes`."""
    return json.dumps(record_data(record), ensure_ascii=True, separators=(",", ":"))


def sketch_bytes(record: MasterRecord) -> bytes:
    """Return the tones of all sketches of a record, one after the other, in the order of its panels."""
    return b"".join(panel.sketch.tones for panel in record.panels if panel.sketch)


def record_data(record: MasterRecord) -> dict[str, Any]:
    """Return a record as plain data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": record.title,
        "set": record.set,
        "pages": record.pages,
        "parts": record.parts,
        "sheet": record.name.sheet,
        "side": record.name.side,
        "ink": record.name.ink,
        "drum": record.drum,
        "pass": record.pass_number,
        "drawing": record.drawing,
        "part": part_data(record.part),
        "panels": [panel_data(panel) for panel in record.panels],
    }


def part_data(part: PartRecord) -> dict[str, Any]:
    """Return a part as plain data."""
    return {
        "number": part.number,
        "name": part.name,
        "kind": part.kind,
        "pages": _runs(part.pages),
        "bare": _runs(part.bare),
        "grid": [part.columns, part.rows],
        "creases": list(part.creases),
        "slits": [list(map(_mm, slit)) for slit in part.slits],
        "ways": list(part.ways),
        "sides": part.sides,
        "poster": part.poster,
        "joined": part.joined,
        "signatures": list(part.signatures),
        "style": part.style,
        "stitch": part.stitch,
        "reading": part.reading,
        "sheets": _runs(part.sheets),
        "turn": part.piece_turn,
        "cuts": [list(map(_mm, part.cuts_x)), list(map(_mm, part.cuts_y))],
        "size": [_mm(part.size.width), _mm(part.size.height)],
        "lead": part.lead,
        "flip": part.flip,
        "paper": part.paper,
        "inks": [list(pair) for pair in part.ink_colours],
        "masters": [list(run) for run in part.masters],
    }


def panel_data(panel: PanelRecord) -> dict[str, Any]:
    """Return a panel as plain data."""
    return {
        "page": panel.page,
        "piece": panel.piece,
        "signature": panel.signature,
        "copy": panel.copy,
        "trim": _box(panel.trim),
        "clip": _box(panel.clip),
        "turn": panel.rotation,
        "creep": _mm(panel.creep),
        "sketch": [panel.sketch.columns, panel.sketch.rows] if panel.sketch else None,
        "art": panel.art,
    }


def _mm(value: float) -> float:
    return round(value, 3) + 0.0


def _box(box: Box) -> list[float]:
    return [_mm(box.x0), _mm(box.y0), _mm(box.x1), _mm(box.y1)]


def _runs(numbers: tuple[int, ...]) -> list[list[int]]:
    """Return numbers as runs [first, last] that go up by one, in their order."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return runs


# --- reading --------------------------------------------------------------------------------------------------------


def read_record(text: str, sketches: bytes) -> MasterRecord:
    """Return the record that a text and the tones of its sketches hold.

    Raises:
        RecordError: it is no record, of a later kind, or not whole.
    """
    if len(text) > MOST_TEXT:
        raise RecordError("its entry is larger than any this program writes")
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise RecordError("its entry cannot be read") from error
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise RecordError("its entry is not one of this program")
    if data.get("version") != VERSION:
        raise RecordError(f"its entry is of version {data.get('version')!r}; this program reads version {VERSION}")
    try:
        return _record(data, sketches)
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
        raise RecordError(f"its entry is not whole ({error})") from error


def _record(data: Mapping[str, Any], sketches: bytes) -> MasterRecord:
    part = _part(data["part"])
    side = _one_of(data["side"], SIDES)
    return MasterRecord(
        title=str(data["title"]),
        set=str(data["set"]),
        pages=_whole(data["pages"]),
        parts=_whole(data["parts"]),
        name=MasterName(sheet=_whole(data["sheet"]), side=side, ink=str(data["ink"])),
        drum=_whole(data["drum"]),
        pass_number=_whole(data["pass"]),
        drawing=str(data["drawing"]),
        part=part,
        panels=_panels(data["panels"], sketches),
    )


def _part(data: Mapping[str, Any]) -> PartRecord:
    columns, rows = map(_whole, data["grid"])
    xs, ys = data["cuts"]
    width, height = data["size"]
    return PartRecord(
        number=_whole(data["number"]),
        name=str(data["name"]),
        kind=str(data["kind"]),
        pages=_from_runs(data["pages"]),
        bare=_from_runs(data["bare"]),
        columns=columns,
        rows=rows,
        creases=tuple(map(str, data["creases"])),
        slits=tuple(_four(slit) for slit in data["slits"]),
        signatures=tuple(map(_whole, data["signatures"])),
        style=str(data["style"]),
        stitch=str(data["stitch"]),
        reading=cast("Reading", _one_of(data["reading"], ("left-to-right", "right-to-left"))),
        sheets=_from_runs(data["sheets"]),
        piece_turn=_turn(data["turn"]),
        cuts_x=tuple(map(_length, xs)),
        cuts_y=tuple(map(_length, ys)),
        size=Size(_length(width), _length(height)),
        lead=_one_of(data["lead"], get_args(Edge)),
        flip=_one_of(data["flip"], get_args(Flip)),
        paper=_colour(data["paper"]),
        ink_colours=tuple((str(name), _colour(colour)) for name, colour in data["inks"]),
        masters=tuple(_run_of_masters(*run) for run in data["masters"]),
        ways=tuple(_one_of(way, WAYS) for way in data["ways"]),
        sides=_one_of(data["sides"], (1, 2)),
        poster=_one_of(data["poster"], (False, True)),
        joined=_whole(data["joined"]),
    )


def _run_of_masters(side: object, ink: object, first: object, last: object) -> tuple[Side, str, int, int]:
    ((low, high),) = [(_whole(first), _whole(last))]
    if high - low > MOST_TEXT:
        raise ValueError("more masters than there can be")
    return _one_of(side, SIDES), str(ink), low, high


def _panels(data: list[Mapping[str, Any]], sketches: bytes) -> tuple[PanelRecord, ...]:
    if len(data) > MOST_PANELS:
        raise ValueError(f"{len(data)} panels on one side")
    panels, at = [], 0
    for entry in data:
        sketch = None
        if entry["sketch"] is not None:
            columns, rows = map(_whole, entry["sketch"])
            tones = sketches[at : at + columns * rows]
            if not columns * rows or len(tones) != columns * rows:
                raise ValueError("a sketch is missing")
            sketch = Sketch(columns, rows, tones)
            at += columns * rows
        panels.append(
            PanelRecord(
                page=None if entry["page"] is None else _whole(entry["page"]),
                piece=_whole(entry["piece"]),
                signature=_whole(entry["signature"]),
                copy=_whole(entry["copy"]),
                trim=Box(*_four(entry["trim"])),
                clip=Box(*_four(entry["clip"])),
                rotation=_turn(entry["turn"]),
                creep=_length(entry["creep"]),
                sketch=sketch,
                art=str(entry["art"]),
            )
        )
    return tuple(panels)


def _whole(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 10_000_000:
        raise ValueError(f"{value!r} is not a count")
    return value


def _length(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e6:
        raise ValueError(f"{value!r} is not a length")
    return float(value)


def _four(values: list[object]) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = map(_length, values)
    return x0, y0, x1, y1


def _turn(value: object) -> Turn:
    return cast("Turn", _one_of(value, (0, 90, 180, 270)))


def _one_of(value: object, known: tuple[_Value, ...]) -> _Value:
    for one in known:
        if type(value) is type(one) and value == one:
            return one
    raise ValueError(f"{value!r} is none of {', '.join(map(str, known))}")


def _colour(value: object) -> str:
    text = str(value)
    if text and not (len(text) == 7 and text[0] == "#" and all(c in "0123456789abcdefABCDEF" for c in text[1:])):
        raise ValueError(f"{text!r} is not a colour")
    return text


def _from_runs(runs: list[list[object]]) -> tuple[int, ...]:
    numbers: list[int] = []
    for first, last in runs:
        low, high = _whole(first), _whole(last)
        if high - low > MOST_TEXT:
            raise ValueError("more numbers than there can be")
        numbers += range(low, high + 1)
    return tuple(numbers)
