"""Artwork in PDFs: the reader of this kind (see `readers.Reader`)."""

from __future__ import annotations

import threading
from collections.abc import Collection, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pikepdf

from imposer.errors import Fault, ImposerError
from imposer.findings import Finding
from imposer.geometry import Size, Transform
from imposer.limits import LIMITS, Limits, millions
from imposer.pages.colour_scan import look_at_page
from imposer.pages.drawn import read_drawn
from imposer.pages.drawn_facts import Drawn
from imposer.pages.filters import normalise_filters
from imposer.pages.gray import NO_PLATES, GrayPage, gray_page
from imposer.pages.gray_notes import GrayError
from imposer.pages.model import ArtSource
from imposer.pages.page_boxes import PageSpace
from imposer.pages.page_form import page_as_form
from imposer.pages.pdf_extras import PageExtras
from imposer.pages.pdf_source import PdfSource, open_source, reason
from imposer.pages.plates import BLACK, TRACE, coloured_mend
from imposer.pages.raster_images import RASTER_PPI, rendered_page
from imposer.pages.readers import Embedded
from imposer.pages.render import render_tones
from imposer.pages.scratch import scratch_file
from imposer.pages.sharing import copy_sharing
from imposer.pages.steady_save import save_steadily
from imposer.units import to_points
from imposer.words import number_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_ATTRIBUTE = "_imposer_sources"
#: The PDF library takes one thread at a time; the renderer, which takes the time, works outside of this.
_ONE_AT_A_TIME = threading.RLock()
#: Whether a plate carries ink at all is looked at this finely, ppi.
_PROOF_PPI = 72
#: A file with a fault on every page is told about this often.
_FAULTS = 20


def survey(file: Path, shown: str, limits: Limits = LIMITS, plate: str | None = None) -> tuple[ArtSource, ...]:
    """Return the pages of a PDF.

    Raises:
        ImposerError: the file or a page of it cannot be used.
    """
    found: list[ArtSource] = []
    faults: list[Fault] = []
    with _ONE_AT_A_TIME:
        source = open_source(file, shown, limits, plate=plate, surveying=True)
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
    return ArtSource(
        file=source.file,
        shown=source.shown,
        kind="pdf",
        index=index,
        of=len(source.pages),
        size=space.size,
        trim=space.trim_in_art,
        plate=source.plate,
        findings=tuple(_findings(source, index)),
        limits=source.limits,
    )


def _findings(source: PdfSource, index: int) -> Iterator[Finding]:
    if source.repaired:
        yield Finding(
            rule="pdf-repaired",
            level="warning",
            message=f"{source.shown} is damaged; it was repaired as well as can be",
            mend="look at the page in the proof, or export it again",
        )
    gray = look_at_page(source, index).gray
    if source.damaged(index):
        yield Finding(
            rule="pdf-repaired",
            level="warning",
            message=f"{_place(source, index)} is damaged; it is drawn as far as it could be read",
            mend="look at the page in the proof, or export it again",
        )
    yield from _extras(source, index)
    if gray:
        return
    page = _in_gray(source, index)
    if source.plate is not None:
        _check_plate(source, index, page)
        return
    if isinstance(page, str):
        yield _rasterised(f"{_place(source, index)} ({page})")
        return
    if page.coloured:
        yield Finding(
            rule="coloured-layer",
            level="warning",
            message=f"{_place(source, index)} is coloured; only its lightness is used, so its colours print weak",
            mend=coloured_mend(page.plates),
        )
    for what in page.rasterised:
        yield _rasterised(f"{what} of {_place(source, index)}")


def _check_plate(source: PdfSource, index: int, page: GrayPage | str) -> None:
    """Make sure that a page is taken apart into plates.

    Raises:
        ImposerError: it cannot be.
    """
    if isinstance(page, str):
        problem, mend = f"cannot be taken apart into plates: {page}", "export a gray file for each ink"
        raise source.fault(index, problem, mend)
    if page.rasterised:
        raise source.fault(index, *NO_PLATES)
    if page.coloured:
        problem = "has red, green and blue in it, which are on no plate"
        mend = "export it in CMYK or spot colours, or leave plate out and take its lightness"
        raise source.fault(index, problem, mend)


def _extras(source: PdfSource, index: int) -> Iterator[Finding]:
    """Tell what is in a file besides its drawings; what is the whole file's, once."""
    extras, place = source.extras, _place(source, index)
    here = extras.pages[index] if extras.pages else None
    if here is not None:
        yield from _notes_and_fields(here, place)
    if look_at_page(source, index).blends:
        yield _note(
            "pdf-transparency",
            f"{place} uses transparency; it is kept, and mixed in gray",
            "look at the page in the proof, or flatten it when you export",
        )
    if index == 0 and extras.layers:
        hidden = "those that are off are left out" if source.hidden else "all of them print"
        yield _note(
            "pdf-layers",
            f"{source.shown} has {number_of(extras.layers, 'layer')}; {hidden}",
            "export it without layers if that is not what you mean",
        )
    if index == 0 and (extras.scripts or extras.attachments):
        what = " and ".join(["scripts"] * extras.scripts + ["attached files"] * extras.attachments)
        yield _note(
            "pdf-scripts",
            f"{source.shown} holds {what}; they are ignored",
            "export it without them if they should not be there",
        )


def _notes_and_fields(here: PageExtras, place: str) -> Iterator[Finding]:
    """Tell of a page's notes and form fields: those that print as they look, and those that cannot."""
    drawn = [(here.notes - here.bare_notes, "note"), (here.fields - here.bare_fields, "form field")]
    parts = [number_of(count, one) for count, one in drawn if count]
    if parts:
        yield _note(
            "pdf-notes",
            f"{place} has {' and '.join(parts)}; they print as they would from a viewer",
            "look at the page in the proof; take out what is not meant to print",
        )
    for count, one, what in (
        (here.bare_notes, "note", "none of which prints"),
        (here.bare_fields, "form field", "of which only plain text prints, without frames, ticks or foreign letters"),
    ):
        if count:
            yield Finding(
                rule="pdf-notes",
                level="warning",
                message=f"{place} has {number_of(count, one)} that a viewer makes a picture for, {what}",
                mend="print the page to a new PDF from a viewer, or draw on the page itself",
            )


def _note(rule: str, message: str, mend: str) -> Finding:
    return Finding(rule=rule, level="note", message=message, mend=mend)


def _place(source: PdfSource, index: int) -> str:
    return f"{source.shown}, page {index + 1}" if len(source.pages) > 1 else source.shown


def _rasterised(what: str) -> Finding:
    return Finding(
        rule="rasterised",
        level="warning",
        message=f"{what} cannot be kept as it is and is turned to pixels",
        mend="look at it in the proof, or export it in gray",
        measured=f"{RASTER_PPI:g} ppi",
    )


def _in_gray(source: PdfSource, index: int) -> GrayPage | str:
    """Return a page in gray, or the reason why it must be rasterised."""
    if look_at_page(source, index).too_long:
        return f"it draws more than {millions(source.limits.drawing_tokens)} things"
    try:
        return gray_page(source, index)
    except GrayError as error:
        return str(error)


def plates(source: ArtSource) -> tuple[str, ...]:
    """Return the plates of a page; see `readers.Reader.plates`.

    Raises:
        ImposerError: the page cannot be taken apart into plates.
    """
    with _ONE_AT_A_TIME:
        opened = _open(replace(source, plate=source.plate or BLACK))
        if look_at_page(opened, source.index).gray:
            return (BLACK,)
        page = _in_gray(opened, source.index)
        _check_plate(opened, source.index, page)
        return () if isinstance(page, str) else page.plates


def printing_plates(source: ArtSource, size: Size, among: Collection[str]) -> tuple[str, ...]:
    """Return those of some plates that carry ink; see `readers.Reader.printing_plates`."""
    found = (replace(source, plate=plate) for plate in among)
    return tuple(one.plate for one in found if one.plate and tones(one, size, _PROOF_PPI).max(initial=0) > TRACE)


def _open(source: ArtSource) -> PdfSource:
    return open_source(source.file, source.shown, source.limits, plate=source.plate)


def tones(source: ArtSource, size: Size, ppi: float) -> NDArray[np.uint8]:
    """Return a page's tones; see `readers.Reader.tones`.

    Raises:
        ImposerError: the page cannot be rendered within the limits.
    """
    resolution = ppi or RASTER_PPI
    with _ONE_AT_A_TIME:
        opened = _open(source)
        space = opened.space(source.index)
        as_it_is = look_at_page(opened, source.index).gray and not opened.prepared
        as_it_is = as_it_is and space.plain and space.box == space.visible and not opened.damaged(source.index)
    if as_it_is:
        return render_tones(source.file, source.index, size, resolution, shown=source.shown, limits=source.limits)
    with scratch_file(".pdf", source.shown) as alone:
        with _ONE_AT_A_TIME:
            _save_alone(source, size, alone)
        place = opened.place(source.index)
        return render_tones(alone, 0, size, resolution, shown=source.shown, place=place, limits=source.limits)


def drawn(source: ArtSource, to_page: Transform) -> Drawn:
    """Return what a page draws, from its operators, with boxes in page space; `to_page` leads there from art space.

    Raises:
        ImposerError: the file cannot be read.
    """
    with _ONE_AT_A_TIME:
        opened = _open(source)
        look = look_at_page(opened, source.index)
        if look.too_long:
            return Drawn(whole=False)
        page = None if source.plate is None or look.gray else gray_page(opened, source.index)
        return read_drawn(opened, source.index, to_page, page)


def embed(source: ArtSource, size: Size, target: pikepdf.Pdf) -> Embedded:
    """Put a page into `target` as a form XObject, in gray; see `readers.Reader.embed`.

    Raises:
        ImposerError: the page cannot be read within the limits.
    """
    with _ONE_AT_A_TIME:
        opened = _open(source)
        space = opened.space(source.index)
        try:
            thing, to_art = _embedded(opened, source.index)
            copied = copy_sharing(target, opened.pdf, thing)
        except (pikepdf.PdfError, RuntimeError) as error:
            raise opened.fault(source.index, f"cannot be copied ({reason(error)})", "export it again") from error
        _keep_open(target, opened)
    if not size.close_to(space.size):
        to_art = to_art.then(Transform.scale(size.width / space.size.width, size.height / space.size.height))
    return Embedded(xobject=copied, to_art=to_art, minor_version=opened.minor_version)


def _embedded(source: PdfSource, index: int) -> tuple[pikepdf.Object, Transform]:
    """Return a page as an object of its own PDF, in gray, and the way from the object's space to art space."""
    space, look = source.space(index), look_at_page(source, index)
    if look.gray:
        form = page_as_form(source, index, group=look.blends)
        return source.pdf.make_indirect(form), space.to_art
    page = _in_gray(source, index)
    if source.plate is not None:
        _check_plate(source, index, page)
    if isinstance(page, str):
        rastered = rendered_page(source, index, _nearly_gray(source, index))
        return rastered, _upright(space)
    return _gray_form(source, index, page), space.to_art


def _gray_form(source: PdfSource, index: int, page: GrayPage) -> pikepdf.Object:
    page.turn_images()
    blends = look_at_page(source, index).blends
    form = page_as_form(source, index, drawing=page.drawing, resources=page.resources, group=blends)
    return source.pdf.make_indirect(form)


def _nearly_gray(source: PdfSource, index: int) -> pikepdf.Object | None:
    """Return a page that must be rasterised with everything in gray that can be; None if nothing can."""
    if look_at_page(source, index).too_long:
        return None
    try:
        return _gray_form(source, index, gray_page(source, index, lenient=True))
    except GrayError:
        return None


def _upright(space: PageSpace) -> Transform:
    """Return the way from the unit square of an image of the page as shown to art space."""
    return Transform.scale(space.size.width, space.size.height)


def _keep_open(target: pikepdf.Pdf, source: PdfSource) -> None:
    """Have `target` hold the source: some of what was copied is read only when it is saved."""
    held: list[PdfSource] = getattr(target, _ATTRIBUTE, [])
    if not any(one is source for one in held):
        setattr(target, _ATTRIBUTE, [*held, source])


def _save_alone(source: ArtSource, size: Size, file: Path) -> None:
    """Write one page, embedded, as a PDF of its own whose page is its art space."""
    pdf = pikepdf.Pdf.new()
    pdf.add_blank_page(page_size=(to_points(size.width), to_points(size.height)))
    page = pdf.pages[0]
    embedded = embed(source, size, pdf)
    matrix = embedded.to_art.then(Transform.scale(to_points(1), to_points(1)))
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=embedded.xobject))
    page.Contents = pdf.make_stream(" ".join(f"{number:.6f}" for number in matrix).encode() + b" cm /P Do")
    normalise_filters(pdf)
    save_steadily(pdf, file, compress_streams=False)
