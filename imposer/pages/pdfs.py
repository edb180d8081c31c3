"""Artwork in PDFs: the reader of this kind (see `readers.Reader`)."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pikepdf

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.geometry import Size, Transform
from imposer.pages.colour_scan import look_at_page
from imposer.pages.filters import normalise_filters
from imposer.pages.limits import LIMITS, Limits
from imposer.pages.model import ArtSource
from imposer.pages.page_form import page_as_form
from imposer.pages.pdf_source import PdfSource, open_source
from imposer.pages.readers import Embedded
from imposer.pages.render import render_tones
from imposer.units import to_points

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Resolution at which a drawing's own pixels are asked for, and at which what stays no drawing is rasterised, ppi.
RASTER_PPI = 600.0
#: A file with a fault on every page is told about this often.
_FAULTS = 20


def survey(file: Path, shown: str, limits: Limits = LIMITS) -> tuple[ArtSource, ...]:
    """Return the pages of a PDF.

    Raises:
        ImposerError: the file or a page of it cannot be used.
    """
    source = open_source(file, shown, limits, surveying=True)
    found: list[ArtSource] = []
    faults: list[Fault] = []
    for index in range(len(source.pages)):
        try:
            found.append(_art_source(source, index))
        except ImposerError as error:
            faults += error.faults
            if len(faults) >= _FAULTS:
                break
    if faults:
        raise ImposerError(faults)
    return tuple(found)


def _art_source(source: PdfSource, index: int) -> ArtSource:
    space = source.space(index)
    look_at_page(source, index)
    findings = []
    if source.repaired:
        findings.append(
            Finding(
                rule="pdf-repaired",
                level="warning",
                message=f"{source.shown} is damaged and was repaired while it was read",
                mend="look at the page in the proof, or export it again",
            )
        )
    return ArtSource(
        file=source.file,
        shown=source.shown,
        kind="pdf",
        index=index,
        of=len(source.pages),
        size=space.size,
        trim=space.trim_in_art,
        findings=tuple(findings),
    )


def tones(source: ArtSource, size: Size, ppi: float, limits: Limits = LIMITS) -> NDArray[np.uint8]:
    """Return a page's tones; see `readers.Reader.tones`.

    Raises:
        ImposerError: the page cannot be rendered within the limits.
    """
    resolution = ppi or RASTER_PPI
    opened = open_source(source.file, source.shown, limits)
    space = opened.space(source.index)
    if look_at_page(opened, source.index).gray and not opened.prepared and space.box == space.visible:
        return render_tones(source.file, source.index, size, resolution, shown=source.shown, limits=limits)
    with tempfile.TemporaryDirectory(prefix="imposer-") as folder:
        alone = Path(folder) / "page.pdf"
        _save_alone(source, size, alone, limits)
        return render_tones(alone, 0, size, resolution, shown=source.shown, limits=limits)


def embed(source: ArtSource, size: Size, target: pikepdf.Pdf, limits: Limits = LIMITS) -> Embedded:
    """Put a page into `target` as a form XObject, in gray; see `readers.Reader.embed`.

    Raises:
        ImposerError: the page cannot be read within the limits.
    """
    opened = open_source(source.file, source.shown, limits)
    space = opened.space(source.index)
    form = page_as_form(opened, source.index, group=look_at_page(opened, source.index).blends)
    to_art = space.to_art
    if not size.close_to(space.size):
        to_art = to_art.then(Transform.scale(size.width / space.size.width, size.height / space.size.height))
    return Embedded(xobject=target.copy_foreign(opened.pdf.make_indirect(form)), to_art=to_art)


def _save_alone(source: ArtSource, size: Size, file: Path, limits: Limits) -> None:
    """Write one page, embedded, as a PDF of its own whose page is its art space."""
    pdf = pikepdf.Pdf.new()
    pdf.add_blank_page(page_size=(to_points(size.width), to_points(size.height)))
    page = pdf.pages[0]
    embedded = embed(source, size, pdf, limits)
    matrix = embedded.to_art.then(Transform.scale(to_points(1), to_points(1)))
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=embedded.xobject))
    page.Contents = pdf.make_stream(" ".join(f"{number:.6f}" for number in matrix).encode() + b" cm /P Do")
    normalise_filters(pdf)
    pdf.save(file, compress_streams=False)
