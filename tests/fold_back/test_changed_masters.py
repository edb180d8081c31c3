"""Masters changed after they were built, one thing at a time: each is caught and named, and nothing else is."""

from __future__ import annotations

import json
import shutil
from io import BytesIO

import pikepdf
import pypdf
import pytest
from reportlab.pdfgen.canvas import Canvas

from imposer import build
from imposer.units import to_points
from tests.fold_back.masters import (
    BACK_BLACK,
    FRONT_BLACK,
    FRONT_MARIGOLD,
    built,
    copied,
    pages_read,
    panels,
    spoil,
    told,
    with_matrix,
)
from tests.folders import job_folder

TITLE = "Small <b>job</b> & co"


@pytest.fixture(scope="module")
def original(tmp_path_factory):
    """Twelve pages in two inks, three sheets: 12 and 1, 10 and 3, 8 and 5 in front; every third has no marigold."""
    return built(tmp_path_factory.mktemp("job"), pages=12, ppi=150, sheet='size = "A4"\npieces = 1')


@pytest.fixture
def out(original, tmp_path):
    return copied(original, tmp_path)


def test_untouched_masters_read_from_first_to_last(out):
    assert told(out) == []
    assert pages_read(out) == [*range(1, 13)]


def test_two_panels_swapped(out):
    def swap(content):
        return content.replace(b"/P1 Do", b"/Px Do").replace(b"/P12 Do", b"/P1 Do").replace(b"/Px Do", b"/P12 Do")

    spoil(out, FRONT_BLACK, swap)
    assert told(out) == [
        f"{FRONT_BLACK}: sheet 1 front, lamp black: page 12 lies where page 1 belongs",
        f"{FRONT_BLACK}: sheet 1 front, lamp black: page 1 lies where page 12 belongs",
        f"{TITLE}: page 1 of the booklet: does not read: page 12 comes there",
        f"{TITLE}: page 12 of the booklet: does not read: page 1 comes there",
    ]
    assert pages_read(out) == [12, *range(2, 12), 1]


@pytest.mark.parametrize("file", [FRONT_BLACK, FRONT_MARIGOLD])
def test_one_panel_turned(out, file):
    """Half a turn about the middle of the panel, which is the middle of its clip."""

    def turn(content):
        x, y, width, height = map(float, content.split(b"cm\n/P1 Do")[0].split(b"q\n")[-1].split(b" re ")[0].split())
        a, b, c, d, e, f = map(float, panels(content)[1].split())
        numbers = (-a, -b, -c, -d, 2 * x + width - e, 2 * y + height - f)
        return with_matrix(content, 1, b" ".join(b"%.6f" % n for n in numbers))

    spoil(out, file, turn)
    ink = "lamp black" if file == FRONT_BLACK else "marigold"
    assert told(out) == [
        f"{file}: sheet 1 front, {ink}: page 1 is turned by 180 degrees",
        f"{TITLE}: page 1 of the booklet: lies with its head down",
    ]


@pytest.mark.parametrize("file", [FRONT_BLACK, FRONT_MARIGOLD])
@pytest.mark.parametrize(("right", "up", "way"), [(1, 0, "right"), (-1, 0, "left"), (0, 1, "above"), (0, -1, "below")])
def test_one_panel_moved_by_a_millimetre(out, file, right, up, way):
    """On the sheet a page may lie turned; the shift is told as the page is read."""

    def move(content):
        a, b, c, d, e, f = map(float, panels(content)[1].split())
        turned = 180 if a < 0 else 90 if b > 0 else 270 if b < 0 else 0
        x, y = {0: (right, up), 90: (-up, right), 180: (-right, -up), 270: (up, -right)}[turned]
        return with_matrix(content, 1, b" ".join(b"%.6f" % n for n in (a, b, c, d, e + to_points(x), f + to_points(y))))

    spoil(out, file, move)
    ink = "lamp black" if file == FRONT_BLACK else "marigold"
    (fault,) = told(out)
    assert fault.startswith(f"{file}: sheet 1 front, {ink}: page 1 lies 1 mm ")
    assert way in fault


def test_a_panel_from_another_job(out, tmp_path):
    canvas = Canvas(str(tmp_path / "other.pdf"), pagesize=(to_points(60), to_points(80)))
    canvas.setFont("Times-Roman", 30)
    for line in range(6):
        canvas.drawString(10, 20 + 32 * line, "elsewhere")
    canvas.save()
    with (
        pikepdf.open(out / BACK_BLACK, allow_overwriting_input=True) as pdf,
        pikepdf.open(tmp_path / "other.pdf") as other,
    ):
        form = pdf.copy_foreign(other.pages[0].as_form_xobject())
        objects = pdf.pages[1].Resources.XObject
        page = next(name for name in objects if name.startswith("/P"))
        # A form is in points, an image in its unit square.
        form.Matrix = pikepdf.Array([1 / to_points(60), 0, 0, 1 / to_points(80), 0, 0])
        objects[page] = form
        pdf.save(out / BACK_BLACK)
    number = int(page[2:])
    first = f"{BACK_BLACK}: sheet 2 back, lamp black: what lies where page {number} belongs is no page of this booklet"
    faults = told(out)
    assert faults[0].startswith(first)
    assert faults[1:] == [
        f"{TITLE}: page {number} of the booklet: does not read: what comes there is no page of it",
    ]


def test_a_master_from_another_job(out, tmp_path):
    """The same sheet, side and ink of a booklet that is laid out alike, under another title."""
    folder = job_folder(tmp_path / "other", pages=12, ppi=150, sheet='size = "A4"\npieces = 1')
    job = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(job.replace("Small <b>job</b> & co", "Late Bus"), encoding="utf-8")
    other = build(folder).folder
    with (
        pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf,
        pikepdf.open(other / FRONT_BLACK) as late,
    ):
        pdf.pages[1] = late.pages[1]
        pdf.save(out / FRONT_BLACK)
    assert told(out)[:2] == [
        f"{FRONT_BLACK}: page 2: is sheet 2 front, lamp black of another set of masters, “Late Bus”",
        f"{TITLE}: sheet 2 front, lamp black: its master is missing",
    ]


def test_one_sheet_missing(out):
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        del pdf.pages[1]
        pdf.save(out / FRONT_BLACK)
    # Page 10 has marigold besides, and so its place is still known; page 3 has not.
    assert told(out) == [
        f"{TITLE}: sheet 2 front, lamp black: its master is missing",
        f"{TITLE}: page 3 of the booklet: does not read: no ink of it is there",
    ]


def test_one_file_missing(out):
    (out / BACK_BLACK).unlink()
    assert told(out)[:2] == [
        f"{TITLE}: sheet 1 back, lamp black: its master is missing",
        f"{TITLE}: sheet 2 back, lamp black: its master is missing",
    ]


def test_a_sheet_twice_and_sheets_out_of_order(out):
    shutil.copy(out / BACK_BLACK, out / "masters" / "copy.pdf")
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        pdf.pages.reverse()
        pdf.save(out / FRONT_BLACK)
    faults = told(out)
    assert f"{BACK_BLACK}: page 1: is sheet 1 back, lamp black a second time, after masters/copy.pdf, page 1" in faults
    assert f"{FRONT_BLACK}: : has its sheets in the order 3, 2, 1: out of running order" in faults


def test_a_page_printed_over(out):
    """Something drawn on a page afterwards, as an annotation or as a mark, belongs to no page."""
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        x, y = 60, 60
        pdf.pages[0].contents_add(f"q 0 g {x} {y} 700 400 re f Q".encode())
        pdf.save(out / FRONT_BLACK)
    assert any("sheet 1 front, lamp black: what lies where page 1 belongs" in fault for fault in told(out))


def test_a_page_wiped(out):
    spoil(out, FRONT_BLACK, lambda content: content.replace(b"/P12 Do\n", b""))
    assert told(out)[0] == f"{FRONT_BLACK}: sheet 1 front, lamp black: page 12 is missing: its place is bare"


def test_art_where_an_ink_prints_nothing(out):
    """Page 3 has no marigold; page 10 beside it on the sheet has."""
    file = out / FRONT_MARIGOLD
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        pdf.pages[1].contents_add(b"q 0.3 g 20 20 800 550 re f Q")
        pdf.save(file)
    wanted = f"{FRONT_MARIGOLD}: sheet 2 front, marigold: art lies where page 3 belongs, of which nothing prints"
    assert any(fault.startswith(wanted) for fault in told(out))


def resaved_by_pypdf(file):
    writer = pypdf.PdfWriter(clone_from=file)
    for page in writer.pages:
        page.compress_content_streams()
    writer.write(file)


def resaved_by_pikepdf(file):
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        pdf.save(file, object_stream_mode=pikepdf.ObjectStreamMode.generate, recompress_flate=True, linearize=True)


def redrawn(file):
    """Every drawing parsed and written anew, as an editor does that tidies up."""
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        for page in pdf.pages:
            steps = [*pikepdf.parse_content_stream(page)]
            page.Contents.write(b"q\n" + pikepdf.unparse_content_stream(steps) + b"\nQ\n")
        pdf.save(file)


@pytest.mark.parametrize("saved", [resaved_by_pypdf, resaved_by_pikepdf, redrawn])
def test_masters_saved_again_without_change_still_read(out, saved):
    for file in (out / "masters").iterdir():
        saved(file)
    assert told(out) == []
    assert pages_read(out) == [*range(1, 13)]


def test_masters_that_lost_their_entry_say_so(out):
    for file in (out / "masters").iterdir():
        with pikepdf.open(file, allow_overwriting_input=True) as pdf:
            for page in pdf.pages:
                del page.PieceInfo
            pdf.save(file)
    faults = told(out)
    assert len(faults) == 4
    assert all("it does not say what lies on it: it has no entry of this program (all 3 pages)" in f for f in faults)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda data: data.update(version=2), "its entry is of version 2; this program reads version 1"),
        (lambda data: data.pop("panels"), "its entry is not whole"),
        (lambda data: data["panels"].append(data["panels"][0]), "a sketch is missing"),
        (lambda data: data["part"].update(turn=45), "45 is none of 0, 90, 180, 270"),
        (lambda data: data.update(format="other"), "its entry is not one of this program"),
    ],
)
def test_an_entry_that_was_meddled_with(out, change, why):
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        entry = pdf.pages[0].PieceInfo.Imposer.Private
        data = json.loads(str(entry.Record))
        change(data)
        entry.Record = pikepdf.String(json.dumps(data))
        pdf.save(out / FRONT_BLACK)
    faults = told(out)
    assert faults[0].startswith(f"{FRONT_BLACK}: page 1: ")
    assert why in faults[0]
    assert faults[1] == f"{TITLE}: sheet 1 front, lamp black: its master is missing"


def test_the_entry_is_one_of_the_standard(original):
    """ISO 32000-1, 14.5: /PieceInfo, the application's own key, /LastModified (required) and /Private; Table 30."""
    reader = pypdf.PdfReader(BytesIO((original / FRONT_BLACK).read_bytes()))
    for page in reader.pages:
        assert page["/LastModified"].startswith("D:")
        (entry,) = page["/PieceInfo"].values()
        assert set(entry.get_object()) == {"/LastModified", "/Private"}
        record = json.loads(entry.get_object()["/Private"]["/Record"])
        assert (record["title"], record["pages"]) == ("Small <b>job</b> & co", 12)
