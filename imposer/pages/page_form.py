"""A page of an opened PDF in; the same page as a form XObject out.

A form isolates what a page does to the graphic state and keeps its patterns in place, which joining content streams
does not. The form's box is the art's own, never the default (which is the TrimBox, and cuts the bleed off), and its
matrix is the identity: turn, unit and place are the caller's, from `PageSpace.to_art`.
"""

from __future__ import annotations

import pikepdf

from imposer.pages.colour_scan import contents_of, whole_drawing
from imposer.pages.page_boxes import PageSpace
from imposer.pages.pdf_source import PdfSource


def page_as_form(
    source: PdfSource, index: int, *, drawing: bytes | None = None, resources: object = None, group: bool = True
) -> pikepdf.Stream:
    """Return a page as a form XObject of its own PDF, clipped to its art.

    Args:
        source: the opened file.
        index: which page, from 0.
        drawing: its content, if that was rewritten; else the page's own, compressed as it is where it is one stream.
        resources: its resources, if they were rewritten.
        group: whether the page's transparency group is kept; one that blends nothing only costs the printer memory.
    """
    page = source.pages[index]
    if resources is None:
        resources = page.get("/Resources")
    form = _drawing(source, index) if drawing is None else pikepdf.Stream(source.pdf, drawing)
    form.Type = pikepdf.Name.XObject
    form.Subtype = pikepdf.Name.Form
    form.BBox = bounding(source.space(index))
    form.Resources = resources if isinstance(resources, pikepdf.Dictionary) else pikepdf.Dictionary()
    if group and isinstance(page.get("/Group"), pikepdf.Dictionary):
        form.Group = gray_group(page.Group)
    return form


def gray_group(group: pikepdf.Object) -> pikepdf.Dictionary:
    """Return a transparency group that blends in gray."""
    kept = {key: group[key] for key in ("/I", "/K") if key in group}
    return pikepdf.Dictionary(
        kept | {"/Type": pikepdf.Name.Group, "/S": pikepdf.Name.Transparency, "/CS": pikepdf.Name.DeviceGray}
    )


def bounding(space: PageSpace) -> pikepdf.Array:
    """Return the art's box in the page's user space, as numbers of a PDF."""
    box = space.box
    return pikepdf.Array([round(number, 6) for number in (box.x0, box.y0, box.x1, box.y1)])


def _drawing(source: PdfSource, index: int) -> pikepdf.Stream:
    parts = contents_of(source.pages[index])
    if len(parts) != 1:
        return pikepdf.Stream(source.pdf, whole_drawing(source, index))
    form = pikepdf.Stream(source.pdf, parts[0].read_raw_bytes())
    for key in ("/Filter", "/DecodeParms"):
        if key in parts[0]:
            form[key] = parts[0][key]
    return form
