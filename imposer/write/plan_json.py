"""plan.json: everything the program decided, in mm, for other programs. The shape is a contract (version 1)."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from imposer.geometry import Box
from imposer.plan.counts import totals
from imposer.plan.model import Counts, Pass
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.layout import TRIM_OPEN
from imposer.sheet.model import PressSheet, SheetSide
from imposer.sheet.page_edges import page_leaves
from imposer.sheet.stitches import stitching_of

#: What a plan file calls itself; `write.delivery` knows our output folders by it.
FORMAT = "imposer-plan"
VERSION = 1


def plan_data(prepared: Prepared) -> dict[str, Any]:
    """Return the plan as plain data. Boxes lie on the side as printed, seen from its printed face.

    Of a job in several parts, what belongs to one part alone stands in `parts`, and is null for the whole.
    """
    parts = prepared.parts
    one = _alone(parts[0]) if len(parts) == 1 else dict.fromkeys(("sheet", "cuts", "creep", "stitching"))
    blanks = [page for part in parts if not part.extra for page in part.imposition.booklet.blanks]
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": prepared.job.title,
        "copies": prepared.job.copies,
        "pages": prepared.pages,
        "blanks": blanks,
        "sheet": one["sheet"],
        "sheets": [_sheet(sheet) for part in parts for sheet in part.imposition.sheets],
        "passes": [_pass(p) for part in parts for p in part.plan.passes],
        "counts": _counts(parts[0].plan.counts) if len(parts) == 1 else _totals(prepared),
        **{key: one[key] for key in ("form", "trimmed_open") if one.get(key)},
        "cuts": one["cuts"],
        "creep": one["creep"],
        "stitching": one["stitching"],
        **({"parts": [_part(part) for part in parts]} if len(parts) > 1 else {}),
        "findings": [finding.as_dict() for finding in prepared.findings],
    }


def _part(part: PreparedPart) -> dict[str, Any]:
    return {
        "name": part.name,
        "pages": list(part.pages),
        "blanks": list(part.imposition.booklet.blanks),
        "extra": part.extra,
        "copies": part.job.copies,
        "sheets": [sheet.number for sheet in part.imposition.sheets],
        "passes": [p.number for p in part.plan.passes],
        **_alone(part),
        "counts": _counts(part.plan.counts),
    }


def _alone(part: PreparedPart) -> dict[str, Any]:
    """Return what is one part's own: its sheet, where it is cut, its creep."""
    layout = part.imposition.layout
    return {
        "sheet": {
            "width": _mm(layout.size.width),
            "height": _mm(layout.size.height),
            "safe": _box(layout.safe),
            "lead": layout.lead,
            "flip": layout.flip,
            "name": layout.stock.name,
            "paper": part.job.sheet.paper.name,
        },
        **({"form": form} if (form := _form(part)) else {}),
        **({"trimmed_open": opened} if (opened := _trimmed_open(part)) else {}),
        "cuts": {"x": [_mm(x) for x in layout.cuts_x], "y": [_mm(y) for y in layout.cuts_y]},
        "creep": _mm(part.imposition.creep),
        **({"spine": _mm(float(part.job.binding.spine))} if part.job.binding.spine else {}),
        "stitching": _stitching(part),
    }


def plan_text(prepared: Prepared) -> str:
    """Return the plan as the text of its file: the same plan gives the same bytes."""
    return json.dumps(plan_data(prepared), ensure_ascii=False, indent=1) + "\n"


def _stitching(part: PreparedPart) -> dict[str, Any] | None:
    """Return where the booklet is held: from the head and from the spine, mm; None if it is not stitched."""
    held = stitching_of(part.job.binding, part.job.page.trim)
    if held is None:
        return None
    return {
        "kind": held.kind,
        "from_head": [_mm(place) for place in held.places],
        "from_spine": _mm(held.from_spine),
        "margin": _mm(held.margin),
        "pieces_in_signatures": _sizes(part),
    }


def _sizes(part: PreparedPart) -> list[int]:
    counted: dict[int, int] = {}
    for piece in part.imposition.booklet.pieces:
        counted[piece.signature] = counted.get(piece.signature, 0) + 1
    return [counted[signature] for signature in sorted(counted)]


def _form(part: PreparedPart) -> dict[str, Any]:
    """Return what is made of the pieces, where it is no booklet: slits and flaps lie as seen on the front."""
    imposition = part.imposition
    booklet = imposition.booklet
    if not booklet.scheme.leaflet:
        return {}
    front = imposition.sheets[0].front
    return {
        "style": part.job.binding.style,
        "panels": booklet.scheme.columns * booklet.scheme.rows,
        "sides": 2 if any(leaf.back is not None for piece in booklet.pieces for leaf in piece.leaves) else 1,
        "poster": booklet.pieces[0].poster,
        "creases": [str(crease) for crease in booklet.scheme.creases],
        "mirrored": booklet.scheme.mirrored,
        "from_top": booklet.scheme.from_top,
        "slits": [[_mm(v) for v in (s.x0, s.y0, s.x1, s.y1)] for s in front.slits],
        "flaps": [_box(flap) for flap in front.flaps],
        "joined_from": len(booklet.pieces) if booklet.joined else 1,
        "untrimmed": imposition.layout.untrimmed,
        **({"scores": [_mm(x) for x in scores]} if (scores := part.job.binding.form.scores) else {}),
    }


def _trimmed_open(part: PreparedPart) -> dict[str, Any]:
    """Return the edges of pages that folds close and that are trimmed open, by page; nothing if there are none."""
    leaves = page_leaves(part.imposition.booklet)
    closed = {str(page): list(leaf.closed) for page, leaf in sorted(leaves.items()) if leaf.closed}
    return {"strip": _mm(max(part.job.page.bleed, TRIM_OPEN)), "edges": closed} if closed else {}


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


def _totals(prepared: Prepared) -> dict[str, Any]:
    total = totals([part.plan for part in prepared.parts])
    return {**asdict(total), "formula": [f"{p.name}: {line}" for p in prepared.parts for line in p.plan.counts.formula]}


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
