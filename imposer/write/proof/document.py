"""proof.html put together: style, words, data, layers and script in one file that needs nothing from outside.

Finished values go in, a file comes out. It is written as it is made, a page's layers at a time, so that a long booklet
takes no more memory than a short one. What the first picture needs comes first in the file, and the script right after
it: a phone shows the cover while the rest is still being read.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import Any, TextIO

from imposer.fold.model import Crease, Scheme
from imposer.prepared import Prepared, PreparedPart
from imposer.progress import Progress
from imposer.write.page_colours import prints
from imposer.write.proof.colours import model_data, part_colours, shop_inks, shop_overprints
from imposer.write.proof.first_picture import first_picture
from imposer.write.proof.layers import BASE64, Layer, make_layer, resolution_for, room_for
from imposer.write.proof.openings import openings, page_numbers
from imposer.write.proof.press_sheets import MarkPool, pages_data, passes_data, sheets_data

_PAGE = files("imposer.write.proof") / "page"

#: The page's parts, in the order in which they need one another.
STYLES = ("base.css", "stage.css", "panel.css", "folding.css")
SCRIPTS = (
    "affine.js",
    "overprint.js",
    "job.js",
    "layers.js",
    "shader.js",
    "plain.js",
    "register.js",
    "scenes.js",
    "sheet_planes.js",
    "view.js",
    "stage.js",
    "gestures.js",
    "overlay.js",
    "worst.js",
    "folded_piece.js",
    "folding.js",
    "elements.js",
    "ink_panel.js",
    "register_panel.js",
    "look_panel.js",
    "findings_panel.js",
    "start.js",
)


def write_proof(file: Path, prepared: Prepared, progress: Progress | None = None, code: str = "") -> None:
    """Write the proof page of a job.

    Args:
        file: Where to; an existing file is overwritten.
        prepared: The job, with every decision made.
        progress: Told how many pages are done.
        code: The proof code, if one is to be shown.

    Raises:
        ImposerError: artwork cannot be read after all.
        OSError: the file cannot be written.
    """
    order = page_numbers(prepared)
    first = {page for page in openings(prepared)[0] if page is not None} if order else set()
    skeleton = _text("proof.html").replace("<!-- title -->", escape(prepared.job.title))
    skeleton = skeleton.replace("<!-- code -->", f'<p class="code">proof code {escape(code)}</p>' if code else "")
    head, rest = skeleton.split("<!-- style -->")
    body, foot = rest.split("<!-- contents -->")
    body = body.replace("<!-- first picture -->", first_picture(prepared, sorted(first)))
    with file.open("w", encoding="utf-8", newline="\n") as out:
        out.write(f"{head}<style>\n{''.join(map(_text, STYLES))}</style>{body}")
        out.write(f'<script type="application/json" id="job">{_json(job_data(prepared, code))}</script>\n')
        layers = _layers(prepared, [*sorted(first), *(page for page in order if page not in first)], progress)
        started = False
        for page, text in layers:
            if page not in first and not started:
                _write_script(out)
                started = True
            out.write(text)
        if not started:
            _write_script(out)
        out.write(foot)


def job_data(prepared: Prepared, code: str = "") -> dict[str, Any]:
    """Return all that the page knows of the job but its layers."""
    job, machine = prepared.job, prepared.job.shop.machine
    pool = MarkPool()
    sheets = sheets_data(prepared, pool)
    used = {ink.name: ink.ink for part in prepared.parts for ink in part.job.inks}
    return {
        "title": job.title,
        "code": code,
        "copies": job.copies,
        "model": model_data(),
        "inks": shop_inks(job.shop, tuple(used.values())),
        "overprints": shop_overprints(job.shop),
        "parts": [_part(part) for part in prepared.parts],
        "openings": openings(prepared),
        "extras": [page for part in prepared.parts if part.extra for page in part.pages],
        "backward": any(part.imposition.booklet.right_to_left for part in prepared.parts),
        "pages": pages_data(prepared),
        "sheets": sheets,
        "marks": pool.marks(),
        "passes": passes_data(prepared),
        "limits": {"darkest": job.shop.check.darkest, "solid": job.shop.check.solid_tone},
        "drift": {
            "samePass": machine.drift.same_pass,
            "betweenPasses": machine.drift.between_passes,
            "sides": machine.drift.sides,
            "turn": machine.drift.turn,
        },
        "findings": [finding.as_dict() | {"where": finding.where()} for finding in prepared.findings],
    }


def _part(part: PreparedPart) -> dict[str, Any]:
    job = part.job
    booklet = part.imposition.booklet
    scheme = booklet.scheme
    used = {run_ink for run in part.plan.passes for _, run_ink in run.drums}
    return {
        "trim": [job.page.trim.width, job.page.trim.height],
        "bleed": job.page.bleed,
        "style": job.binding.style,
        "folds": [
            [_moving(scheme, crease), _cells(scheme, crease), "over" if crease.over else "under"]
            for crease in scheme.creases
        ],
        "grid": [scheme.columns, scheme.rows],
        "joined": bool(booklet.joined),
        "slit": scheme.slit,
        "untrimmed": part.imposition.layout.untrimmed,
        "pieceTurn": part.imposition.layout.piece_turn,
        "pieces": len(booklet.pieces),
        "nests": len(booklet.pieces) > booklet.signatures,
        "printed": [ink for ink in job.ink_names if ink in used],
        **part_colours(job.sheet.paper, tuple(ink.ink for ink in job.inks), job.shop.overprints),
    }


def _moving(scheme: Scheme, crease: Crease) -> str:
    """Return which part of the upright piece moves at a fold."""
    if crease.axis == "V":
        return "right" if scheme.mirrored else "left"
    return "top" if scheme.from_top else "bottom"


def _cells(scheme: Scheme, crease: Crease) -> int:
    """Return how many cells wide the part is that moves."""
    return round(crease.part * (scheme.columns if crease.axis == "V" else scheme.rows))


def _layers(prepared: Prepared, order: list[int], progress: Progress | None) -> Iterator[tuple[int, str]]:
    """Give every layer with its page, in order; the resolution steps down if the room would not last."""
    cells = _printing(prepared, order)
    longest = max(
        (max(part.job.page.trim.width, part.job.page.trim.height) + 2 * part.job.page.bleed for part in prepared.parts),
        default=0.0,
    )
    room = float(room_for(len(order)))
    previews = [part.measured[page, ink].kept.length for page, part, inks in cells for ink in inks]
    finest = resolution_for(previews, room, longest)
    written = 0
    for done, (page, part, inks) in enumerate(cells):
        if progress is not None:
            progress("drawing the proof", done, len(cells))
        # A tenth more than is left: foretelling is not exact, and a page less fine than its neighbours shows.
        finest = min(finest, resolution_for(previews[written:], room * 1.1, longest))
        for ink in inks:
            cell = part.table.cells[page, ink]
            layer = make_layer(cell, cell.own(part.job.page), finest)
            room -= len(layer.data) * BASE64
            written += 1
            yield page, _layer(part, page, ink, finest, layer)


def _printing(prepared: Prepared, order: list[int]) -> list[tuple[int, PreparedPart, list[str]]]:
    """Return every page that prints, with its part and its inks."""
    owners = {page: part for part in prepared.parts for page, _ in part.table.cells}
    found = []
    for page in order:
        part = owners.get(page)
        inks = [ink for ink in part.job.ink_names if prints(part, page, ink)] if part else []
        if part and inks:
            found.append((page, part, inks))
    return found


def _layer(part: PreparedPart, page: int, ink: str, ppi: int, layer: Layer) -> str:
    """Return the element of a layer; with it go the page's large solids in that ink, in page space."""
    tones = part.tones[page].inks.get(ink) if page in part.tones else None
    boxes = [tones.on_page(solid.box) for solid in tones.solids] if tones else []
    solids = [[round(v, 2) for v in (box.x0, box.y0, box.x1, box.y1)] for box in boxes]
    told = f' data-solids="{json.dumps(solids, separators=(",", ":"))}"' if solids else ""
    data = b64encode(layer.data).decode("ascii")
    name = f"layer-{page}-{part.job.ink_names.index(ink)}"
    return f'<script type="image/{layer.kind}" id="{name}" data-ppi="{ppi}"{told}>{data}</script>\n'


def _write_script(out: TextIO) -> None:
    out.write('<script>\n"use strict";\n')
    for name in SCRIPTS:
        out.write(_text(name))
    out.write("</script>\n")


def _text(name: str) -> str:
    return (_PAGE / name).read_text(encoding="utf-8")


def _json(data: object) -> str:
    """Write JSON that no word in it can end early: in a script element only `<` could."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
