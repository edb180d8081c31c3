"""Jobs of any fold, from one file of small numbered pages to masters, without a job file: the steps of a build."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from reportlab.pdfgen.canvas import Canvas

from imposer.fold_back.compose import _part, compose_records
from imposer.fold_back.folded import fold_back
from imposer.fold_back.paper import Face
from imposer.geometry import Transform
from imposer.pages.measure import measure_page
from imposer.pages.model import PageArt, PageTable
from imposer.pages.readers import reader_for
from imposer.plan.passes import inked_sides, plan_passes
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.units import to_points
from imposer.write.masters import write_masters
from tests.jobs import a_job

TRIM = (11, 14)


def numbered_pages(file, pages, trim=TRIM):
    """Pages with a big number and a corner that shows every turn."""
    wide, high = map(to_points, trim)
    canvas = Canvas(str(file), pagesize=(wide, high), invariant=1)
    for page in range(1, pages + 1):
        canvas.setFont("Helvetica-Bold", 20)
        canvas.drawCentredString(wide / 2, high / 2 - 8, str(page))
        canvas.setFillGray(0.4)
        canvas.rect(2, high - 8, 9, 6, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return file


@cache
def _measured(file, page, job_page):
    source = reader_for(file, file.name).survey(file, file.name)[page - 1]
    art = PageArt(page=page, ink="k", source=source, size=source.size, to_page=Transform.shift(0, 0))
    return art, measure_page(art, job_page)


def a_bound_job(scheme, **job):
    asked = a_job(**({"trim": TRIM, "style": "gathered", "inks": ("k",), "marks": (), "creep": "none"} | job))
    return replace(asked, binding=replace(asked.binding, scheme=scheme))


def prepared(job, pages, file=None):
    """The job up to what masters are made from; without a file, with no art at all."""
    cells = {page: _measured(file, page, job.page) for page in range(1, pages + 1)} if file else {}
    imposition = impose(job, pages)
    plan = plan_passes(job, imposition, inked_sides(imposition, {(page, "k"): True for page in cells}))
    part = PreparedPart(
        job=job,
        pages=tuple(range(1, imposition.booklet.pages + 1)),
        table=PageTable(inks=("k",), pages=pages, cells={(page, "k"): art for page, (art, _) in cells.items()}),
        measured={(page, "k"): found for page, (_, found) in cells.items()},
        imposition=imposition,
        frames=draw_frames(job, imposition).sides,
        plan=plan,
        findings=(),
    )
    return Prepared(job=job, parts=(part,), findings=())


def masters_folded_back(folder, made, change=dict):
    """Write the masters of a job and fold them back; `change` may have other frames drawn than were planned."""
    (part,) = made.parts
    folder.mkdir()
    frames = change(part.frames)
    write_masters(folder, part.plan, frames, part.table, part.imposition, made.job.title, records=compose_records(made))
    return fold_back(folder)


def record_of(made):
    """How the one part of a job is folded, as a master keeps it."""
    return _part(made.parts[0], 1, {})


def faces_of(imposition):
    """Every panel as if its page had been found on it."""
    return {
        (sheet.number, side): tuple(
            Face(sheet=sheet.number, side=side, panel=_kept(panel), page=panel.page)
            for panel in sheet.face(side).panels
        )
        for sheet in imposition.sheets
        for side in ("front", "back")
    }


def _kept(panel):
    from imposer.fold_back.compose import _panel

    return _panel(panel, "k", {})
