"""Masters spoilt on purpose, one thing at a time: each must be told, and only what was spoilt."""

from __future__ import annotations

import re
from dataclasses import replace

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array

from imposer.errors import ImposerError
from imposer.geometry import Transform
from imposer.sheet.model import Art
from imposer.write.read_back import NEAR, WrongMasterError
from tests.folders import page_tones, write_png
from tests.write.works import a_work


@pytest.fixture(scope="module")
def work(tmp_path_factory):
    folder = tmp_path_factory.mktemp("art")
    for page in range(1, 17):
        write_png(folder / f"{page}.png", page_tones(page, ppi=72), 72)
    images = {page: folder / f"{page}.png" for page in range(1, 17)}
    return a_work({"lamp black": images}, pages=16, sheet="A4", pieces=2)


@pytest.fixture
def out(work, tmp_path):
    return work.write(tmp_path)


def spoil(work, out, change):
    """Let `change` have the first master as pikepdf opens it; save it as it was saved."""
    file = out / work.masters[0][1].file
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        change(pdf)
        pdf.save(file, object_stream_mode=pikepdf.ObjectStreamMode.disable)


def redraw(page, pattern, new, count=1):
    """Change the drawing of a page, as text."""
    old = page.Contents.read_bytes().decode()
    text, changed = re.subn(pattern, new, old, count=count)
    assert changed
    assert text != old
    page.Contents.write(text.encode())


def faults(work, out):
    with pytest.raises(WrongMasterError) as caught:
        work.read_back(out)
    return [str(fault) for fault in caught.value.faults]


def test_what_was_written_is_what_the_plan_says(work, out):
    work.read_back(out)


def test_a_master_saved_again_by_another_hand_still_reads_back(work, out):
    spoil(work, out, lambda pdf: None)
    work.read_back(out)


def test_a_missing_page_is_told(work, out):
    spoil(work, out, lambda pdf: pdf.pages.__delitem__(-1))
    assert faults(work, out)[0].startswith(
        "masters/pass-1-front-drum-1-lamp-black.pdf: the count of its pages is 1, but the plan has 2 sheets for it; "
    )


def test_a_page_too_many_is_told(work, out):
    spoil(work, out, lambda pdf: pdf.pages.append(pdf.pages[0]))
    assert "the count of its pages is 3, but the plan has 2 sheets" in faults(work, out)[0]


def test_two_sheets_in_the_wrong_order_are_told(work, out):
    spoil(work, out, lambda pdf: pdf.pages.reverse())
    assert re.search(r": sheet 1 front: draws pages [\d, ]+, but the plan says [\d, ]+; ", faults(work, out)[0])


def test_two_panels_swapped_are_told(work, out):
    """Matrices and clips stay; the pages that they draw are exchanged."""

    def change(pdf):
        old = pdf.pages[0].Contents.read_bytes().decode()
        first, second = re.findall(r"/P\d+ ", old)[:2]
        text = old.replace(first, "FIRST").replace(second, first).replace("FIRST", second)
        pdf.pages[0].Contents.write(text.encode())

    spoil(work, out, change)
    assert re.search(r"draws pages [\d, ]+, but the plan says [\d, ]+; ", faults(work, out)[0])


def test_two_panels_that_changed_places_are_told(work, out):
    """The pages stay in their order; matrices and clips are exchanged."""

    def change(pdf):
        old = pdf.pages[0].Contents.read_bytes().decode()
        heads = re.findall(r"q\n.*? cm\n", old, re.DOTALL)
        text = old.replace(heads[0], "HEAD").replace(heads[1], heads[0]).replace("HEAD", heads[1])
        pdf.pages[0].Contents.write(text.encode())

    spoil(work, out, change)
    told = faults(work, out)
    assert any("is clipped to" in line for line in told)
    assert any("corner of its art" in line for line in told)


@pytest.mark.parametrize("axis", [0, 1])
def test_a_panel_shifted_by_a_tenth_of_a_millimetre_is_told_with_both_places(work, out, axis):
    def change(pdf):
        matrix = re.search(r"([-\d. ]+) cm", pdf.pages[1].Contents.read_bytes().decode())[1].split()
        moved = matrix[:4] + [
            f"{float(v) + (0.1 / 25.4 * 72 if i == axis else 0):.6f}" for i, v in enumerate(matrix[4:])
        ]
        redraw(pdf.pages[1], r"[-\d. ]+ cm", " ".join(moved) + " cm")

    spoil(work, out, change)
    (told,) = faults(work, out)
    assert told.startswith("masters/pass-1-front-drum-1-lamp-black.pdf: sheet 2 front: page ")
    found = re.search(
        r"lower left corner of its art at ([\d.]+), ([\d.]+) mm, but the plan says ([\d.]+), ([\d.]+) mm", told
    )
    here, there = (float(found[1]), float(found[2])), (float(found[3]), float(found[4]))
    assert here[axis] - there[axis] == pytest.approx(0.1, abs=0.011)
    assert here[1 - axis] == there[1 - axis]


def turned(page, turn):
    """Turn the first panel's art about the middle of its box."""
    old = page.Contents.read_bytes().decode()
    a, b, c, d, e, f = map(float, re.search(r"([-\d. ]+) cm", old)[1].split())
    middle = Transform(a, b, c, d, e, f).apply(0.5, 0.5)
    about = Transform.shift(-middle[0], -middle[1]).then(turn).then(Transform.shift(*middle))
    matrix = Transform(a, b, c, d, e, f).then(about)
    redraw(page, r"[-\d. ]+ cm", " ".join(f"{v:.6f}" for v in matrix) + " cm")


@pytest.mark.parametrize(
    "turn",
    [Transform(0, 1, -1, 0, 0, 0), Transform(-1, 0, 0, -1, 0, 0), Transform(0, -1, 1, 0, 0, 0)],
    ids=["a quarter", "upside down", "three quarters"],
)
def test_a_panel_turned_about_its_middle_is_told(work, out, turn):
    spoil(work, out, lambda pdf: turned(pdf.pages[0], turn))
    (told,) = faults(work, out)
    assert "corner of its art at" in told


@pytest.mark.parametrize("mirror", [Transform(-1, 0, 0, 1, 0, 0), Transform(1, 0, 0, -1, 0, 0)])
def test_a_panel_mirrored_in_its_own_box_is_told(work, out, mirror):
    spoil(work, out, lambda pdf: turned(pdf.pages[0], mirror))
    (told,) = faults(work, out)
    assert "corner of its art at" in told


def test_a_panel_scaled_by_a_thousandth_is_told(work, out):
    spoil(work, out, lambda pdf: turned(pdf.pages[0], Transform.scale(1.001, 1.001)))
    (told,) = faults(work, out)
    assert "corner of its art at" in told


def test_a_clip_that_cuts_off_the_bleed_is_told(work, out):
    def change(pdf):
        x, y, wide, high = re.search(r"q\n([-\d. ]+) re", pdf.pages[0].Contents.read_bytes().decode())[1].split()
        redraw(pdf.pages[0], r"q\n[-\d. ]+ re", f"q\n{x} {y} {float(wide) - 1:.6f} {high} re")

    spoil(work, out, change)
    (told,) = faults(work, out)
    assert "is clipped to (" in told


def test_a_panel_left_out_is_told(work, out):
    spoil(work, out, lambda pdf: redraw(pdf.pages[0], r"^q\n[^Q]*Q\n", ""))
    assert "draws pages" in faults(work, out)[0]


def test_a_panel_drawn_twice_is_told(work, out):
    def change(pdf):
        old = pdf.pages[0].Contents.read_bytes()
        end = old.index(b"Q\n") + 2
        pdf.pages[0].Contents.write(old[:end] + old)

    spoil(work, out, change)
    assert "draws pages" in faults(work, out)[0]


@pytest.mark.parametrize(
    "injected", ["1 0 0 rg", "0 0 0 1 k", "/DeviceRGB cs", "0.5 g", "10 10 90 90 re f", "/P1 Do", "q", "BT ET"]
)
@pytest.mark.parametrize("where", ["before", "between", "inside", "after"])
def test_anything_that_is_neither_panel_nor_mark_is_told(work, out, injected, where):
    def change(pdf):
        old = pdf.pages[0].Contents.read_bytes()
        at = {"before": 0, "between": old.index(b"Q\n") + 2, "inside": old.index(b"W n\n") + 4, "after": len(old)}[
            where
        ]
        pdf.pages[0].Contents.write(old[:at] + injected.encode() + b"\n" + old[at:])

    spoil(work, out, change)
    (told,) = faults(work, out)
    assert "sheet 1 front: draws something that is neither a panel nor a mark: “" in told


@pytest.mark.parametrize("form", ["/Marks", "/Label"])
@pytest.mark.parametrize("operator", ["1 0 0 rg", "0 1 1 0 K", "/CS0 cs 0.5 scn", "/Sh1 sh"])
def test_marks_in_colour_are_told(work, out, form, operator):
    def change(pdf):
        mark = pdf.pages[1].Resources.XObject[form]
        mark.write(mark.read_bytes() + operator.encode() + b"\n")

    spoil(work, out, change)
    assert "set a colour (" in faults(work, out)[0]


def test_a_title_that_reads_like_a_colour_is_none(tmp_path):
    write_png(tmp_path / "1.png", page_tones(1, ppi=72), 72)
    work = a_work(
        {"k": {1: tmp_path / "1.png"}}, pages=4, sheet="A4", title="scn ( rg ) K \\( <k> /cs k", style="gathered"
    )
    work.write(tmp_path / "out")
    work.read_back(tmp_path / "out")


@pytest.mark.parametrize("name", ["/MediaBox", "/CropBox", "/TrimBox"])
def test_a_box_of_another_size_is_told(work, out, name):
    spoil(work, out, lambda pdf: setattr(pdf.pages[1].obj, name[1:], Array([0, 0, 595, 842])))
    (told,) = faults(work, out)
    assert f"sheet 2 front: {name[1:]} is (0.000, 0.000, 209.903, 297.039) mm, but the plan says (" in told


@pytest.mark.parametrize(("key", "value"), [("Rotate", 90), ("UserUnit", 2)])
def test_a_page_turned_or_scaled_by_its_dictionary_is_told(work, out, key, value):
    spoil(work, out, lambda pdf: setattr(pdf.pages[0].obj, key, value))
    (told,) = faults(work, out)
    assert f"the page has a {key}, which no master has" in told


def test_two_names_of_one_object_are_told(work, out):
    def change(pdf):
        objects = pdf.pages[0].Resources.XObject
        first, second = sorted(name for name in objects.keys() if name.startswith("/P"))[:2]  # noqa: SIM118
        objects[first] = objects[second]

    spoil(work, out, change)
    (told,) = faults(work, out)
    assert "draws two pages by one object" in told


def test_a_file_cut_short_is_told(work, out):
    file = out / work.masters[0][1].file
    content = file.read_bytes()
    for share in (0, 0.3, 0.99):
        file.write_bytes(content[: int(len(content) * share)])
        assert "cannot be read back" in faults(work, out)[0]


def test_a_file_with_bytes_lost_in_the_middle_is_told(work, out):
    """A page of the disk gone: every later offset points to the wrong place."""
    file = out / work.masters[0][1].file
    content = file.read_bytes()
    middle = len(content) // 3
    file.write_bytes(content[:middle] + content[middle + 512 :])
    assert faults(work, out)


def test_a_picture_that_ends_too_early_is_told(work, out):
    """The length that stands in the file and the data that follow must agree."""
    file = out / work.masters[0][1].file
    content = file.read_bytes()
    length = re.search(rb"/Predictor 15 .*?/Length (\d+) >>\nstream", content, re.DOTALL)
    start, end = length.span(1)
    spoilt = content[:start] + b"%0*d" % (end - start, int(length[1]) - 7) + content[end:]
    file.write_bytes(spoilt)
    (told,) = faults(work, out)
    assert re.search(r"page \d+ is not whole in the file", told)


def test_a_missing_file_is_told(work, out):
    (out / work.masters[0][1].file).unlink()
    assert "cannot be read back" in faults(work, out)[0]


def test_no_more_than_a_handful_of_differences_are_told(work, out):
    def change(pdf):
        for page in pdf.pages:
            page.obj.Rotate, page.obj.UserUnit, page.obj.Annots = 90, 2, Array()
            page.obj.TrimBox = Array([0, 0, 10, 10])

    spoil(work, out, change)
    assert len(faults(work, out)) == 5


def test_it_is_a_fault_that_the_command_line_can_print(work, out):
    (out / work.masters[0][1].file).unlink()
    with pytest.raises(ImposerError):
        work.read_back(out)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(dx=st.floats(-0.05, 0.05), dy=st.floats(-0.05, 0.05))
def test_the_tolerance_is_a_hundredth_of_a_millimetre(work_written, dx, dy):
    """A plan that differs from the file by (dx, dy): told if and only if it is further than the tolerance."""
    work, out = work_written
    key = (work.masters[0][1].sheets[0], "front")
    frame = work.frames[key]
    first = frame.art[0]
    moved = Art(first.page, first.trim.moved(dx, dy), first.rotation, first.clip)
    work.frames[key] = replace(frame, art=(moved, *frame.art[1:]))
    try:
        if max(abs(dx), abs(dy)) > NEAR + 1e-5:
            assert len(faults(work, out)) == 1
        elif max(abs(dx), abs(dy)) < NEAR - 1e-5:
            work.read_back(out)
    finally:
        work.frames[key] = frame


@pytest.fixture(scope="module")
def work_written(work, tmp_path_factory):
    return work, work.write(tmp_path_factory.mktemp("written"))
