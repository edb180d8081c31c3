"""Masters as a press driver sees them: read by pypdf, rendered by pdfium, neither of which wrote them."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pikepdf
import pypdf
import pypdfium2
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from imposer.data.fonts import SANS, register
from imposer.errors import ImposerError
from imposer.geometry import Box, Transform
from imposer.sheet.model import Art
from imposer.units import from_points
from tests.folders import TRIM, page_tones, write_png, write_vector_pdf
from tests.sheets import outside, render, window
from tests.write.works import a_work

PPI = 300
#: Enough to tell vector pages apart.
COARSE = 150
TURNS = (0, 90, 180, 270)


@pytest.fixture(scope="module")
def art(tmp_path_factory):
    """PNG pages for black, but for page 3, and a vector PDF for marigold."""
    folder = tmp_path_factory.mktemp("art")
    for page in range(1, 9):
        write_png(folder / f"{page}.png", page_tones(page, ppi=PPI), PPI)
    write_vector_pdf(folder / "marigold.pdf", range(1, 9))
    return folder


def two_inks(art, **job):
    images = {page: art / f"{page}.png" for page in range(1, 9) if page != 3}
    return a_work({"lamp black": images, "marigold": art / "marigold.pdf"}, pages=8, sheet="A4", **job)


@pytest.fixture(scope="module")
def work(art):
    return two_inks(art)


@pytest.fixture(scope="module")
def out(work, tmp_path_factory):
    return work.write(tmp_path_factory.mktemp("out"))


def sheets(work, out):
    """Every page of every master: its file, its place in the file, its frame, its ink."""
    for run, master in work.masters:
        for index, number in enumerate(master.sheets):
            yield out / master.file, index, work.frames[number, run.side], master.ink


def placed(file, index, item, shape, ppi=PPI):
    """A panel's art, upright: a window of the rendered sheet on the middle of its trim."""
    with pypdfium2.PdfDocument(file) as document:
        page = document[index]
        turned = shape[::-1] if item.rotation in (90, 270) else shape
        tones = window(page, ppi, turned, item.trim.centre)
        page.close()
    return np.rot90(tones, -item.rotation // 90)


# --- the file -------------------------------------------------------------------------------------------------------


def test_there_is_a_file_for_each_drum_of_each_pass_and_a_page_for_each_sheet(work, out):
    assert sorted(p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file()) == sorted(
        master.file for _, master in work.masters
    )
    for _, master in work.masters:
        assert len(pypdf.PdfReader(out / master.file).pages) == len(master.sheets)


def test_a_page_is_the_press_sheet_and_its_trim_box_holds_the_pieces(work, out):
    """ISO 32000-1, 14.11.2: TrimBox inside BleedBox inside MediaBox; no page is turned or scaled by the viewer."""
    layout = work.imposition.layout
    for file, index, frame, _ in sheets(work, out):
        page = pypdf.PdfReader(file).pages[index]
        boxes = {name: [from_points(float(v)) for v in page[name]] for name in ("/MediaBox", "/CropBox", "/TrimBox")}
        assert boxes["/MediaBox"] == boxes["/CropBox"] == pytest.approx([0, 0, frame.size.width, frame.size.height])
        block = layout.block
        assert boxes["/TrimBox"] == pytest.approx([block.x0, block.y0, block.x1, block.y1], abs=1e-5)
        assert "/Rotate" not in page
        assert "/UserUnit" not in page


def test_the_bleed_box_reaches_as_far_as_the_bleed(art, tmp_path):
    images = {page: art / f"{page}.png" for page in range(1, 9)}
    trim = (TRIM[0] - 6, TRIM[1] - 6)
    work = a_work({"k": images}, pages=8, sheet="A4", bleed=3, trim=trim, to_page=Transform.shift(-3, -3))
    page = pypdf.PdfReader(work.write(tmp_path) / work.masters[0][1].file).pages[0]
    trim_box, bleed_box = ([float(v) for v in page[name]] for name in ("/TrimBox", "/BleedBox"))
    grown = [from_points(b - t) for b, t in zip(bleed_box, trim_box, strict=True)]
    assert grown == pytest.approx([-3, -3, 3, 3], abs=1e-5)


def test_the_file_names_its_sheets_and_its_drum_and_asks_not_to_be_scaled(work, out):
    run, master = work.masters[1]
    reader = pypdf.PdfReader(out / master.file)
    assert reader.page_labels == [f"sheet {number} {run.side}" for number in master.sheets]
    assert reader.metadata.title == "Moth Hours: pass 1, front, drum 2, marigold"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_the_version_is_the_least_that_the_art_needs(work, out):
    """Plain images need 1.4; a PDF keeps the version it claims. Object streams came with 1.5 and are not used."""
    for _, master in work.masters:
        content = (out / master.file).read_bytes()
        assert content.startswith(b"%PDF-1.4\n" if master.ink == "lamp black" else b"%PDF-1.")
        assert b"/ObjStm" not in content
        assert content[9:].count(b"\nxref\n") == 1


def test_gray_is_all_there_is(work, out):
    coloured = {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN", "sh", "ri"}
    for _, master in work.masters:
        with pikepdf.open(out / master.file) as pdf:
            for page in pdf.pages:
                for name, xobject in page.Resources.XObject.items():
                    if xobject.Subtype == "/Image":
                        assert xobject.ColorSpace == "/DeviceGray"
                        continue
                    operators = {str(step.operator) for step in pikepdf.parse_content_stream(xobject)}
                    assert not operators & coloured, name


def test_the_files_are_sound_to_the_library_that_reads_the_strictest(work, out):
    for _, master in work.masters:
        with pikepdf.open(out / master.file) as pdf:
            assert pdf.check_pdf_syntax() == []
            assert pdf.get_warnings() == []


def test_no_clock_no_number_of_chance_and_nothing_of_where_it_was_made(art, tmp_path):
    """The same input gives the same bytes: twice here, and once more in another process with another hash order."""
    here = [two_inks(art).write(tmp_path / name) for name in ("one", "two")]
    script = (
        "import sys; from pathlib import Path; from tests.write.test_masters import two_inks;"
        "two_inks(Path(sys.argv[1])).write(Path(sys.argv[2]))"
    )
    root = Path(__file__).parents[2]
    command = [sys.executable, "-c", script, art, tmp_path / "three"]
    subprocess.run(command, check=True, cwd=root, env={"PYTHONHASHSEED": "7", "PYTHONPATH": str(root)})
    for file in (p.relative_to(here[0]) for p in here[0].rglob("*.pdf")):
        content = (here[0] / file).read_bytes()
        assert content == (here[1] / file).read_bytes() == (tmp_path / "three" / file).read_bytes()
        for trace in (b"CreationDate", b"ModDate", b"http", str(tmp_path).encode(), str(art).encode()):
            assert trace not in content


def test_marks_that_all_sheets_share_are_one_object(work, out):
    for _, master in work.masters:
        reader = pypdf.PdfReader(out / master.file)
        forms = [page["/Resources"]["/XObject"] for page in reader.pages]
        assert len({form.raw_get("/Marks").idnum for form in forms}) == 1
        assert len({form.raw_get("/Label").idnum for form in forms}) == len(forms)


def test_labels_say_which_sheet_pass_and_drum(work, out):
    for run, master in work.masters:
        with pypdfium2.PdfDocument(out / master.file) as document:
            for index, number in enumerate(master.sheets):
                text = document[index].get_textpage().get_text_range()
                end = f"sheet {number} of 1 · {run.side} · pass {run.number} · drum {master.drum} · {master.ink}"
                assert f"Moth Hours · {end}" in text


def test_a_sheet_without_marks_or_art_is_bare(art, tmp_path):
    work = a_work({"k": {1: art / "1.png"}}, pages=8, sheet="A4", marks=())
    work.frames = {key: replace(frame, marks=()) for key, frame in work.frames.items()}
    work.write(tmp_path)
    work.read_back(tmp_path)
    for file, index, frame, _ in sheets(work, tmp_path):
        assert render(file, index, 30, (frame.size.width, frame.size.height)).any() == any(
            item.page == 1 for item in frame.art
        )


# --- the art --------------------------------------------------------------------------------------------------------


def test_images_come_back_bit_for_bit_and_a_blank_page_stays_blank(work, out):
    seen = set()
    for file, index, frame, ink in sheets(work, out):
        for item in frame.art:
            if ink == "lamp black":
                source = 255 - page_tones(item.page, ppi=PPI)
                shown = placed(file, index, item, source.shape)
                assert np.array_equal(shown, np.zeros_like(source) if item.page == 3 else source)
                seen.add(item.page)
    assert seen == set(range(1, 9))


def test_vectors_come_back_within_their_neighbours_and_stay_vectors(work, out, art):
    sources = {page: render(art / "marigold.pdf", page - 1, COARSE, TRIM) for page in range(1, 9)}
    for file, index, frame, ink in sheets(work, out):
        for item in frame.art if ink == "marigold" else ():
            shown = placed(file, index, item, sources[item.page].shape, COARSE)
            assert outside(sources[item.page], shown) < 1e-4
            assert outside(sources[item.page % 8 + 1], shown) > 2e-3
        with pikepdf.open(file) as pdf:
            for name, xobject in pdf.pages[index].Resources.XObject.items():
                assert xobject.Subtype == ("/Image" if ink == "lamp black" and "/P" in name else "/Form")


@pytest.mark.parametrize("rotation", TURNS)
@settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(x=st.floats(5, 200), y=st.floats(5, 100))
def test_images_come_back_bit_for_bit_wherever_they_lie(rotation, x, y, art, tmp_path):
    """At their own resolution, at every turn and at any offset, be it a whole number of dots or not."""
    work = a_work({"k": {1: art / "5.png"}}, pages=8, sheet="A4")
    size = work.table.art(1, "k").size
    trim = Box.at(x, y, *((size.width, size.height) if rotation in (0, 180) else (size.height, size.width)))
    item = Art(page=1, trim=trim, rotation=rotation, clip=trim)
    work.frames = {key: replace(frame, art=(item,), marks=()) for key, frame in work.frames.items()}
    work.write(tmp_path)
    work.read_back(tmp_path)
    source = 255 - page_tones(5, ppi=PPI)
    for file, index, _, _ in sheets(work, tmp_path):
        assert np.array_equal(placed(file, index, item, source.shape), source)


def test_art_is_clipped_to_its_panel_and_no_further(art, tmp_path):
    """A neighbour's bleed must not print over the fold: the clip lies on the sheet, whatever turns the page."""
    work = a_work({"k": {1: art / "5.png"}}, pages=8, sheet="A4")
    for rotation, (wide, high) in zip(TURNS, pairwise((*TRIM, *TRIM, TRIM[0])), strict=True):
        trim = Box.at(30, 20, wide, high)
        clip = Box(trim.x0, trim.y0 + 25.4, trim.x1 - 25.4, trim.y1)
        item = Art(page=1, trim=trim, rotation=rotation, clip=clip)
        work.frames = {key: replace(frame, art=(item,), marks=()) for key, frame in work.frames.items()}
        file, index, frame, _ = next(sheets(work, work.write(tmp_path / str(rotation))))
        whole = render(file, index, PPI, (frame.size.width, frame.size.height))
        rows, columns = np.nonzero(whole)
        edges = [columns.min(), len(whole) - 1 - rows.max(), columns.max() + 1, len(whole) - rows.min()]
        bare = [e * 25.4 / PPI for e in edges]
        assert bare[0] >= clip.x0 - 0.1
        assert bare[1] >= clip.y0 - 0.1
        assert bare[2] <= clip.x1 + 0.1
        assert bare[3] <= clip.y1 + 0.1
        assert whole.any()


def test_art_larger_than_its_page_is_placed_by_its_trim(art, tmp_path):
    """Bleed: art half an inch larger each way; the dots of the trim come back where the trim lies."""
    images = {page: art / f"{page}.png" for page in range(1, 9)}
    trim = tuple((dots - PPI) / PPI * 25.4 for dots in page_tones(1, ppi=PPI).shape[::-1])
    work = a_work({"k": images}, pages=8, sheet="A4", bleed=12.7, trim=trim, to_page=Transform.shift(-12.7, -12.7))
    work.write(tmp_path)
    edge = round(PPI / 2)
    for file, index, frame, _ in sheets(work, tmp_path):
        for item in frame.art:
            source = (255 - page_tones(item.page, ppi=PPI))[edge:-edge, edge:-edge]
            shown = placed(file, index, item, source.shape)
            assert np.array_equal(shown[1:-1, 1:-1], source[1:-1, 1:-1])


def test_fonts_that_every_file_brings_along_are_kept_once(tmp_path):
    """A file a page, as zines often come; two of the pages alike, which become one object and still read back."""
    joined = vector_pages(tmp_path / "all.pdf", range(1, 9))
    alone = {page: vector_pages(tmp_path / f"{page}.pdf", [min(page, 7)]) for page in range(1, 9)}
    sizes = []
    for name, files in (("joined", joined), ("alone", alone)):
        work = a_work({"k": files}, pages=8, sheet="A4")
        work.write(tmp_path / name)
        work.read_back(tmp_path / name)
        sizes.append((tmp_path / name / work.masters[0][1].file).stat().st_size)
    assert sum(file.stat().st_size for file in alone.values()) > 3 * joined.stat().st_size
    assert sizes[1] == pytest.approx(sizes[0], rel=0.1)


def vector_pages(file, numbers):
    """Pages of type in an embedded font, the same glyphs in every file."""
    register()
    canvas = Canvas(str(file), pagesize=(170, 227), invariant=1)
    for number in numbers:
        canvas.setFont(SANS, 20)
        canvas.drawString(10, 100, "abcdefghijklmnopqrstuvwxyz 0123456789")
        canvas.drawString(10, 50, str(number))
        canvas.showPage()
    canvas.save()
    return file


# --- what goes wrong --------------------------------------------------------------------------------------------------


def test_art_that_changed_since_it_was_found_is_refused(art, tmp_path):
    copy = tmp_path / "page.png"
    copy.write_bytes((art / "1.png").read_bytes())
    work = a_work({"k": {1: copy}}, pages=8, sheet="A4")
    write_png(copy, page_tones(1, ppi=PPI)[:-5])
    with pytest.raises(ImposerError, match=r"^page\.png: "):
        work.write(tmp_path / "out")


def test_art_that_vanished_is_a_plain_fault(art, tmp_path):
    copy = tmp_path / "page.png"
    copy.write_bytes((art / "1.png").read_bytes())
    work = a_work({"k": {1: copy}}, pages=8, sheet="A4")
    copy.unlink()
    with pytest.raises(ImposerError, match=r"^page\.png: cannot be read \(No such file"):
        work.write(tmp_path / "out")


def test_a_folder_that_cannot_be_written_is_a_plain_fault(work, tmp_path):
    (tmp_path / "masters").write_bytes(b"")
    with pytest.raises(ImposerError, match=r"^masters/pass-1-front-drum-1-lamp-black\.pdf: cannot be written"):
        work.write(tmp_path)
