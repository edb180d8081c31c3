"""The proof page's other views: press sheets as they run, folding, findings; and booklets of many pages."""

from __future__ import annotations

import json

import numpy as np
import pytest

from imposer.data.folds import catalogue_folds
from imposer.fold.creases import fold, scheme
from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.write.proof.jobs import bare, grain, kiss_fit, proof_of
from tests.write.proof.pages import apart, bare_view, foretold, page_box, seen, words

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)


@pytest.fixture(scope="module")
def browser():
    with Browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def booklet(tmp_path_factory):
    field, square = kiss_fit()
    lettered = bare()
    lettered[30:60, 20:280] = 255
    lettered[60:200, 20:50] = 255
    pages = {
        "lamp black": [lettered] * 8,
        "marigold": [field] * 4 + [None] * 4,
        "rose": [square, None, None, square, None, None, None, None],
    }
    return proof_of(tmp_path_factory.mktemp("sheets"), pages)


@pytest.fixture
def page(browser, booklet):
    browser.open(booklet[1])
    return browser


def test_a_sheet_shows_its_art_and_its_marks_where_the_frame_has_them(page, booklet):
    prepared, _ = booklet
    (part,) = prepared.parts
    page.click("#show-sheets")
    bare_view(page)
    left, _, _, bottom = page_box(page)
    shown = page.screenshot().astype(int)
    scale = page.run("view.scale / start.stage.density")
    frame = part.frames[1, "front"]
    paper = foretold(prepared, {"lamp black": bare()})[0, 0].astype(int)

    def at(x, y):
        return shown[round(bottom - y * scale), round(left + x * scale)]

    patches = [mark.box for mark in frame.marks if getattr(mark, "tone", 0) == 1]
    for box in patches:
        assert np.abs(at(*box.centre) - paper).max() > 20, f"no ink at the patch {box}"
    for art in frame.art:
        # The corner of the letter that every page carries, as the page is read.
        width, height = part.job.page.trim.width, part.job.page.trim.height
        px, py = 6.5, height - 7.5
        places = {0: (px, py), 90: (height - py, px), 180: (width - px, height - py), 270: (py, width - px)}
        dx, dy = places[art.rotation]
        assert at(art.trim.x0 + dx, art.trim.y0 + dy).max() < 90, f"page {art.page} does not stand as it should"
    assert len(patches) >= 3
    assert len(frame.art) == 8


def test_a_pass_stands_alone_and_sheets_turn_over(page, booklet):
    page.click("#show-sheets")
    assert words(page, "#where") == "Sheet 1 of 1, front"
    together = seen(page)
    page.run("document.querySelectorAll('input[name=pass]')[1].click()")
    page.settle()
    assert words(page, "#where").endswith(", pass 1 alone")
    first = seen(page)
    page.run("document.querySelectorAll('input[name=pass]')[2].click()")
    page.settle()
    second = seen(page)
    assert apart(first, together) > 50
    assert apart(second, together) > 50
    # More ink is nowhere lighter: all passes together are as dark as either alone, but for the rounding of codes.
    assert (together.astype(int) <= first.astype(int) + 1).all()
    assert (together.astype(int) <= second.astype(int) + 1).all()
    page.click("#forward")
    assert words(page, "#where") == "Sheet 1 of 1, back"


def test_lines_over_the_sheet_lie_where_the_plan_has_them(page, booklet):
    prepared, _ = booklet
    layout = prepared.parts[0].imposition.layout
    page.click("#show-sheets")
    safe = page.run(
        "(() => { const shape = document.querySelector('#overlay .safe');"
        " const [x, y, wide, high] = ['x', 'y', 'width', 'height'].map((key) => Number(shape.getAttribute(key)));"
        " return Affine.box(Affine.inverse(start.overlay.map), [x, y, x + wide, y + high]); })()"
    )
    assert safe == pytest.approx([layout.safe.x0, layout.safe.y0, layout.safe.x1, layout.safe.y1], abs=0.01)
    count = "document.querySelectorAll('#overlay .{}').length"
    assert page.run(count.format("cut")) == len(layout.cuts_x) + len(layout.cuts_y)
    assert page.run(count.format("fold")) == len(prepared.parts[0].imposition.sheets[0].front.folds)
    for kind, name in (("careful", "careful"), ("track", "track"), ("numbers", "badge")):
        assert page.run(count.format(name)) == 0
        page.run(f"document.getElementById('over-{kind}').click()")
        page.settle()
        assert page.run(count.format(name)) > 0


def test_the_sheet_folds_as_the_crease_simulator_does(page):
    """Every fold of the catalogue: leaves from the top, and which of their faces is up."""
    for name, row in catalogue_folds().items():
        made = scheme(row.columns, row.rows, row.folds)
        folds = [
            ["left" if c.axis == "V" else "bottom", round(c.part * (made.columns if c.axis == "V" else made.rows)),
             "over" if c.over else "under"]
            for c in made.creases
        ]  # fmt: skip
        wide, high = 10 * made.columns, 20 * made.rows
        lines = [[10 * i, 0, 10 * i, high] for i in range(1, made.columns)]
        lines += [[0, 20 * i, wide, 20 * i] for i in range(1, made.rows)]
        stack = page.run(
            f"(() => {{ const piece = new FoldedPiece({{box: [0, 0, {wide}, {high}], piece: 1, signature: 1, copy: 1}},"
            f" {{front: {{folds: {lines}}}, size: [{wide}, {high}]}},"
            f" {{pieceTurn: 0, grid: [{made.columns}, {made.rows}], folds: {json.dumps(folds)}}});"
            " return piece.stack.map((leaf) => [leaf.box[0] / 10, leaf.box[1] / 20,"
            " piece.folds.filter((fold) => fold.movers.has(leaf)).length % 2 === 0]); })()"
        )
        assert stack == [[layer.column, layer.row, layer.front_up] for layer in fold(made)], name


@pytest.mark.parametrize(("pieces", "untrimmed", "told"), [
    (1, "false", "Cut: the waste comes off"), (1, "true", "The piece is turned upright"), (2, "true", "Cut: 2 pieces"),
])  # fmt: skip
def test_only_what_is_cut_is_told_as_a_cut(page, pieces, untrimmed, told):
    made = [{"number": number} for number in range(1, pieces + 1)]
    part = f"{{ ...job.parts[0], untrimmed: {untrimmed} }}"
    assert page.run(f"bookletSteps(job.sheets[0], {part}, {json.dumps(made)})[0].words") == told


def test_the_booklet_that_is_watched_ends_with_its_cover_on_top(page):
    page.click("#show-folding")
    page.wait("document.querySelectorAll('.leaf').length > 0")
    end = page.run("Number(document.getElementById('moment').max)")
    page.run(f"(() => {{ const m = document.getElementById('moment'); m.value = {end};"
             " m.dispatchEvent(new Event('input')); })()")  # fmt: skip
    top = page.run(
        "(() => { const box = document.querySelector('.space').getBoundingClientRect();"
        " const seen = start.bench.pieces.flatMap((piece) => piece.leaves);"
        " const highest = seen.reduce((a, b) => (b.nested > a.nested ? b : a));"
        " const piece = start.bench.pieces.find((one) => one.leaves.includes(highest));"
        " const isFront = piece.folds.filter((fold) => fold.movers.has(highest)).length % 2 === 0;"
        " const art = start.bench.sheet.front.art.find(([, trim]) => trim[0] < (highest.box[0] + highest.box[2]) / 2"
        "  && (highest.box[0] + highest.box[2]) / 2 < trim[2] && trim[1] < (highest.box[1] + highest.box[3]) / 2"
        "  && (highest.box[1] + highest.box[3]) / 2 < trim[3]); return [isFront, art[0]]; })()"
    )
    assert top == [True, 1]


def test_findings_are_pinned_where_they_are(page, booklet):
    prepared, _ = booklet
    known = page.run("job.findings.length")
    assert known == len(prepared.findings)
    assert page.run("document.querySelectorAll('.findings .finding').length") == known
    placed = [i for i, f in enumerate(prepared.findings) if f.page and f.box and not f.sheet]
    assert placed, "this job was made to be found fault with"
    finding = prepared.findings[placed[0]]
    page.run(f"document.getElementById('finding-{placed[0]}').click()")
    page.settle()
    assert str(finding.page) in words(page, "#where")
    assert finding.message in words(page, "#card")
    pin = page.run(
        "(() => { const pin = [...document.querySelectorAll('.pin')]"
        f".find((it) => it.textContent === '{placed[0] + 1}');"
        " const box = pin.getBoundingClientRect(), stage = start.stage.canvas.getBoundingClientRect();"
        " return Affine.apply(Affine.inverse(start.overlay.map), box.x + box.width / 2 - stage.x,"
        " box.y + box.height / 2 - stage.y); })()"
    )
    panel = page.run(f"start.stage.scene.panels.find((it) => it.page.page === {finding.page}).box")
    x, y = finding.box.centre
    assert pin == pytest.approx([panel[0] + x, y], abs=0.2)


@pytest.mark.parametrize("count", [16, 64, 200])
def test_booklets_of_many_pages(browser, count, tmp_path):
    art = grain(1)
    art[:200] = 0
    pages = {"k": [np.roll(art, 7 * number, axis=1) for number in range(count)], "marigold": [kiss_fit()[0]]}
    _, file = proof_of(tmp_path, pages)
    assert file.stat().st_size < (3_000_000 if count == 16 else 15_000_000)
    browser.open(file)
    assert words(browser, "#where") == f"Front cover, page 1 of {count}"
    browser.key("End")
    assert words(browser, "#where") == f"Back cover, page {count} of {count}"
    assert seen(browser).std() > 5
    browser.click("#show-sheets")
    browser.key("End")
    assert words(browser, "#where").endswith("back")
    assert [trouble for trouble in browser.troubles() if "GPU stall" not in trouble] == []
    assert browser.run("[...start.stage.store.kept.values()].reduce((sum, it) => sum + it.bytes, 0)") < 120e6


def test_a_phone_shows_the_print_and_the_panel_under_it(booklet):
    with Browser(390, 844, mobile=True, density=2) as phone:
        phone.open(booklet[1])
        assert phone.run("document.documentElement.scrollWidth") == 390
        left, _, right, bottom = page_box(phone)
        assert left >= 0
        assert right <= 390
        assert bottom < 600
        assert (
            phone.run("Math.min(...[...document.querySelectorAll('nav button, .turn')].map((it) => it.offsetHeight))")
            >= 36
        )
