"""plan.json: everything the program decided, in mm, for other programs. The shape is a contract (version 1)."""

from __future__ import annotations

import json
from typing import Any

from imposer.geometry import Box
from imposer.plan.model import Counts, Pass
from imposer.prepared import Prepared
from imposer.sheet.model import PressSheet, SheetSide

#: What a plan file calls itself; `write.delivery` knows our output folders by it.
FORMAT = "imposer-plan"
VERSION = 1


def plan_data(prepared: Prepared) -> dict[str, Any]:
    """Return the plan as plain data. Boxes lie on the side as printed, seen from its printed face."""
    (part,) = prepared.parts
    job, imposition, plan = part.job, part.imposition, part.plan
    layout = imposition.layout
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": job.title,
        "copies": job.copies,
        "pages": imposition.booklet.pages,
        "blanks": list(imposition.booklet.blanks),
        "sheet": {
            "width": _mm(layout.size.width),
            "height": _mm(layout.size.height),
            "safe": _box(layout.safe),
            "lead": layout.lead,
            "flip": layout.flip,
            "name": layout.stock.name,
            "paper": job.sheet.paper.name,
        },
        "sheets": [_sheet(sheet) for sheet in imposition.sheets],
        "passes": [_pass(p) for p in plan.passes],
        "counts": _counts(plan.counts),
        "cuts": {"x": [_mm(x) for x in layout.cuts_x], "y": [_mm(y) for y in layout.cuts_y]},
        "creep": _mm(imposition.creep),
        "findings": [finding.as_dict() for finding in prepared.findings],
    }


def plan_text(prepared: Prepared) -> str:
    """Return the plan as the text of its file: the same plan gives the same bytes."""
    return json.dumps(plan_data(prepared), ensure_ascii=False, indent=1) + "\n"


def _sheet(sheet: PressSheet) -> dict[str, Any]:
    return {"number": sheet.number, "front": _side(sheet.front), "back": _side(sheet.back)}


def _side(side: SheetSide) -> list[dict[str, Any]]:
    return [
        {
            "page": panel.page,
            "piece": panel.piece or None,
            "signature": panel.signature or None,
            "copy": panel.copy,
            "trim": _box(panel.trim),
            "rotation": panel.rotation,
        }
        for panel in side.panels
    ]


def _pass(p: Pass) -> dict[str, Any]:
    return {
        "number": p.number,
        "side": p.side,
        "drums": {str(drum): ink for drum, ink in p.drums},
        "masters": [{"drum": m.drum, "ink": m.ink, "file": m.file, "sheets": list(m.sheets)} for m in p.masters],
    }


def _counts(counts: Counts) -> dict[str, Any]:
    return {
        "pieces_per_copy": counts.pieces_per_copy,
        "sheets_per_copy": counts.sheets_per_copy,
        "copies_per_set": counts.copies_per_set,
        "good_sheets": counts.good_sheets,
        "overs": counts.overs,
        "scrap": counts.scrap,
        "masters": counts.masters,
        "passes": counts.passes,
        "drum_changes": counts.drum_changes,
        "formula": list(counts.formula),
    }


def _box(box: Box) -> list[float]:
    return [_mm(box.x0), _mm(box.y0), _mm(box.x1), _mm(box.y1)]


def _mm(value: float) -> float:
    """Round to a micrometre, so that float dust does not change the file."""
    return round(value, 3) + 0.0
