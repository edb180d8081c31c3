"""Page guides against zones worked out here, and against the libraries that read PDF, PNG and SVG."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree

import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.errors import ImposerError
from imposer.findings import SIDES
from imposer.geometry import Box
from imposer.impose_parts import lay_parts
from imposer.job.binding import fold_by_id
from imposer.job.model import StitchSpec
from imposer.pages.parts import parts_without_art
from imposer.sheet.page_edges import page_leaves
from imposer.write.page_guide import page_guides, write_page_guides
from imposer.write.page_guide.layers import guide_pdf, guide_png, guide_svg
from imposer.write.page_guide.shapes import page_guide, spread_guide
from imposer.write.page_guide.words import artist_words, zone_words
from tests.jobs import a_job

MM = 25.4 / 72
JOBS = {
    "the demo": (16, {}),
    "fed long edge, tumbled": (8, {"trim": (105, 148), "sheet": "A4", "lead": "long edge", "turn": "tumble"}),
    "a bleed, one piece a side": (8, {"trim": (148, 210), "bleed": 3}),
    "several copies on a sheet": (4, {"trim": (105, 148)}),
    "pages to the edge of the machine": (4, {"trim": (205, 286), "marks": ()}),
    "read from the right": (12, {"reading": "right-to-left"}),
    "gathered": (16, {"style": "gathered", "per_signature": 2}),
}  # fmt: skip


def laid(pages, *, scheme=None, **changes):
    job = a_job(**changes)
    if scheme:
        job = replace(job, binding=replace(job.binding, scheme=fold_by_id(scheme)))
    return job, lay_parts(job, parts_without_art(job, pages))


def on_sheet(panel, x, y):
    """Where a point of a page comes to lie on the sheet: a quarter turn by hand, four cases."""
    trim = panel.trim
    return {
        0: (trim.x0 + x, trim.y0 + y),
        90: (trim.x1 - y, trim.y0 + x),
        180: (trim.x1 - x, trim.y1 - y),
        270: (trim.x0 + y, trim.y1 - x),
    }[panel.rotation]


def machine_zones(job, layout):
    """What the shop's numbers mean on a sheet, from its edges: (printable, careful, roller) as tests of a point."""
    machine, margins = job.shop.machine, job.shop.machine.margins
    ends = (max(margins.lead, margins.tail),) * 2 if layout.flip == "tumble" else (margins.lead, margins.tail)
    width, height = layout.size.width, layout.size.height
    feed = 0 if layout.lead == "left" else 1
    length, across = (width, height) if feed == 0 else (height, width)

    def printable(p):
        return ends[0] < p[feed] < length - ends[1] and margins.sides < p[1 - feed] < across - margins.sides

    def careful(p):
        near = machine.careful
        return near < p[0] < width - near and near < p[1] < height - near

    def roller(p):
        return abs(p[1 - feed] - across / 2) < machine.roller_track / 2

    return printable, careful, roller


def holds(box, x, y):
    return box.x0 < x < box.x1 and box.y0 < y < box.y1


@pytest.mark.parametrize("name", JOBS)
def test_zones_on_a_page_are_the_sheets_zones_where_the_page_lies(name):
    pages, changes = JOBS[name]
    job, parts = laid(pages, **changes)
    layout = parts[0].imposition.layout
    printable, careful, roller = machine_zones(job, layout)
    lying = {}
    for sheet in parts[0].imposition.sheets:
        for side in SIDES:
            for panel in sheet.face(side).panels:
                lying.setdefault(panel.page, []).append(panel)
    groups, _ = page_guides(parts)
    assert sorted(n for g in groups for n in g.numbers) == [p for p in sorted(n for n in lying if n) if p]
    for group in groups:
        zones = group.zones
        whole = zones.whole
        for page in group.numbers:
            # Odd steps, so that no point lies on a border; the first page of a group stands for all of them to 0.1 mm.
            for x in np.arange(whole.x0 + 0.37, whole.x1, 3.61):
                for y in np.arange(whole.y0 + 0.41, whole.y1, 4.73):
                    points = [on_sheet(panel, x, y) for panel in lying[page]]
                    near = min(abs(v - w) for box in _boxes(zones) for v, w in _edges(box, x, y)) < 0.11
                    if near:
                        continue
                    limit, heed = zones.print_limit or whole, zones.careful or whole
                    assert holds(limit, x, y) == all(map(printable, points)), (page, x, y)
                    assert holds(heed, x, y) == all(map(careful, points)), (page, x, y)
                    assert any(holds(t, x, y) for t in zones.tracks) == any(map(roller, points)), (page, x, y)


def _boxes(zones):
    return [zones.whole, *filter(None, (zones.print_limit, zones.careful)), *zones.tracks]


def _edges(box, x, y):
    return ((x, box.x0), (x, box.x1), (y, box.y0), (y, box.y1))


def test_the_demos_roller_runs_along_the_spines():
    # A3 fed short edge first, spines on the sheet's middle line, 297 / 2 mm up: half of 60 mm falls on each page,
    # and as much more as creep has moved the page over its fold. Leaf 2 of a nest stands out by one caliper, 0.11 mm.
    _, parts = laid(16)
    groups, _ = page_guides(parts)
    by_page = {page: group.zones for group in groups for page in group.numbers}
    assert by_page[1].tracks == (Box(0, 0, 30, 200),)
    assert by_page[3].creep == pytest.approx(0.11)
    assert by_page[3].tracks[0].x1 == pytest.approx(30.11, abs=0.001)
    assert by_page[4].tracks[0].x0 == pytest.approx(140 - 30.11, abs=0.001)
    # Type keeps 5 mm from cut and fold, and the fold has come 0.11 mm into the page.
    assert by_page[1].text == Box(5, 5, 135, 195)
    assert by_page[3].text.x0 == pytest.approx(5.11)
    assert by_page[3].text.x1 == pytest.approx(135)
    assert by_page[4].text.x1 == pytest.approx(140 - 5.11)


def test_what_the_machine_cannot_print_is_hatched_from_where_it_begins():
    # A sheet whose safe area ends 20 mm into the pages at the lead edge, as on a whole sheet that is not trimmed.
    job, parts = laid(4, trim=(140, 200), pieces=1, lead="long edge")
    imposition = parts[0].imposition
    (panel,) = [p for p in imposition.sheets[0].front.panels if p.page == 1]
    safe = replace(imposition.layout.safe, y0=panel.trim.y0 + 20)
    parts = (replace(parts[0], imposition=replace(imposition, layout=replace(imposition.layout, safe=safe))),)
    groups, _ = page_guides(parts)
    (group,) = [g for g in groups if 1 in g.numbers]
    assert panel.rotation == 0
    assert group.zones.print_limit == Box(0, 20, 140, 200)
    guide = page_guide(group.zones, "page 1", job.title, zone_words(job))
    with Image.open(BytesIO(guide_png(guide))) as picture:
        black = ~np.asarray(picture.convert("L")).astype(bool)
    down = round((200 - 20) * 600 / 25.4)
    # Left of the text area there are hatches alone: 0.15 mm at 45 degrees every 1.6 mm is 13 % of black, and the
    # roller's, every 9 mm, are 2 %.
    beyond, above = black[down + 30 : -30, 20:100].mean(), black[down - 800 : down - 30, 20:100].mean()
    assert beyond > 0.1 > 0.03 > above
    assert "the machine prints nothing in the hatched part" in {text.text for text in guide.texts}


def test_creep_left_out_is_told_at_the_fore_edge():
    _, parts = laid(32, creep="none", trim=(105, 148), caliper=0.1)
    groups, _ = page_guides(parts)
    by_page = {page: group.zones for group in groups for page in group.numbers}
    # 32 pages are 8 pieces; the innermost stands out by 7 calipers.
    assert by_page[16].creep == 0
    assert by_page[16].pushed_out == pytest.approx(0.7)
    assert by_page[16].spine == "right"
    assert by_page[16].text.x0 == pytest.approx(5.7)
    assert by_page[16].text.x1 == pytest.approx(100)
    assert by_page[1].pushed_out == 0


def test_the_margin_of_a_stab_binding_is_kept_clear():
    job = a_job(trim=(148, 210), style="gathered")
    job = replace(job, binding=replace(job.binding, stitching=StitchSpec(kind="stab", line=12.0)))
    groups, _ = page_guides(lay_parts(job, parts_without_art(job, 8)))
    zones = next(group.zones for group in groups if 1 in group.numbers)
    # The margin reaches as far beyond the line of the holes as the spine lies before it (common practice, no source).
    assert zones.binding == 24
    assert zones.text == Box(24, 5, 143, 205)
    guide = page_guide(zones, "page 1", job.title, zone_words(job))
    assert "binding: keep the inner 24 mm clear" in {text.text for text in guide.texts}


def test_pages_share_a_guide_only_if_their_zones_are_the_same():
    _, parts = laid(16)
    groups, spreads = page_guides(parts)
    assert sorted(n for g in groups for n in g.numbers) == list(range(1, 17))
    assert len({g.zones.key() for g in groups}) == len(groups)
    assert len({g.name for g in (*groups, *spreads)}) == len(groups) + len(spreads)
    assert sorted(pair for s in spreads for pair in s.numbers) == [(n, n + 1) for n in range(2, 16, 2)]


def test_a_booklet_read_from_the_right_has_its_even_pages_at_the_right():
    _, parts = laid(8, reading="right-to-left")
    _, spreads = page_guides(parts)
    assert sorted(pair for s in spreads for pair in s.numbers) == [(3, 2), (5, 4), (7, 6)]


def test_one_guide_does_for_all_pages_of_a_signature_without_zones():
    # Small pages in the middle of a large sheet, without creep, and no roller: only left and right differ.
    job, _ = laid(8, trim=(90, 130), creep="none", caliper=0.005)
    shop = replace(job.shop, machine=replace(job.shop.machine, roller_track=0.0, careful=0.0))
    job = replace(job, shop=shop)
    groups, spreads = page_guides(lay_parts(job, parts_without_art(job, 8)))
    assert [g.numbers for g in groups] == [(1, 3, 5, 7), (2, 4, 6, 8)]
    assert len(spreads) == 1


# --- the layers -----------------------------------------------------------------------------------------------------


def a_guide(which="page", **changes):
    job, parts = laid(8, **{"trim": (148, 210), "bleed": 3, **changes})
    groups, spreads = page_guides(parts)
    if which == "page":
        return page_guide(groups[0].zones, "page 1", job.title, zone_words(job))
    return spread_guide(spreads[0].left, spreads[0].right, "spread 2–3", job.title, zone_words(job))


@pytest.mark.parametrize(("which", "size"), [("page", (154, 216)), ("spread", (302, 216))])
def test_sizes_are_trim_and_bleed(which, size):
    guide = a_guide(which)
    page = pypdf.PdfReader(BytesIO(guide_pdf(guide))).pages[0]
    assert [float(v) * MM for v in page.mediabox] == pytest.approx([0, 0, *size], abs=0.1)
    assert [float(v) * MM for v in page.bleedbox] == pytest.approx([0, 0, *size], abs=0.1)
    assert [float(v) * MM for v in page.trimbox] == pytest.approx([3, 3, size[0] - 3, size[1] - 3], abs=0.1)
    with Image.open(BytesIO(guide_png(guide))) as picture:
        assert picture.size == tuple(round(side * 600 / 25.4) for side in size)
        assert picture.info["dpi"] == pytest.approx((600, 600), abs=0.01)
        assert picture.mode == "1"
    svg = ElementTree.fromstring(guide_svg(guide))
    assert (svg.get("width"), svg.get("height")) == (f"{size[0]}mm", f"{size[1]}mm")
    assert svg.get("viewBox") == f"0 0 {size[0]} {size[1]}"


def test_a_large_guide_is_coarser_rather_than_too_large_for_memory():
    guide = a_guide()
    huge = replace(guide, size=replace(guide.size, width=1500.0, height=1500.0))
    with Image.open(BytesIO(guide_png(huge))) as picture:
        assert picture.info["dpi"] == pytest.approx((150, 150), abs=0.05)


def ink(pdf, ppi):
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[0]
        tones = page.render(scale=ppi / 72, grayscale=True).to_numpy()
        page.close()
    return 255 - tones.reshape(tones.shape[:2]).astype(int)


@pytest.mark.parametrize("which", ["page", "spread"])
def test_png_and_pdf_show_the_same_lines_and_words(which):
    guide = a_guide(which)
    with Image.open(BytesIO(guide_png(guide))) as picture:
        png = ~np.asarray(picture.convert("L")).astype(bool)
    pdf = ink(guide_pdf(guide), 600) > 128
    high, wide = min(png.shape[0], pdf.shape[0]), min(png.shape[1], pdf.shape[1])
    png, pdf = png[:high, :wide], pdf[:high, :wide]
    # A pixel or two of rounding apart: what one draws lies within 4 pixels (0.17 mm) of what the other draws.
    assert pdf.any()
    assert (png & ~spread_out(pdf, 4)).sum() < 0.005 * png.sum()
    assert (pdf & ~spread_out(png, 4)).sum() < 0.005 * pdf.sum()


def spread_out(mask, by):
    found = mask.copy()
    for axis in (0, 1):
        found = np.logical_or.reduce([np.roll(found, step, axis) for step in range(-by, by + 1)])
    return found


def test_the_trim_is_drawn_where_it_is():
    guide = a_guide()
    with Image.open(BytesIO(guide_png(guide))) as picture:
        black = ~np.asarray(picture.convert("L")).astype(bool)
    x, y = round(3 * 600 / 25.4), round(3 * 600 / 25.4)
    assert black[y + 20 : -y - 20, x - 2 : x + 2].mean() > 0.95
    assert black[y - 2 : y + 2, x + 20 : -x - 20].mean() > 0.95


def test_svg_and_pdf_say_the_same_words_and_names_stay_text():
    guide = a_guide(title='</text><script>alert("x")</script> & Söhne')
    svg = ElementTree.fromstring(guide_svg(guide))
    name = "{http://www.w3.org/2000/svg}"
    said = [each.text for each in svg.iter(f"{name}text")]
    assert said == [text.text for text in guide.texts]
    assert not list(svg.iter(f"{name}script"))
    assert '</text><script>alert("x")</script> & Söhne' in said
    pdf = pypdf.PdfReader(BytesIO(guide_pdf(guide))).pages[0].extract_text()
    for words in ("trim 148 × 210 mm", "head", "spine", "bleed 3 mm, cut away"):
        assert words in said
        assert words in pdf


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    width=st.integers(25, 140),
    height=st.integers(25, 190),
    bleed=st.sampled_from([0, 1, 5]),
    pages=st.integers(1, 24),
    scheme=st.sampled_from([None, "F8-7"]),
    title=st.text(max_size=40),
)
def test_any_page_gets_a_guide_in_all_three_forms(width, height, bleed, pages, scheme, title):
    try:
        job, parts = laid(pages, trim=(width, height), bleed=bleed, scheme=scheme)
    except ImposerError:
        return
    groups, _ = page_guides(parts)
    guide = page_guide(groups[-1].zones, "pages", title, zone_words(job))
    whole = Box(0, 0, width + 2 * bleed, height + 2 * bleed).grown(0.01)
    assert all(
        whole.contains(Box(min(a.x0, a.x1), min(a.y0, a.y1), max(a.x0, a.x1), max(a.y0, a.y1))) for a in guide.lines
    )
    assert len(pypdf.PdfReader(BytesIO(guide_pdf(guide))).pages) == 1
    ElementTree.fromstring(guide_svg(guide))
    with Image.open(BytesIO(guide_png(guide))) as picture:
        assert picture.size == tuple(round(side * 600 / 25.4) for side in (width + 2 * bleed, height + 2 * bleed))


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("scheme", [None, "F8-7", "F16-6"])
def test_the_spine_of_a_guide_is_where_the_page_is_bound(name, scheme):
    pages, changes = JOBS[name]
    try:
        _, parts = laid(pages, **changes, scheme=scheme)
    except ImposerError:
        return
    # Another module finds the bound edge for the checks; the two share nothing but the folded leaves.
    leaves = page_leaves(parts[0].imposition.booklet)
    edges = {"left": "left", "right": "right", "head": "top", "foot": "bottom"}
    groups, _ = page_guides(parts)
    for group in groups:
        for page in group.numbers:
            assert edges[group.zones.spine] == leaves[page].spine


def test_bleed_that_a_fold_takes_is_hatched_on_a_page_and_not_in_a_spread():
    assert "no bleed over the fold" in {text.text for text in a_guide().texts}
    assert "no bleed over the fold" not in {text.text for text in a_guide("spread").texts}


@pytest.mark.parametrize("name", JOBS)
def test_no_words_meet_other_words_or_lines_but_hatches_make_room(name):
    pages, changes = JOBS[name]
    job, parts = laid(pages, **changes)
    groups, spreads = page_guides(parts)
    guides = [page_guide(g.zones, "page", job.title, zone_words(job)) for g in groups]
    guides += [spread_guide(s.left, s.right, "spread", job.title, zone_words(job)) for s in spreads]
    for guide in guides:
        boxes = [text.box for text in guide.texts]
        assert all(not a.meets(b) for i, a in enumerate(boxes) for b in boxes[:i])
        assert all(Box(0, 0, guide.size.width, guide.size.height).contains(box) for box in boxes[2:])
        said = {text.text for text in guide.texts}
        assert "head" in said
        assert any(text.startswith("trim ") for text in said)
        assert any(text.startswith("type and small things") for text in said)
        for line in guide.lines:
            middle = (line.x0 + line.x1) / 2, (line.y0 + line.y1) / 2
            assert not any(holds(box, *middle) for box in boxes), (line, guide.title)


# --- words and files ------------------------------------------------------------------------------------------------


def test_the_words_give_the_shops_numbers():
    job, parts = laid(12, trim=(148, 210), bleed=3)
    job = replace(job, shop=replace(job.shop, machine=replace(job.shop.machine, careful=12.5, roller_track=44)))
    pages, spreads = page_guides(parts)
    words = " ".join(text for each in artist_words(job, parts, pages, spreads) for text in each.texts)
    for said in (
        "12 pages", "148 × 210 mm when trimmed; send 154 × 216 mm", "3638 × 5102 pixels", "lamp black",
        "One file for each ink", "100 % black prints the ink at full tone", "70 to 80 %", "600 pixels an inch",
        "5 mm from every cut and fold", "The feed roller marks wet ink",
    ):  # fmt: skip
        assert said in words


def test_without_bleed_nothing_may_run_to_the_edge():
    job, parts = laid(8)
    words = " ".join(t for each in artist_words(job, parts, *page_guides(parts)) for t in each.texts)
    assert "There is no bleed: nothing may run to the edge." in words


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("guides") / "page-guides"
    job, parts = laid(8, trim=(60, 80), scheme="F8-7")
    count = write_page_guides(folder, job, parts)
    return folder, count


def test_the_index_names_every_file_and_every_page(written):
    folder, count = written
    index = json.loads((folder / "page-guides.json").read_text(encoding="utf-8"))
    assert len(index["pages"]) + len(index["spreads"]) == count
    named = {name for each in (*index["pages"], *index["spreads"]) for name in each["files"]}
    extra = {"page-guides.json", "what-to-send.pdf", "what-to-send.txt"}
    assert {path.name for path in folder.iterdir()} == named | extra
    assert sorted(page for each in index["pages"] for page in each["pages"]) == list(range(1, 9))


def test_the_same_job_gives_the_same_bytes(written, tmp_path):
    job, parts = laid(8, trim=(60, 80), scheme="F8-7")
    write_page_guides(tmp_path / "again", job, parts)
    for path in written[0].iterdir():
        assert path.read_bytes() == (tmp_path / "again" / path.name).read_bytes(), path.name


def test_guides_replace_guides_and_nobody_elses_folder(tmp_path):
    job, parts = laid(4, trim=(60, 80))
    folder = tmp_path / "page-guides"
    write_page_guides(folder, job, parts)
    (folder / "left over.png").write_bytes(b"")
    write_page_guides(folder, job, parts)
    assert not (folder / "left over.png").exists()
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "letter.txt").write_text("keep", encoding="utf-8")
    with pytest.raises(ImposerError, match="somebody else's folder"):
        write_page_guides(mine, job, parts)
    assert [path.name for path in mine.iterdir()] == ["letter.txt"]
