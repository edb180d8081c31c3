"""The proof page in a browser: turned, inked, shifted, and held against the library pixel by pixel."""

from __future__ import annotations

import json
import re
from base64 import b64decode
from dataclasses import replace

import numpy as np
import pytest

from imposer.ink.colour import lab_from_rec2020, rec2020_from_srgb8
from imposer.ink.difference import delta_e
from imposer.ink.overprint import predict, shop_model
from imposer.job.templates import templates_folder
from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.write.proof.jobs import HIGH, PPI, WIDE, bare, grain, kiss_fit, patches, proof_of
from tests.write.proof.pages import apart, at_print_pixels, choose, foretold, page_box, seen, words

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)

INKS = ("lamp black", "marigold", "rose")


@pytest.fixture(scope="module")
def browser():
    with Browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def booklet(tmp_path_factory):
    """Eight pages: patches, grain, a kiss-fit square, a few blanks."""
    field, square = kiss_fit()
    black, yellow, pink = patches()
    pages = {
        "lamp black": [black, grain(1), bare(), None, None, grain(4), None, black],
        "marigold": [yellow, grain(2), None, field, None, None, grain(5), None],
        "rose": [pink, grain(3), None, square, None, grain(6), None, None],
    }
    prepared, file = proof_of(tmp_path_factory.mktemp("booklet"), pages)
    planes = {name: [bare() if tones is None else tones for tones in pages[name]] for name in INKS}
    return prepared, file, planes


@pytest.fixture(params=["", "#plain"], ids=["shader", "plain"])
def page(request, browser, booklet):
    """The booklet's proof, freshly opened, painted both ways."""
    _, file, _ = booklet
    browser.open(file, request.param)
    assert browser.run("start.stage.isPlain") == bool(request.param)
    return browser


@pytest.fixture
def shaded(browser, booklet):
    """The same, painted by the shader alone: for what has nothing to do with colours."""
    browser.open(booklet[1])
    return browser


def test_it_turns_like_the_booklet_and_asks_for_nothing(shaded, booklet):
    assert words(shaded, "#where") == "Front cover, page 1 of 8"
    shaded.click("#forward")
    assert words(shaded, "#where") == "Pages 2–3 of 8"
    shaded.key("ArrowRight")
    assert words(shaded, "#where") == "Pages 4–5 of 8"
    shaded.key("End")
    assert words(shaded, "#where") == "Back cover, page 8 of 8"
    shaded.key("ArrowLeft")
    choose(shaded, "#place", 1)
    assert words(shaded, "#where") == "Pages 2–3 of 8"
    shaded.click("#back")
    assert words(shaded, "#where") == "Front cover, page 1 of 8"
    assert shaded.run("document.getElementById('back').disabled")
    names = shaded.run(
        "[...document.querySelectorAll('button, input, select')].map("
        "(it) => it.ariaLabel || it.textContent || it.closest('label')?.textContent || '')"
    )
    assert all(name.strip() for name in names), "something has no name for a screen reader"
    asked = [address for address in shaded.requests() if not address.startswith(("data:", "blob:"))]
    assert len(asked) == 1, "the page asks for more than itself"
    assert asked[0].startswith("file:")
    assert troubles(shaded) == []


def test_the_page_itself_forbids_requests(shaded):
    policy = shaded.run("document.querySelector('meta[http-equiv=Content-Security-Policy]').content")
    assert "default-src 'none'" in policy
    refused = shaded.run("fetch('https://example.org/').then(() => 'sent', () => 'refused')")
    assert refused == "refused"


def test_pixels_are_the_librarys_within_two_of_255(page, booklet):
    prepared, _, planes = booklet
    at_print_pixels(page)
    assert seen(page).shape == (HIGH, WIDE, 3)
    assert apart(seen(page), foretold(prepared, {name: planes[name][0] for name in INKS})) <= 2
    page.click("#forward")
    at_print_pixels(page)
    # Noise in the layer may have become a JPEG, whose own error the layers' tests know.
    layers = unpacked(page, 2)
    assert apart(seen(page, 0), foretold(prepared, dict(zip(INKS, layers, strict=True)))) <= 2


def test_patches_are_the_models_within_two_delta_e(page, booklet):
    prepared, _, planes = booklet
    (part,) = prepared.parts
    model = shop_model(part.job.sheet.paper, [ink.ink for ink in part.job.inks])
    at_print_pixels(page)
    shown = seen(page)
    differences = []
    for number in range(64):
        row, column = divmod(number, 8)
        y, x = 42 + 50 * row, 28 + 35 * column
        tones = [planes[name][0][y, x] / 255 for name in INKS]
        differences.append(
            float(delta_e(lab_from_rec2020(rec2020_from_srgb8(shown[y, x])), lab_from_rec2020(predict(model, tones))))
        )
    assert len(differences) >= 10
    assert max(differences) < 2


def test_inks_go_off_and_on_and_one_stands_alone(page, booklet):
    prepared, _, planes = booklet
    first = {name: planes[name][0] for name in INKS}
    at_print_pixels(page)
    page.click("#inks .ink:nth-child(2) .toggle input")
    assert apart(seen(page), foretold(prepared, first, ["lamp black", "rose"])) <= 2
    page.click("#inks .ink:nth-child(2) .toggle input")
    assert apart(seen(page), foretold(prepared, first)) <= 2
    page.click("#inks .ink:nth-child(3) .small")
    assert np.array_equal(seen(page), np.repeat(255 - first["rose"][:, :, None], 3, axis=2))
    page.click("#inks .ink:nth-child(3) .small")
    assert apart(seen(page), foretold(prepared, first)) <= 2


def test_paper_becomes_white_and_a_drum_holds_another_ink(page, booklet):
    prepared, _, planes = booklet
    first = {name: planes[name][0] for name in INKS}
    paper = prepared.parts[0].job.sheet.paper
    at_print_pixels(page)
    choose(page, "#inks .ink:nth-child(2) select", "fern")
    assert apart(seen(page), foretold(prepared, first, swapped={"marigold": "fern"})) <= 2
    page.click("#inks .choice label:nth-of-type(2) input")
    white = replace(paper, colour="#ffffff")
    assert apart(seen(page), foretold(prepared, first, swapped={"marigold": "fern"}, paper=white)) <= 2


@pytest.mark.parametrize("painter", ["", "#plain"], ids=["shader", "plain"])
def test_measured_overprints_are_the_librarys_as_printed_and_with_other_inks(browser, painter, tmp_path):
    """All three pairs that meet as planned, and two that only meet once fern is in marigold's drum."""
    pairs = {
        ("marigold", "rose"): "#c05030", ("lamp black", "rose"): "#401828", ("fern", "rose"): "#506040",
        ("fern", "lamp black"): "#102818",
    }  # fmt: skip
    shop = (templates_folder() / "shop.toml").read_text(encoding="utf-8")
    for inks, colour in pairs.items():
        shop += f'[[overprint]]\ninks = {json.dumps(inks)}\ncolour = "{colour}"\n'
    (tmp_path / "shop.toml").write_text(shop, encoding="utf-8")
    first = dict(zip(INKS, patches(), strict=True))
    prepared, file = proof_of(tmp_path, {name: [plane, *[None] * 3] for name, plane in first.items()}, shop="shop.toml")
    browser.open(file, painter)
    at_print_pixels(browser)
    assert apart(seen(browser), foretold(prepared, first)) <= 2
    assert "marigold with rose, " in words(browser, "#measured")
    assert "fern" not in words(browser, "#measured")
    choose(browser, "#inks .ink:nth-child(2) select", "fern")
    assert apart(seen(browser), foretold(prepared, first, swapped={"marigold": "fern"})) <= 2
    browser.click("#inks .choice label:nth-of-type(2) input")
    white = replace(prepared.parts[0].job.sheet.paper, colour="#ffffff")
    assert apart(seen(browser), foretold(prepared, first, swapped={"marigold": "fern"}, paper=white)) <= 2


def test_a_millimetre_is_a_millimetre_and_slivers_lie_where_they_must(page, booklet):
    prepared, _, planes = booklet
    page.run("start.setPlace(2)")
    page.settle()
    at_print_pixels(page)
    field, square = planes["marigold"][3], planes["rose"][3]
    turn = next(p.rotation for s in sides(prepared) for p in s.panels if p.page == 4)
    run, drum = page.run("printOf(pageByNumber.get(4).sheet, pageByNumber.get(4).side, 2).slice(0, 2)")
    choose(page, "#which-drum", f"{run}/{drum}")
    # A page that lies turned on the sheet is shifted to its own right by a shift of the sheet in that direction.
    name, way = {0: ("Right", 1), 90: ("Up", 1), 180: ("Right", -1), 270: ("Up", -1)}[turn]
    choose(page, f"#sliders input[aria-label='{name}']", way)
    shown = seen(page, 0)
    step = PPI / 25.4
    paper = foretold(prepared, {"rose": bare(), "marigold": bare()})[0, 0]
    both = foretold(prepared, {"rose": bare() + 255, "marigold": bare() + 255})[0, 0]
    white, dark = near(shown, paper), near(shown, both)
    rows, columns = np.nonzero(square)
    top, bottom, left, right = rows.min(), rows.max() + 1, columns.min(), columns.max() + 1
    sliver, overlap = bare().astype(bool), bare().astype(bool)
    sliver[top:bottom, left : round(left + step)] = True
    overlap[top:bottom, right : round(right + step)] = True
    bare_before = (field == 0) & (square == 0)
    # On the edges, a pixel each way, colours mix.
    assert_same_but_for_edges(white, bare_before | sliver)
    assert_same_but_for_edges(dark, overlap)
    page.click("#inks .ink:nth-child(3) .small")
    alone = 255 - seen(page, 0)[:, :, 0].astype(float)
    middle = (alone * np.arange(WIDE)).sum() / alone.sum() - columns.mean()
    assert middle / step == pytest.approx(1.0, abs=0.01)
    page.click("#inks .ink:nth-child(3) .small")
    page.click("#as-planned")
    assert apart(seen(page, 0), foretold(prepared, {n: planes[n][3] for n in ("marigold", "rose")})) <= 2


@pytest.mark.parametrize("painter", ["", "#plain"])
def test_ink_crosses_the_fold_where_pages_lie_side_by_side_on_the_sheet(browser, painter, tmp_path):
    """Pages 2 and 3 of four are one side of the only piece: six pixels to the right, and no sliver at the fold."""
    wave = grain(1)
    wave[:60] = wave[-60:] = 0
    pages = [None, wave, wave[:, ::-1], None]
    prepared, file = proof_of(tmp_path, {"marigold": pages}, sheet='size = "A4"\npieces = 1')
    turns = {panel.page: panel.rotation for side in sides(prepared) for panel in side.panels}
    browser.open(file, painter)
    browser.run("start.setPlace(1)")
    browser.settle()
    at_print_pixels(browser)
    as_planned = [seen(browser, panel) for panel in (0, 1)]
    # What lies turned on the sheet goes to the reader's right if the sheet's ink goes the other way.
    x, y = {0: (6, 0), 90: (0, 6), 180: (-6, 0), 270: (0, -6)}[turns[2]]
    millimetre = PPI / 25.4
    hand = f"{{ x: {x / millimetre}, y: {y / millimetre}, turn: 0 }}"
    browser.run(f"register.hand.set(`${{job.passes.find((run) => run.side === 'back').number}}`, {hand})")
    browser.run("start.stage.redraw()")
    browser.wait("start.stage.isReady")
    browser.settle()
    spread = np.concatenate([wave, wave[:, ::-1]], axis=1)
    shifted = np.concatenate([np.zeros((HIGH, 6), np.uint8), spread[:, :-6]], axis=1)
    for panel in (0, 1):
        expected = shifted[:, panel * WIDE : (panel + 1) * WIDE]
        assert apart(seen(browser, panel), foretold(prepared, {"marigold": expected})) <= 2
    browser.run("register.hand.clear(); start.stage.redraw()")
    browser.settle()
    assert [apart(seen(browser, panel), as_planned[panel]) for panel in (0, 1)] == [0, 0]


def test_prints_are_drawn_from_the_drift(shaded):
    """Two standard deviations of the shift between two drums are what the shop says; the same draw comes out alike."""
    shifts = np.array(shaded.run(
        "(() => { const found = [];"
        " for (let draw = 1; draw <= 2000; draw += 1) {"
        "  const side = job.sheets[0].front, at = side.prints.map(([run, drum]) =>"
        "   register.offset(job.sheets[0].number, run, drum, draw));"
        "  found.push(side.prints.map(([run], i) => [run, at[i].x - at[0].x, at[i].y - at[0].y])); }"
        " return found; })()"
    ))  # fmt: skip
    same = shifts[0, :, 0] == shifts[0, 0, 0]
    same[0] = False
    other = shifts[0, :, 0] != shifts[0, 0, 0]
    assert 2 * shifts[:, same, 1:].std() == pytest.approx(0.5, rel=0.1)
    assert 2 * shifts[:, other, 1:].std() == pytest.approx(1.0, rel=0.1)
    turns = np.array(shaded.run(
        "(() => { job.drift.turn = 0.4; const found = [];"
        " for (let draw = 1; draw <= 2000; draw += 1) found.push(job.sheets[0].front.prints.map(([run, drum]) =>"
        "  register.offset(job.sheets[0].number, run, drum, draw).turn));"
        " job.drift.turn = 0; return found; })()"
    ))  # fmt: skip
    assert (turns[:, same] == 0).all(), "drums of one pass lie as the sheet lies"
    assert 2 * turns[:, other].std() == pytest.approx(0.4 / 100, rel=0.1)
    shaded.click("#draw-print")
    once = seen(shaded)
    shaded.click("#as-planned")
    assert apart(once, seen(shaded)) > 40
    shaded.click("#draw-print")
    assert apart(once, seen(shaded)) <= 2


def test_the_worst_of_many_is_the_spread_that_butts_two_inks(browser, tmp_path):
    """The other spreads hold the same shapes, but no two inks that meet."""
    page = browser
    field, square = kiss_fit()
    pages = {"marigold": [square, field, None, field, None, None, square, None], "rose": [None] * 3 + [square]}
    _, file = proof_of(tmp_path, pages)
    page.open(file)
    page.run("document.getElementById('worst').click()")
    page.wait("!document.getElementById('worst').disabled", seconds=120)
    page.settle()
    told = words(page, "#register-told")
    assert re.match(
        r"The worst of \d+ prints of every spread: pages 4–5, print \d+\. Slivers and overlaps on \d+ mm²", told
    )
    assert words(page, "#where") == "Pages 4–5 of 8"


def test_tone_near_full_is_tinted_on_request(page, booklet):
    """From the darkest tone that the shop says its press holds, 90 %."""
    _, _, planes = booklet
    at_print_pixels(page)
    before = seen(page)
    page.run("document.getElementById('warn-tones').click()")
    page.settle()
    assert page.run("state.warnTones")
    changed = (seen(page) != before).any(axis=2)
    full = np.max([planes[name][0] for name in INKS], axis=0) >= 0.9 * 255
    # Stripes of white lie on what is white already nowhere, since full tone is dark in at least one channel.
    assert not changed[~full].any()
    assert changed[full].mean() > 0.95


def test_large_solids_are_framed_on_request(shaded):
    shaded.run("start.setPlace(2)")
    shaded.settle()
    assert shaded.run("document.querySelectorAll('#overlay .solid').length") == 0
    shaded.run("document.getElementById('warn-solids').click()")
    shaded.settle()
    assert shaded.run("document.querySelectorAll('#overlay .solid').length") == 2


def near(picture, colour, by=3):
    return (np.abs(picture.astype(int) - colour.astype(int)) <= by).all(axis=2)


def assert_same_but_for_edges(found, expected):
    grown, shrunk = np.zeros_like(expected), np.ones_like(expected)
    padded = np.pad(expected, 1)
    for dy in range(3):
        for dx in range(3):
            window = padded[dy : dy + expected.shape[0], dx : dx + expected.shape[1]]
            grown |= window
            shrunk &= window
    shrunk[0], shrunk[-1], shrunk[:, 0], shrunk[:, -1] = (expected[0] & False, expected[-1] & False,
                                                          expected[:, 0] & False, expected[:, -1] & False)  # fmt: skip
    assert not (found & ~grown).any(), "found where it must not be"
    assert found[shrunk].all(), "missing where it must be"


def sides(prepared):
    return [side for part in prepared.parts for sheet in part.imposition.sheets for side in (sheet.front, sheet.back)]


def unpacked(browser, page):
    """A page's layers as tones, as the browser itself unpacks them."""
    rows = browser.run(
        f"Layers.bitmaps(pageByNumber.get({page})).then((pictures) => pictures.map((picture) => {{"
        " const canvas = new OffscreenCanvas(picture.width, picture.height), context = canvas.getContext('2d');"
        " context.drawImage(picture, 0, 0);"
        " const pixels = context.getImageData(0, 0, picture.width, picture.height).data;"
        " return btoa(Array.from({length: picture.width * picture.height},"
        " (_, i) => String.fromCharCode(255 - pixels[4 * i])).join('')); }))"
    )
    return [np.frombuffer(b64decode(row), np.uint8).reshape(HIGH, WIDE) for row in rows]


def troubles(browser):
    """What went wrong, but for the driver's own remarks on its speed."""
    return [trouble for trouble in browser.troubles() if "GPU stall" not in trouble]


def test_the_page_lies_where_the_tests_look(shaded):
    left, top, right, bottom = page_box(shaded)
    assert right - left > 100
    assert bottom - top > 100
