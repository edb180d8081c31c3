"""The records of a job's masters: finished values in, one record for every sheet, side and ink out.

Made before any master is written, so that every page can carry the name of the whole set.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import numpy as np
from PIL import Image

from imposer.findings import Side
from imposer.fold.model import Scheme
from imposer.fold_back.record import (
    FOLDED,
    LEAFLET,
    WAYS,
    MasterName,
    MasterRecord,
    PanelRecord,
    PartRecord,
    record_text,
    sketch_bytes,
)
from imposer.pages.model import Measured
from imposer.plan.model import Master, Pass
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Panel
from imposer.tones.sketch import Sketch, Tones, cells_of, sketch_of

#: By sheet number, side and ink.
Records = Mapping[tuple[int, Side, str], MasterRecord]

#: By page and ink: what it prints, and what its art is known by.
_Sketches = Mapping[tuple[int, str], tuple[Sketch, str]]


def compose_records(prepared: Prepared) -> Records:
    """Return the record of every master of a job."""
    records = [record for number, part in enumerate(prepared.parts, 1) for record in _of_part(prepared, part, number)]
    name = _name_of_set(records)
    return {(record.name.sheet, record.name.side, record.name.ink): replace(record, set=name) for record in records}


def preview_tones(measured: Measured) -> Tones:
    """Return the trim of a page's artwork at the previews' resolution, 0 = bare paper, 255 = full tone."""
    with Image.open(io.BytesIO(measured.preview)) as image:
        return 255 - np.asarray(image.convert("L"))


def _name_of_set(records: Iterable[MasterRecord]) -> str:
    digest = hashlib.sha256()
    for record in records:
        digest.update(record_text(record).encode())
        digest.update(sketch_bytes(record))
    return digest.hexdigest()


def _of_part(prepared: Prepared, part: PreparedPart, number: int) -> Iterator[MasterRecord]:
    sketches = {cell: _sketched(part, cell, measured) for cell, measured in part.measured.items() if measured.prints}
    told = _part(part, number, sketches)
    sheets = {sheet.number: sheet for sheet in part.imposition.sheets}
    for run in part.plan.passes:
        for master in run.masters:
            for sheet in master.sheets:
                panels = sheets[sheet].face(run.side).panels
                yield _record(prepared, told, run, master, sheet, _panels(panels, master.ink, sketches))


def _record(
    prepared: Prepared, part: PartRecord, run: Pass, master: Master, sheet: int, panels: tuple[PanelRecord, ...]
) -> MasterRecord:
    return MasterRecord(
        title=prepared.job.title,
        set="",
        pages=prepared.pages,
        parts=len(prepared.parts),
        name=MasterName(sheet=sheet, side=run.side, ink=master.ink),
        drum=master.drum,
        pass_number=run.number,
        part=part,
        panels=panels,
    )


def _sketched(part: PreparedPart, cell: tuple[int, str], measured: Measured) -> tuple[Sketch, str]:
    art = part.table.cells.get(cell)
    trim = (part.job.page if art is None else art.own(part.job.page)).trim
    sketch = Sketch(*cells_of(trim), measured.sketch) if measured.sketch else sketch_of(preview_tones(measured), trim)
    return sketch, measured.digest or hashlib.sha256(measured.preview).hexdigest()


def _part(part: PreparedPart, number: int, sketches: _Sketches) -> PartRecord:
    job, imposition = part.job, part.imposition
    booklet, layout = imposition.booklet, imposition.layout
    printed = {page for page, _ in sketches}
    return PartRecord(
        number=number,
        name=part.name,
        kind=LEAFLET if booklet.scheme.leaflet else FOLDED,
        pages=tuple(part.pages),
        bare=tuple(page for page in part.pages if page not in printed),
        columns=booklet.scheme.columns,
        rows=booklet.scheme.rows,
        creases=tuple(map(str, booklet.scheme.creases)),
        slits=_slits(booklet.scheme),
        signatures=_signatures(part),
        style=job.binding.style,
        stitch="",
        reading=job.binding.reading,
        sheets=tuple(sheet.number for sheet in imposition.sheets),
        piece_turn=layout.piece_turn,
        cuts_x=layout.cuts_x,
        cuts_y=layout.cuts_y,
        size=layout.size,
        lead=layout.lead,
        flip=layout.flip,
        paper=job.sheet.paper.colour,
        ink_colours=tuple((ink.name, ink.ink.colour) for ink in job.inks),
        masters=tuple(_inventory(part)),
        ways=tuple(way for way in WAYS if getattr(booklet.scheme, way)),
        sides=2 if any(leaf.back is not None for piece in booklet.pieces for leaf in piece.leaves) else 1,
        poster=booklet.pieces[0].poster is not None,
        joined=booklet.joined,
    )


def _slits(scheme: Scheme) -> tuple[tuple[float, float, float, float], ...]:
    return ((1.0, 1.0, scheme.columns - 1.0, 1.0),) if scheme.slit else ()


def _signatures(part: PreparedPart) -> tuple[int, ...]:
    """Return how many pieces nest in each signature, in order."""
    sizes: dict[int, int] = {}
    for piece in part.imposition.booklet.pieces:
        sizes[piece.signature] = sizes.get(piece.signature, 0) + 1
    return tuple(sizes[signature] for signature in sorted(sizes))


def _inventory(part: PreparedPart) -> Iterator[tuple[Side, str, int, int]]:
    for run in part.plan.passes:
        for master in run.masters:
            first = last = None
            for sheet in master.sheets:
                if first is None or last is None:
                    first = last = sheet
                elif sheet == last + 1:
                    last = sheet
                else:
                    yield run.side, master.ink, first, last
                    first = last = sheet
            if first is not None and last is not None:
                yield run.side, master.ink, first, last


def _panels(panels: Iterable[Panel], ink: str, sketches: _Sketches) -> tuple[PanelRecord, ...]:
    return tuple(_panel(panel, ink, sketches) for panel in panels)


def _panel(panel: Panel, ink: str, sketches: _Sketches) -> PanelRecord:
    sketch, art = None, ""
    if panel.page is not None and (panel.page, ink) in sketches:
        sketch, art = sketches[panel.page, ink]
        placed = f"{art} {panel.page} {ink} {panel.rotation} {panel.trim} {panel.clip}"
        art = hashlib.sha256(placed.encode()).hexdigest()[:32]
    return PanelRecord(
        page=panel.page,
        piece=panel.piece,
        signature=panel.signature,
        copy=panel.copy,
        trim=panel.trim,
        clip=panel.clip,
        rotation=panel.rotation,
        creep=panel.creep,
        sketch=sketch,
        art=art,
    )
