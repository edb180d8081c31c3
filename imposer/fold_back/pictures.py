"""Small pictures of what was printed: every side in its inks on its paper, and every page cut out of it, upright.

Rendered masters come in one after the other, sheet by sheet; pictures are made when a side has all its inks, and only
the finished files are kept.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import numpy as np
from PIL import Image

from imposer.findings import Side
from imposer.fold_back.record import MasterRecord, PanelRecord
from imposer.ink.colour import Colour
from imposer.ink.defaults import MOST_INKS
from imposer.ink.overprint import overprint_model
from imposer.ink.raster import predict_srgb8
from imposer.ink.solids import InkAppearance
from imposer.tones.sketch import Tones

#: Pixels of a rendered master that become one: of the first sides, and once there are many.
_FINE, _COARSE, _MANY = 3, 6, 60
_QUALITY = 80

_Place = tuple[int, Side]


@dataclass(slots=True)
class SheetPictures:
    """Collects pictures; call `done` at the end."""

    #: Every side, and every panel on it by its place among the side's panels: JPEG files.
    sides: dict[_Place, bytes] = field(default_factory=dict)
    pages: dict[tuple[int, Side, int], bytes] = field(default_factory=dict)
    _waiting: list[tuple[MasterRecord, Tones]] = field(default_factory=list)

    def add(self, record: MasterRecord, tones: Tones) -> None:
        """Take a rendered master; those of one side come one after the other."""
        if self._waiting and _place(self._waiting[0][0]) != _place(record):
            self.done()
        factor = _FINE if len(self.sides) < _MANY else _COARSE
        self._waiting.append((record, np.asarray(Image.fromarray(tones).reduce(factor))))

    def done(self) -> None:
        """Make the pictures of the side that is waiting."""
        if not self._waiting:
            return
        record = self._waiting[0][0]
        picture = _printed(self._waiting)
        self._waiting.clear()
        sheet, side = _place(record)
        self.sides[sheet, side] = _file(picture)
        for index, panel in enumerate(record.panels):
            if panel.page is not None:
                self.pages[sheet, side, index] = _file(_page(picture, record, panel))


def _place(record: MasterRecord) -> _Place:
    return record.name.sheet, record.name.side


def _printed(masters: list[tuple[MasterRecord, Tones]]) -> Image.Image:
    """Lay the inks of one side over one another."""
    part = masters[0][0].part
    colours = dict(part.ink_colours)
    # What was drawn by another program may be a pixel larger.
    rows, columns = (min(tones.shape[axis] for _, tones in masters) for axis in (0, 1))
    shown = masters[:MOST_INKS]
    looks = [
        InkAppearance(name=record.name.ink, colour=Colour.from_hex(colours.get(record.name.ink) or "#000000"))
        for record, _ in shown
    ]
    model = overprint_model(Colour.from_hex(part.paper or "#ffffff"), looks)
    planes = np.stack([tones[:rows, :columns] for _, tones in shown])
    return Image.fromarray(predict_srgb8(model, planes))


def _page(picture: Image.Image, record: MasterRecord, panel: PanelRecord) -> Image.Image:
    # What creep moves beyond the fold is a neighbour's.
    size, trim = record.part.size, panel.trim.common(panel.clip) or panel.trim
    across, down = picture.width / size.width, picture.height / size.height
    box = (
        round(trim.x0 * across),
        round((size.height - trim.y1) * down),
        max(round(trim.x1 * across), round(trim.x0 * across) + 1),
        max(round((size.height - trim.y0) * down), round((size.height - trim.y1) * down) + 1),
    )
    # PIL turns counter-clockwise; a page that lies turned is turned back.
    return picture.crop(box).rotate(-panel.rotation, expand=True)


def _file(picture: Image.Image) -> bytes:
    packed = io.BytesIO()
    picture.save(packed, "JPEG", quality=_QUALITY)
    return packed.getvalue()
