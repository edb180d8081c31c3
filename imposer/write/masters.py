"""The masters of one drum in one pass: frames and page art in, a PDF with a page for every press sheet out.

Nothing is decided here. A frame says where each page lies, the table says what it carries in this ink, and each
becomes one object of the PDF, drawn through one matrix. It is a module of its own because all that is particular to a
master file is here: gray alone, page boxes, labels, the order of running, and bytes that depend on the input only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pikepdf
from pikepdf import Array, Dictionary, Name

from imposer.errors import Fault, ImposerError
from imposer.findings import Side
from imposer.fold_back.entry import put_entry
from imposer.fold_back.record import MasterRecord
from imposer.geometry import Box, Transform
from imposer.pages.borrowed_streams import let_borrow, save_borrowing
from imposer.pages.file_streams import keep_streams_in
from imposer.pages.filters import normalise_filters
from imposer.pages.merge import merge_identical
from imposer.pages.model import PageArt, PageTable
from imposer.pages.readers import Embedded, reader_of
from imposer.pages.sharing import let_share, twins_are_left
from imposer.plan.model import Master, Pass, PassPlan
from imposer.progress import Progress
from imposer.sheet.model import Art, Frame, Imposition, Layout
from imposer.units import POINTS_PER_MM, to_points
from imposer.write.master_marks import mark_forms

#: How the object of each page lies in its art space: (page, ink) → map from the object's own space to art space, mm.
Spaces = Mapping[tuple[int, str], Transform]

#: What every page of the masters keeps of itself, by sheet, side and ink.
Records = Mapping[tuple[int, Side, str], MasterRecord]


def write_masters(
    folder: Path,
    plan: PassPlan,
    frames: Mapping[tuple[int, Side], Frame],
    table: PageTable,
    imposition: Imposition,
    title: str,
    progress: Progress | None = None,
    records: Records | None = None,
) -> Spaces:
    """Write every file of a plan; for arguments and faults see `write_master`."""
    spaces: dict[tuple[int, str], Transform] = {}
    files = [(run, master) for run in plan.passes for master in run.masters]
    for number, (run, master) in enumerate(files):
        if progress is not None:
            progress("writing masters", number, len(files))
        spaces |= write_master(folder, run, master, frames, table, imposition, title, records)
    return spaces


def write_master(
    folder: Path,
    run: Pass,
    master: Master,
    frames: Mapping[tuple[int, Side], Frame],
    table: PageTable,
    imposition: Imposition,
    title: str,
    records: Records | None = None,
) -> Spaces:
    """Write the file of a drum in a pass, `master.file` inside `folder`: one page a press sheet, in running order.

    Args:
        folder: the output folder; folders inside it are made as needed.
        run: the pass.
        master: one of its masters.
        frames: the frame of every side, by sheet number and side.
        table: the art of every page in every ink.
        imposition: how pieces lie on the sheet.
        title: the booklet's title, for the document's own.
        records: what each page keeps of itself, for folding back; None keeps nothing.

    Returns:
        How the object of each page in this file lies in its art space; `read_back` wants to know.

    Raises:
        ImposerError: artwork cannot be read after all, or the file cannot be written.
    """
    sides = [frames[sheet, run.side] for sheet in master.sheets]
    arts = arts_of(sides, table, master.ink)
    with TemporaryDirectory(dir=folder) as work, pikepdf.Pdf.new() as pdf:
        # Large data wait on the disk that is written to anyway, and not in memory or where it may be scarce.
        keep_streams_in(pdf, Path(work))
        let_borrow(pdf)
        if len({art.source.file for art in arts.values() if art.source.kind == "pdf"}) > 1:
            # A file for each page brings the same fonts along in every one of them.
            let_share(pdf)
        embedded = _embed(pdf, arts.values())
        boxes = _boxes(imposition.layout)
        for frame, marks in zip(sides, mark_forms(pdf, sides, run, master), strict=True):
            objects = {f"/P{art.page}": embedded[art.page].xobject for art in frame.art if art.page in arts} | marks
            content = [*_panels(frame, arts, embedded), *(f"{name} Do\n" for name in marks)]
            page = _add_page(pdf, boxes, objects, "".join(content).encode("ascii"))
            if records is not None:
                put_entry(pdf, page, records[frame.sheet, frame.side, master.ink], "".join(content).encode("ascii"))
        _name(pdf, sides, f"{title}: pass {run.number}, {run.side}, drum {master.drum}, {master.ink}")
        if twins_are_left(pdf):
            merge_identical(pdf)
        normalise_filters(pdf)
        _save(pdf, folder, master.file, _version(embedded.values()))
        return {(page, master.ink): placed.to_art for page, placed in embedded.items()}


def arts_of(sides: Iterable[Frame], table: PageTable, ink: str) -> dict[int, PageArt]:
    """Return the art that these sides carry in an ink, by page; a page that is blank in it is left out."""
    pages = dict.fromkeys(art.page for frame in sides for art in frame.art)
    return {page: art for page in pages if (art := table.art(page, ink)) is not None}


def art_to_sheet(art: Art, to_page: Transform) -> Transform:
    """Return the map from a page's art space to the sheet, both mm: onto its trim, turned, moved to its place."""
    page = art.trim.size if art.rotation in (0, 180) else art.trim.size.turned
    turn = Transform.quarter_turn(art.rotation, page)
    return to_page.then(turn).then(Transform.shift(art.trim.x0, art.trim.y0))


def _embed(pdf: pikepdf.Pdf, arts: Iterable[PageArt]) -> dict[int, Embedded]:
    """Put every page's art into the file, once."""
    return {art.page: reader_of(art.source).embed(art.source, art.size, pdf) for art in arts}


def _panels(frame: Frame, arts: Mapping[int, PageArt], embedded: Mapping[int, Embedded]) -> Iterator[str]:
    """Draw each panel: clipped on the sheet first, so that no matrix of art moves the clip."""
    points = Transform.scale(POINTS_PER_MM, POINTS_PER_MM)
    for art in frame.art:
        if art.page not in arts:
            continue
        matrix = embedded[art.page].to_art.then(art_to_sheet(art, arts[art.page].to_page)).then(points)
        clip = (art.clip.x0, art.clip.y0, art.clip.width, art.clip.height)
        yield f"q\n{_numbers(map(to_points, clip))} re W n\n{_numbers(matrix)} cm\n/P{art.page} Do\nQ\n"


def _numbers(values: Iterable[float]) -> str:
    """Write numbers as PDF wants them: six decimals at most (0.4 nm), no exponent, no minus before zero."""
    return " ".join(f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".") for value in values)


# --- the file -------------------------------------------------------------------------------------------------------


def _add_page(
    pdf: pikepdf.Pdf, boxes: Mapping[str, Array], objects: Mapping[str, pikepdf.Object], content: bytes
) -> pikepdf.Object:
    page = Dictionary(
        {
            "/Type": Name.Page,
            **boxes,
            "/Resources": Dictionary(XObject=Dictionary(dict(objects))),
            "/Contents": pdf.make_stream(content),
        }
    )
    made = pdf.make_indirect(page)
    pdf.pages.append(pikepdf.Page(made))
    return made


def _boxes(layout: Layout) -> dict[str, Array]:
    """Return the boxes of every page (ISO 32000-1, 14.11.2): the sheet, the pieces with their bleed, and trimmed."""
    sheet = Box(0, 0, layout.size.width, layout.size.height)
    bleed = layout.block.grown(layout.bleed).common(sheet) or layout.block
    boxes = {"/MediaBox": sheet, "/CropBox": sheet, "/BleedBox": bleed, "/TrimBox": layout.block}
    return {
        name: Array([Decimal(number) for number in _numbers(map(to_points, (box.x0, box.y0, box.x1, box.y1))).split()])
        for name, box in boxes.items()
    }


def _name(pdf: pikepdf.Pdf, sides: Sequence[Frame], title: str) -> None:
    """Name the file, and every page by its sheet (page labels: ISO 32000-1, 12.4.2); say that nothing may be scaled."""
    labels = Array()
    for number, frame in enumerate(sides):
        labels.append(number)
        labels.append(Dictionary(P=pikepdf.String(f"sheet {frame.sheet} {frame.side}")))
    pdf.Root.PageLabels = Dictionary(Nums=labels)
    # Table 150: without this a viewer's print dialogue shrinks pages to fit, and the zine comes out small.
    pdf.Root.ViewerPreferences = Dictionary(PrintScaling=Name("/None"), DisplayDocTitle=True)
    pdf.docinfo["/Title"] = pikepdf.String(title)
    pdf.docinfo["/Producer"] = pikepdf.String("imposer")


def _version(embedded: Iterable[Embedded]) -> str:
    """Return the version the file must claim: 1.4, or what its sources claim, at most 1.7."""
    minors = [4]
    for placed in embedded:
        minors.append(placed.minor_version)
        if placed.xobject.get("/BitsPerComponent", 0) == 16:
            minors.append(5)  # ISO 32000-1, Table 89
    return f"1.{min(max(minors), 7)}"


def _save(pdf: pikepdf.Pdf, folder: Path, name: str, version: str) -> None:
    file = folder / name
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        save_borrowing(pdf, file, version)
    except OSError as error:
        problem = f"cannot be written ({error.strerror or error})"
        raise ImposerError(Fault(file=name, problem=problem, mend="make room, or choose another folder")) from error
