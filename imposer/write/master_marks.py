"""The marks of a master file: frames in, form XObjects out, what all pages share drawn once.

A module of its own because drawing goes through another library than the file is made with, and because of speed: of
hundreds of sheets only the labels differ, so all of them are drawn on one page, with one font, and then cut apart.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from io import BytesIO

import pikepdf
from pikepdf import Array, Dictionary, Name
from reportlab.pdfgen.canvas import Canvas

from imposer.geometry import Size
from imposer.plan.model import Master, Pass
from imposer.sheet.model import Frame, Label
from imposer.units import to_points
from imposer.write.drawing import Mark, draw_label, draw_marks, marks_pdf

#: A line of comment between the drawings of one page; no string of a drawing can hold it, since line ends in strings
#: are written as escapes.
_CUT = "% cut here"
_CUTS = re.compile(rb"(?m)^% cut here\s*$")


def mark_forms(pdf: pikepdf.Pdf, sides: Sequence[Frame], run: Pass, master: Master) -> list[dict[str, pikepdf.Object]]:
    """Return for each side the forms to draw after its panels, by name: `/Marks` that all share, `/Label` its own.

    A form that would draw nothing is left out. Text carries its font with it.
    """
    carried = [frame.marks_of(master.ink) for frame in sides]
    shared = frozenset.intersection(*map(frozenset, carried))
    common: list[Mark] = [mark for mark in carried[0] if mark in shared and not isinstance(mark, Label)]
    own: list[list[Mark]] = [[m for m in marks if m not in shared or isinstance(m, Label)] for marks in carried]
    groups = [common, *own]

    def draw(canvas: Canvas) -> None:
        for marks in groups:
            canvas.addLiteral(_CUT)
            _draw(canvas, marks, run, master)

    with pikepdf.Pdf.open(BytesIO(marks_pdf([(sides[0].size, draw)]))) as drawn:
        page = drawn.pages[0]
        resources = pdf.copy_foreign(drawn.make_indirect(page.obj.Resources))
        # What stands before the first cut are the canvas's own settings; every mark sets what it needs.
        pieces = _CUTS.split(page.obj.Contents.read_bytes())[1:]
        forms = [
            _form(pdf, piece, resources, sides[0].size) if any(marks) else None
            for marks, piece in zip(groups, pieces, strict=True)
        ]
    return [
        {name: form for name, form in (("/Marks", forms[0]), ("/Label", label)) if form is not None}
        for label in forms[1:]
    ]


def _draw(canvas: Canvas, marks: Sequence[Mark], run: Pass, master: Master) -> None:
    draw_marks(canvas, marks)
    for mark in marks:
        if isinstance(mark, Label):
            draw_label(canvas, mark, mark.after_title(run.number, master.drum))


def _form(pdf: pikepdf.Pdf, drawing: bytes, resources: pikepdf.Object, size: Size) -> pikepdf.Object:
    form = pdf.make_stream(drawing.strip() + b"\n")
    form.stream_dict = Dictionary(
        Type=Name.XObject,
        Subtype=Name.Form,
        BBox=Array([0, 0, *(Decimal(f"{to_points(side):.6f}") for side in (size.width, size.height))]),
        Resources=resources,
    )
    return form
