"""The folding dummy, read back by libraries that did not write it, and folded here."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.findings import SIDES
from imposer.geometry import Size
from imposer.impose_parts import lay_parts
from imposer.job.binding import fold_by_id
from imposer.job.model import FormSpec, StitchSpec
from imposer.pages.parts import parts_without_art
from imposer.sheet.impose import impose
from imposer.sheet.stitches import stitching_of
from imposer.write.dummy import DummyPart, dummy_pdf, refuse_other_files, write_dummy
from imposer.write.dummy.lines import side_lines
from tests.jobs import a_job
from tests.write.dummies import badges_on, numbers_on, page_size, pages_of, written_on

JOBS = {
    "the demo": (16, {}),
    "on A4, fed long edge, tumbled": (8, {"trim": (105, 148), "sheet": "A4", "lead": "long edge", "turn": "tumble"}),
    "gathered, read from the right": (
        28, {"trim": (105, 148), "sheet": "A4", "style": "gathered", "per_signature": 2, "reading": "right-to-left"},
    ),
    "several copies on a sheet": (4, {"trim": (90, 130), "bleed": 3}),
    "a short last sheet": (12, {"trim": (105, 148)}),
    "wide pages": (8, {"trim": (190, 130), "turn": "tumble"}),
}  # fmt: skip


def drawn(pages, *, scheme=None, paper=None, **changes):
    job = a_job(**changes)
    if scheme:
        job = replace(job, binding=replace(job.binding, scheme=fold_by_id(scheme)))
    imposition = impose(job, pages)
    return imposition, dummy_pdf([DummyPart(title=job.title, imposition=imposition)], paper)


def faces(imposition):
    return [sheet.face(side) for sheet in imposition.sheets for side in SIDES]


def inside(box, at):
    return box.x0 < at.x < box.x1 and box.y0 < at.y < box.y1


@pytest.mark.parametrize("name", JOBS)
def test_every_page_number_stands_on_its_panel_head_up(name):
    pages, changes = JOBS[name]
    imposition, pdf = drawn(pages, **changes)
    sides = pages_of(pdf)
    assert len(sides) == 2 * len(imposition.sheets)
    for page, face in zip(sides, faces(imposition), strict=True):
        assert page_size(page) == pytest.approx((imposition.layout.size.width, imposition.layout.size.height), abs=0.1)
        numbers = numbers_on(page)
        wanted = [panel for panel in face.panels if panel.page is not None]
        assert sorted(int(n.text) for n in numbers) == sorted(panel.page for panel in wanted)
        for panel in wanted:
            (number,) = [n for n in numbers if inside(panel.trim, n)]
            assert int(number.text) == panel.page
            assert number.turn == panel.rotation
            assert number.size > 0.2 * min(panel.trim.width, panel.trim.height)


@pytest.mark.parametrize("name", ["the demo", "wide pages"])
def test_scaled_to_an_office_sheet_both_sides_still_fall_on_each_other(name):
    pages, changes = JOBS[name]
    imposition, pdf = drawn(pages, paper=Size(210, 297), **changes)
    sheet = imposition.layout.size
    for page, face in zip(pages_of(pdf), faces(imposition), strict=True):
        width, height = page_size(page)
        assert sorted((width, height)) == pytest.approx([210, 297], abs=0.1)
        scale = min((width - 10) / sheet.width, (height - 10) / sheet.height)
        left, below = (width - scale * sheet.width) / 2, (height - scale * sheet.height) / 2
        for panel in face.panels:
            number = next(n for n in numbers_on(page) if int(n.text) == panel.page)
            x0, x1 = (left + scale * x for x in (panel.trim.x0, panel.trim.x1))
            y0, y1 = (below + scale * y for y in (panel.trim.y0, panel.trim.y1))
            assert x0 < number.x < x1
            assert y0 < number.y < y1
    text = pages_of(pdf)[0].extract_text()
    assert f"{scale * 100:.1f} %" in " ".join(text.split())


def test_a_sheet_that_fits_the_office_sheet_is_not_scaled():
    _, pdf = drawn(8, paper=Size(297, 420))
    assert "Drawn at" not in pages_of(pdf)[0].extract_text()


def test_the_printer_is_asked_to_turn_the_paper_the_right_way():
    # The same pieces, flipped about the other line: what a tumble mirrors left to right, a turn mirrors top to bottom.
    for turn, asked in (("turn", "/DuplexFlipLongEdge"), ("tumble", "/DuplexFlipShortEdge")):
        _, pdf = drawn(8, turn=turn)
        asks = pypdf.PdfReader(BytesIO(pdf)).trailer["/Root"]["/ViewerPreferences"]
        assert asks["/Duplex"] == asked
        assert asks["/PrintScaling"] == "/None"


# --- folded by hand -------------------------------------------------------------------------------------------------


def on_back(box, imposition):
    """Where a box of the front is seen from the back: the paper is turned over about the line the printer is told."""
    size, layout = imposition.layout.size, imposition.layout
    about_upright = (layout.flip == "tumble") == (layout.lead == "left")
    return box.mirrored_x(size.width) if about_upright else box.mirrored_y(size.height)


@pytest.mark.parametrize(
    ("pages", "changes"),
    [
        (8, {}), (16, {}), (16, {"turn": "tumble"}), (16, {"lead": "long edge", "sheet": "A4", "trim": (105, 148)}),
        (8, {"trim": (190, 130)}),
    ],
)  # fmt: skip
def test_cut_folded_once_and_nested_by_hand_it_reads_from_1_to_the_end(pages, changes):
    imposition, pdf = drawn(pages, **changes)
    sides = pages_of(pdf)
    pieces = {}
    for sheet in range(len(imposition.sheets)):
        front, back = numbers_on(sides[2 * sheet]), numbers_on(sides[2 * sheet + 1])
        named = [w for w in written_on(sides[2 * sheet]) if w.text.startswith("piece ")]
        for slot in imposition.layout.slots:
            up = [n for n in front if inside(slot, n)]
            down = [n for n in back if inside(on_back(slot, imposition), n)]
            if not up:
                continue
            left, right = sorted(up, key=lambda n: across(n))
            # Seen from the back, heads up, left and right have changed places.
            behind_right, behind_left = sorted(down, key=lambda n: across(n))
            (badge,) = [b for b in badges_on(sides[2 * sheet]) if inside(slot, b)]
            assert badge.text == "1M"
            label = next(w for w in named if inside(slot, w))
            number = int(label.text.split()[1])
            pieces[number] = [right, behind_right], [behind_left, left]
    read = []
    for number in sorted(pieces, reverse=True):
        before, after = pieces[number]
        read = [*before, *read, *after]
    assert [int(n.text) for n in read] == list(range(1, pages + 1))


def across(number):
    """How far right a number stands when the sheet is held so that it can be read."""
    return {0: number.x, 90: number.y, 180: -number.x, 270: -number.y}[number.turn]


#: The folds of a right-angle signature of 16 pages, front up: V1/2U, H1/2U, V1/4D (CIP4, XJDF 2.2, Table E.5, F16-6).
def fold_sixteen(cells):
    """Fold a grid of (front, back) by hand, 4 columns of 2 rows; column 0 left, row 0 at the bottom."""
    stacks = {place: [(place, True)] for place in cells}
    for axis, at, over in (("V", 2, True), ("H", 1, True), ("V", 1, False)):
        along = 0 if axis == "V" else 1
        moved = {}
        for place, stack in stacks.items():
            if place[along] >= at:
                moved[(place[0] - at, place[1]) if axis == "V" else (place[0], place[1] - at)] = stack
        for place, stack in stacks.items():
            if place[along] < at:
                turned = [(cell, not up) for cell, up in reversed(stack)]
                to = (at - 1 - place[0], place[1]) if axis == "V" else (place[0], at - 1 - place[1])
                moved[to] = turned + moved[to] if over else moved[to] + turned
        stacks = moved
    (stack,) = stacks.values()
    return [page for cell, up in stack for page in (cells[cell] if up else cells[cell][::-1])]


def test_a_sixteen_page_signature_reads_through_when_folded_by_its_numbers():
    imposition, pdf = drawn(16, scheme="F16-6", trim=(90, 130), bleed=3)
    front, back = pages_of(pdf)
    xs = sorted({round(n.x) for n in numbers_on(front)})
    ys = sorted({round(n.y) for n in numbers_on(front)})
    columns, rows = [xs[0], *[b for a, b in pairwise(xs) if b - a > 20]], [ys[0], ys[-1]]
    cells = {}
    for n in numbers_on(front):
        place = min(range(4), key=lambda c: abs(columns[c] - n.x)), min(range(2), key=lambda r: abs(rows[r] - n.y))
        (panel,) = [p for p in imposition.sheets[0].front.panels if inside(p.trim, n)]
        (behind,) = [b for b in numbers_on(back) if inside(on_back(panel.clip, imposition), b)]
        cells[place] = int(n.text), int(behind.text)
    assert fold_sixteen(cells) == list(range(1, 17))


def test_creases_are_numbered_in_order_with_valley_and_mountain_told_apart():
    _, pdf = drawn(16, scheme="F16-6", trim=(90, 130), bleed=3)
    front, back = pages_of(pdf)
    # The crease map of F16-6 worked by hand from its folds V1/2U H1/2U V1/4D, top row first, seen from the front.
    upright, level = [["3V", "1V", "3M"], ["3M", "1V", "3V"]], ["2M", "2M", "2V", "2V"]
    middle = 297 / 2
    found = badges_on(front)
    levels = sorted((b for b in found if b.text[0] == "2"), key=lambda b: b.x)
    assert [b.text for b in levels] == level
    for row, wanted in zip((True, False), upright, strict=True):
        line = sorted((b for b in found if b.text[0] != "2" and (b.y > middle) == row), key=lambda b: b.x)
        assert [b.text for b in line] == wanted
    # From the back every valley is a mountain.
    swapped = sorted(b.text.translate(str.maketrans("VM", "MV")) for b in badges_on(back))
    assert swapped == sorted(b.text for b in found)


# --- leaflets and cards ----------------------------------------------------------------------------------------------


def a_leaflet(style, pages, *, trim=(80, 180), untrimmed=False, sheet="A3", **form):
    job = a_job(trim=trim, style=style, sheet=sheet)
    job = replace(
        job,
        binding=replace(job.binding, form=FormSpec(**form)),
        sheet=replace(job.sheet, untrimmed=untrimmed),
    )
    (part,) = lay_parts(job, parts_without_art(job, pages))
    return part.imposition, dummy_pdf([DummyPart(title=job.title, imposition=part.imposition)])


LEAFLETS = {
    "mini": (8, {"trim": (70, 100), "sheet": "A4"}),
    "mini with a poster": (9, {"trim": (70, 100), "sheet": "A4", "poster": True}),
    "accordion": (8, {}),
    "accordion on one side": (4, {"sides": 1}),
    "accordion joined from two sheets": (12, {"trim": (105, 148)}),
    "roll": (8, {}),
    "letter": (6, {}),
    "gate": (6, {}),
    "double-gate": (8, {}),
    "double-parallel": (8, {}),
    "french": (4, {}),
    "flat": (2, {}),
}


@pytest.mark.parametrize("name", LEAFLETS)
def test_every_form_shows_its_pages_head_up_and_its_creases_on_both_sides(name):
    pages, form = LEAFLETS[name]
    imposition, pdf = a_leaflet(name.split(maxsplit=1)[0], pages, **form)
    shown = set()
    for page, face in zip(pages_of(pdf), faces(imposition), strict=True):
        numbers = numbers_on(page)
        wanted = [panel for panel in face.panels if panel.page is not None]
        assert sorted(int(n.text) for n in numbers) == sorted(panel.page for panel in wanted)
        for panel in wanted:
            (number,) = [n for n in numbers if inside(panel.trim, n)]
            assert (int(number.text), number.turn) == (panel.page, panel.rotation)
        shown |= {panel.page for panel in wanted}
    assert shown == set(range(1, pages + 1))
    for front, back in zip(pages_of(pdf)[::2], pages_of(pdf)[1::2], strict=True):
        swapped = sorted(b.text.translate(str.maketrans("VM", "MV")) for b in badges_on(back))
        assert swapped == sorted(b.text for b in badges_on(front))


@pytest.mark.parametrize(
    ("style", "pages", "creases"),
    # Folded by hand with the outside up: a letter and a roll turn every crease away; a zigzag's last is turned away and
    # the ones before it alternate; a gate's two wings turn away.
    [
        ("letter", 6, {"1M", "2M"}),
        ("roll", 8, {"1M", "2M", "3M"}),
        ("accordion", 8, {"1M", "2V", "3M"}),
        ("gate", 6, {"1M", "2M"}),
    ],
)
def test_creases_of_leaflets_are_told_apart(style, pages, creases):
    imposition, pdf = a_leaflet(style, pages)
    found = [badge.text for badge in badges_on(pages_of(pdf)[0])]
    assert set(found) == creases
    assert len(found) == len(creases) * len(imposition.layout.slots)


def test_a_mini_zine_is_laid_out_as_ever_and_slit_over_its_middle_columns():
    # The usual layout of the one-sheet zine (common practice): 5 4 3 2 upside down over 6 7 8 1; the slit lies on the
    # long middle line over the two inner columns.
    _imposition, pdf = a_leaflet("mini", 8, trim=(74.25, 105), sheet="A4", untrimmed=True)
    front = pages_of(pdf)[0]
    rows = {}
    for n in numbers_on(front):
        rows.setdefault(n.turn, []).append(n)
    assert [n.text for n in sorted(rows[180], key=lambda n: n.x)] == ["5", "4", "3", "2"]
    assert [n.text for n in sorted(rows[0], key=lambda n: n.x)] == ["6", "7", "8", "1"]
    assert min(n.y for n in rows[180]) > 105 > max(n.y for n in rows[0])
    tones, scale = rendered(pdf, 0, 144), 144 / 25.4
    middle = round(105 * scale)
    line = tones[middle - 1 : middle + 2, :].mean(axis=0) > 200
    inner = line[round(76 * scale) : round(221 * scale)]
    assert inner.mean() > 0.9
    assert line[: round(73 * scale)].mean() < 0.9
    assert any(w.text == "slit" for w in written_on(front))
    assert not any(w.text == "cut" for w in written_on(front))
    # Away from the slit: leaves are folded outwards (M), openings inwards (V), and nothing has an order.
    assert {b.text for b in badges_on(front)} == {"V", "M"}


def test_a_strip_joined_from_two_sheets_has_a_flap_to_glue():
    _, pdf = a_leaflet("accordion", 12, trim=(105, 148))
    first, last = pages_of(pdf)[0], pages_of(pdf)[2]
    assert "Glue the next piece onto each hatched flap" in " ".join(first.extract_text().split())
    names = [{w.text for w in written_on(page)} & {"glue", "cut off"} for page in (first, last)]
    # Nothing is glued onto the last piece.
    assert names == [{"glue"}, {"cut off"}]


# --- pixels ---------------------------------------------------------------------------------------------------------


def rendered(pdf, index, ppi=72):
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[index]
        picture = page.render(scale=ppi / 72, grayscale=True).to_numpy()
        page.close()
    return 255 - picture.reshape(picture.shape[:2]).astype(int)


def along_edge(tones, panel, sheet, ppi=72, deep=3.0):
    """The mean tone of the outermost strip of a panel along its head, spine-neutral: (head, foot)."""
    scale = ppi / 25.4
    x0, x1 = (round(x * scale) for x in (panel.trim.x0, panel.trim.x1))
    y0, y1 = (round((sheet.height - y) * scale) for y in (panel.trim.y1, panel.trim.y0))
    upright = np.rot90(tones[y0:y1, x0:x1], -panel.rotation // 90)
    third = upright.shape[1] // 3
    strip = round(deep * scale)
    return upright[1:strip, third:-third].mean(), upright[-strip:-1, third:-third].mean()


@pytest.mark.parametrize("name", ["the demo", "on A4, fed long edge, tumbled", "wide pages"])
def test_the_bar_is_at_the_head_of_every_page(name):
    pages, changes = JOBS[name]
    imposition, pdf = drawn(pages, **changes)
    for index, face in enumerate(faces(imposition)):
        tones = rendered(pdf, index)
        for panel in face.panels:
            head, foot = along_edge(tones, panel, imposition.layout.size)
            assert head > 4 * foot
            assert head > 80


def test_strips_that_are_trimmed_open_are_hatched_and_named():
    _, pdf = drawn(16, scheme="F16-6", trim=(90, 130), bleed=3)
    words = pages_of(pdf)[0].extract_text()
    assert words.count("trim open") >= 5
    assert "trim open" not in drawn(16)[1].decode("latin-1")


def test_a_mountain_badge_is_dark_and_a_valley_badge_is_light():
    imposition, pdf = drawn(16, scheme="F16-6", trim=(90, 130), bleed=3)
    tones, scale = rendered(pdf, 0, 144), 144 / 25.4
    for badge in badges_on(pages_of(pdf)[0]):
        x, y = round(badge.x * scale), round((imposition.layout.size.height - badge.y) * scale)
        ink = tones[y - 12 : y + 13, x - 12 : x + 13].mean()
        assert (ink > 128) == badge.text.endswith("M"), badge


@pytest.mark.parametrize(
    ("kind", "from_spine", "from_head"),
    # Four holes of a stab binding of A5: 10 mm from spine, head and foot, the rest evenly between. Staples of a saddle
    # stitch: in the fold, at a quarter and three quarters of the height. Both common practice, no source.
    [("stab", 10.0, (10.0, 73.33, 136.67, 200.0)), ("saddle", 0.0, (52.5, 157.5))],
)
def test_holes_and_staples_are_marked_where_they_go(kind, from_spine, from_head):
    style = "saddle" if kind == "saddle" else "gathered"
    job = a_job(trim=(148, 210), style=style)
    job = replace(job, binding=replace(job.binding, stitching=StitchSpec(kind=kind)))
    imposition = impose(job, 8)
    held = stitching_of(job.binding, job.page.trim)
    bare, marked = (dummy_pdf([DummyPart(title="T", imposition=imposition, stitching=each)]) for each in (None, held))
    added = np.abs(rendered(marked, 0, 144) - rendered(bare, 0, 144))
    scale = 144 / 25.4
    right = next(p for p in imposition.sheets[0].front.panels if p.page == 1)
    assert right.rotation == 0
    for down in from_head:
        x, y = (right.trim.x0 + from_spine) * scale, (imposition.layout.size.height - right.trim.y1 + down) * scale
        near = added[round(y) - 8 : round(y) + 9, round(x) - 8 : round(x) + 9]
        assert near.max() > 100, down
    assert ("Mind the awl" if kind == "stab" else "Mind your fingers") in pages_of(marked)[0].extract_text()


# --- whatever comes -------------------------------------------------------------------------------------------------


@settings(max_examples=10, deadline=None, derandomize=True)
@given(
    pages=st.integers(1, 40),
    width=st.integers(60, 140),
    height=st.integers(60, 200),
    bleed=st.sampled_from([0, 3]),
    turn=st.sampled_from(["turn", "tumble"]),
    lead=st.sampled_from(["short edge", "long edge"]),
    scheme=st.sampled_from([None, "F8-7"]),
    paper=st.sampled_from([None, Size(210, 297), Size(215.9, 279.4)]),
)
def test_any_booklet_gets_every_number_once_and_names_that_do_not_meet(
    pages, width, height, bleed, turn, lead, scheme, paper
):
    try:
        imposition, pdf = drawn(
            pages, trim=(width, height), bleed=bleed, turn=turn, lead=lead, scheme=scheme, paper=paper
        )
    except ImposerError:
        return
    for page, face in zip(pages_of(pdf), faces(imposition), strict=True):
        found = numbers_on(page)
        assert sorted(int(n.text) for n in found) == sorted(p.page for p in face.panels if p.page is not None)
        badges = badges_on(page)
        assert all(abs(b.x - n.x) > 2 or abs(b.y - n.y) > 2 for b in badges for n in found)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    scheme=st.sampled_from([None, "F8-7", "F16-6", "F16-7", "F16-13", "F32-9"]),
    lead=st.sampled_from(["short edge", "long edge"]),
    turn=st.sampled_from(["turn", "tumble"]),
    bleed=st.sampled_from([0, 2, 5]),
    side=st.sampled_from(SIDES),
)
def test_creases_lie_on_the_folds_of_the_layout_and_leave_none_out(scheme, lead, turn, bleed, side):
    job = a_job(trim=(40, 60), bleed=bleed, lead=lead, turn=turn, creep=1.5)
    if scheme:
        job = replace(job, binding=replace(job.binding, scheme=fold_by_id(scheme)))
    imposition = impose(job, 32)
    sheet = imposition.sheets[0]
    lines = side_lines(imposition, sheet, side)

    def on(crease, fold):
        across = "x" if fold.x0 == fold.x1 else "y"
        ends = [getattr(line, f"{across}{end}") for line in (crease, fold) for end in (0, 1)]
        return max(ends) - min(ends) < 0.001

    for crease in lines.creases:
        assert any(on(crease.line, fold) for fold in sheet.face(side).folds)
    # Every border between two cells is creased once, by the grid alone.
    scheme = imposition.booklet.scheme
    each = (scheme.columns - 1) * scheme.rows + scheme.columns * (scheme.rows - 1)
    laid = len({(panel.piece, panel.copy) for panel in sheet.front.panels if panel.piece})
    assert len(lines.creases) == each * laid
    assert not lines.plain_folds or laid < len(imposition.layout.slots)


def test_a_side_that_does_not_match_its_scheme_is_drawn_all_the_same():
    imposition, _ = drawn(16)
    first = imposition.sheets[0]
    odd = replace(first, front=replace(first.front, panels=first.front.panels[:3]))
    pdf = dummy_pdf([DummyPart(title="Odd", imposition=replace(imposition, sheets=(odd, *imposition.sheets[1:])))])
    assert len(numbers_on(pages_of(pdf)[0])) == 3
    assert len(numbers_on(pages_of(pdf)[1])) == 4


def test_parts_are_counted_through_and_named():
    imposition, _ = drawn(4)
    pdf = dummy_pdf([DummyPart(title="T", imposition=imposition, name=name) for name in ("cover", "body")])
    texts = [page.extract_text() for page in pages_of(pdf)]
    assert "cover · sheet 1 of 2 · front" in texts[0]
    assert "body · sheet 2 of 2 · back" in texts[3]


def test_the_same_job_gives_the_same_bytes():
    assert drawn(16)[1] == drawn(16)[1]


def test_a_title_without_end_leaves_every_number_on_its_page():
    job = a_job(title="A title that goes on and on, " * 30, trim=(60, 80), pieces=4)
    imposition = impose(job, 16)
    pdf = dummy_pdf([DummyPart(title=job.title, imposition=imposition)])
    for page, face in zip(pages_of(pdf), faces(imposition), strict=True):
        for panel in face.panels:
            assert any(inside(panel.trim, n) and int(n.text) == panel.page for n in numbers_on(page))


def test_the_library_offers_what_the_commands_do(tmp_path):
    import imposer
    from tests.folders import job_folder

    job = imposer.load_job(job_folder(tmp_path / "job", pages=1, second=False))
    parts = imposer.lay_out(job, 8)
    imposer.write_dummy(tmp_path / "d.pdf", [DummyPart(title=job.title, imposition=part.imposition) for part in parts])
    assert imposer.write_page_guides(tmp_path / "guides", job, parts) > 0
    assert (tmp_path / "d.pdf").is_file()


# --- files ----------------------------------------------------------------------------------------------------------


def test_a_dummy_replaces_a_dummy_and_nothing_else(tmp_path):
    imposition, _ = drawn(8)
    part = DummyPart(title="Été · Ночь", imposition=imposition)
    write_dummy(tmp_path / "dummy.pdf", [part])
    refuse_other_files(tmp_path / "dummy.pdf")
    for name, content in (("notes.txt", b"words"), ("art.pdf", b"%PDF-1.4\nbroken")):
        (tmp_path / name).write_bytes(content)
        with pytest.raises(ImposerError, match="is no dummy of this program"):
            refuse_other_files(tmp_path / name)
    with pytest.raises(ImposerError, match="no file that could be replaced"):
        refuse_other_files(tmp_path)


def test_a_dummy_that_cannot_be_written_leaves_nothing(tmp_path):
    (tmp_path / "in the way").write_bytes(b"")
    imposition, _ = drawn(4)
    with pytest.raises(ImposerError, match="cannot be written"):
        write_dummy(tmp_path / "in the way" / "dummy.pdf", [DummyPart(title="T", imposition=imposition)])
    assert [path.name for path in tmp_path.iterdir()] == ["in the way"]
