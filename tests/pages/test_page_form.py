"""Every trap that foreign PDFs set for whoever places their pages, compared by pixels with what a viewer shows."""

from __future__ import annotations

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.pages import pdfs
from tests.oracle import SHARE, matches
from tests.pages.traps import TRAPS, new, written
from tests.pages.viewer import as_viewed, placed


@pytest.mark.parametrize("turn", [0, 90])
@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_is_placed_as_a_viewer_shows_it(name, turn, tmp_path):
    file = tmp_path / f"{name}.pdf"
    viewed = TRAPS[name](file)
    source = pdfs.survey(file, file.name)[viewed.index]
    due = as_viewed(file, viewed.index, viewed.unit)
    assert due.any() or name == "contents_missing", "the trap shows nothing, so it proves nothing"
    assert matches(due, placed(source, turn)) < viewed.share


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_has_the_tones_a_viewer_shows(name, tmp_path):
    file = tmp_path / f"{name}.pdf"
    viewed = TRAPS[name](file)
    source = pdfs.survey(file, file.name)[viewed.index]
    due = as_viewed(file, viewed.index, viewed.unit, ppi=360)
    assert matches(due, pdfs.tones(source, source.size, 360)) < viewed.share


def test_a_page_of_its_own_in_the_wrong_place_is_told_apart(tmp_path):
    """The comparison is worth something: half a millimetre, a mirror and a tone are all seen."""
    file = tmp_path / "art.pdf"
    written(new(), file)
    right = as_viewed(file)
    assert matches(right, right) == 0
    assert matches(right, np.roll(right, 3, axis=1)) > 30 * SHARE
    assert matches(right, right[:, ::-1]) > 30 * SHARE
    assert matches(right, (right * 0.8).astype(np.uint8)) > 30 * SHARE


def test_a_known_password_is_still_a_fault(tmp_path):
    file = tmp_path / "locked.pdf"
    new().save(file, encryption=pikepdf.Encryption(owner="a", user="b"))
    with pytest.raises(ImposerError, match=r"^locked\.pdf: is locked with a password; save it without one$"):
        pdfs.survey(file, "locked.pdf")


def test_no_page_leaves_anything_behind_on_the_sheet(tmp_path):
    """Two pages that leave a clip, a colour and a scale behind, one after the other on one sheet."""
    names = ["clip_and_colour_left_behind", "missing_restore", "too_many_restores"]
    target = pikepdf.Pdf.new()
    target.add_blank_page(page_size=(600, 300))
    objects, content = pikepdf.Dictionary(), b""
    for at, name in enumerate(names):
        file = tmp_path / f"{name}.pdf"
        TRAPS[name](file)
        (source,) = pdfs.survey(file, file.name)
        embedded = pdfs.embed(source, source.size, target)
        objects[f"/P{at}"] = embedded.xobject
        content += f"q 1 0 0 1 {200 * at} 0 cm /P{at} Do Q ".encode()
    target.pages[0].Resources = pikepdf.Dictionary(XObject=objects)
    target.pages[0].Contents = target.make_stream(content)
    sheet = tmp_path / "sheet.pdf"
    target.save(sheet)
    due = np.hstack([as_viewed(tmp_path / f"{name}.pdf") for name in names])
    assert matches(due, as_viewed(sheet)) < SHARE


boxes = st.tuples(*[st.integers(-400, 400)] * 2, st.integers(60, 260), st.integers(60, 260))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    media=boxes,
    cut=st.tuples(*[st.integers(-20, 25)] * 4),
    rotate=st.sampled_from([0, 90, 180, 270, -90, -180, 450, 720, 1170]),
    unit=st.sampled_from([1, 0.5, 2, 1.25]),
    levels=st.integers(0, 3),
    flips=st.tuples(st.booleans(), st.booleans()),
    turn=st.sampled_from([0, 90, 180, 270]),
)
def test_any_boxes_turn_unit_and_nesting_come_out_in_place(
    tmp_path_factory, media, cut, rotate, unit, levels, flips, turn
):
    """Random boxes anywhere, corners either way round, any spelling of the turn, attributes up the page tree."""
    x, y, width, height = media
    box = [x, y, x + width, y + height]
    crop = [box[0] + cut[0], box[1] + cut[1], box[2] - cut[2], box[3] - cut[3]]
    pdf = new(f"1 0 0 1 {x} {y} cm {width / 200} 0 0 {height / 300} 0 0 cm ".encode() + _ART, box=box)
    page = pdf.pages[0].obj
    page.CropBox = [crop[2], crop[1], crop[0], crop[3]] if flips[0] else crop
    page.MediaBox = [box[2], box[3], box[0], box[1]] if flips[1] else box
    page.Rotate, page.UserUnit = rotate, unit
    for _ in range(levels):
        # One more node of the page tree around the page, which takes the attributes over.
        root = pdf.Root.Pages
        node = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Pages, Count=1, Parent=root, Kids=root.Kids))
        below = node.Kids[0]
        below.Parent, root.Kids = node, pikepdf.Array([node])
        for key in ("/Rotate", "/CropBox", "/MediaBox"):
            if key in below:
                node[key] = below[key]
                del below[key]
    file = tmp_path_factory.mktemp("boxes") / "page.pdf"
    pdf.save(file)
    (source,) = pdfs.survey(file, "page.pdf")
    assert matches(as_viewed(file, unit=unit), placed(source, turn)) < 5 * SHARE


#: Shapes alone: glyphs snap to pixels, and a scale of the page moves them.
_ART = b"0 g 20 20 60 12 re f 20 20 12 200 re f 20 120 40 12 re f 0.5 g 100 200 70 50 re f 4 w 0 G 100 40 m 190 130 l S"
