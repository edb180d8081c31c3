"""Cut and fold on the proof page: every way of folding is played from the sheet to its end."""

from __future__ import annotations

import pytest

from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.write.proof.jobs import bare, grain, proof_of
from tests.write.proof.pages import words

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)


@pytest.fixture(scope="module")
def browser():
    with Browser() as opened:
        yield opened


#: Name: how many pages, the binding, the sheet.
WAYS = {
    "saddle": (8, 'style = "saddle"', 'size = "A4"'),
    "saddle-right-to-left": (8, 'style = "saddle"\nreading = "right-to-left"', 'size = "A4"'),
    "gathered": (16, 'style = "gathered"\npieces_per_signature = 2', 'size = "A4"'),
    "saddle-with-an-empty-place": (12, 'style = "saddle"', 'size = "A4"\npieces = 2'),
    "stab": (8, 'style = "gathered"\nstitch = "stab"', 'size = "A4"'),
    "mini": (8, 'style = "mini"', 'size = "A4"'),
    "accordion": (8, 'style = "accordion"\npanels = 4', 'size = "A4"'),
    "accordion-joined": (24, 'style = "accordion"\npanels = 12', 'size = "A4"'),
    "roll": (10, 'style = "roll"\npanels = 5', 'size = "A3"'),
    "letter": (6, 'style = "letter"', 'size = "A4"'),
    "gate": (6, 'style = "gate"', 'size = "A4"'),
    "double-gate": (8, 'style = "double-gate"', 'size = "A4"'),
    "double-gate-right-to-left": (8, 'style = "double-gate"\nreading = "right-to-left"', 'size = "A4"'),
    "double-parallel": (8, 'style = "double-parallel"', 'size = "A4"'),
    "french": (4, 'style = "french"', 'size = "A4"'),
    "poster": (1, 'style = "flat"\nsides = 1', 'size = "A4"'),
}
#: The boxes of the leaves of every piece as they lie when all is folded: x0, y0, x1, y1 in mm.
FOLDED = """start.bench.pieces.filter((piece) => piece.number).map((piece) => piece.leaves.map(({ box, laid }) => {
  const ends = (i) => [box[i], box[i + 2]].map((at) => laid[i][0] * at + laid[i][1]).sort((a, b) => a - b);
  const [x, y] = [ends(0), ends(1)];
  return [x[0], y[0], x[1], y[1]];
}))"""


#: Moments at which a leaf reaches beyond the table that can be seen.
CUT_OFF = """(() => {
  const space = document.querySelector(".space").getBoundingClientRect();
  const isCut = () => [...document.querySelectorAll(".leaf")].filter((it) => it.style.opacity > 0).some((it) => {
    const box = it.getBoundingClientRect();
    return box.left < space.left || box.right > space.right || box.top < space.top || box.bottom > space.bottom;
  });
  return [...Array(start.bench.steps.length + 1).keys()].filter((time) => { start.bench.set(time); return isCut(); });
})()"""
#: The piles of the copies at the end, as they lie in the window: left, top, right, bottom.
PILES = """[...new Set(start.bench.pieces.map((piece) => piece.copy))].map((copy) => {
  const boxes = start.bench.pieces.filter((piece) => piece.number && piece.copy === copy)
    .flatMap((piece) => piece.leaves.map((leaf) => leaf.element.getBoundingClientRect()));
  const pick = (one, key) => one(...boxes.map((it) => it[key]));
  return [pick(Math.min, "left"), pick(Math.min, "top"), pick(Math.max, "right"), pick(Math.max, "bottom")];
})"""


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_folding_is_shown_to_its_end(browser, way, tmp_path):
    pages, binding, sheet = WAYS[way]
    art = {"lamp black": [grain(1)] * pages}
    _, file = proof_of(tmp_path, art, binding=binding, sheet=sheet, page='fit = "centre"')
    browser.open(file)
    browser.click("#show-folding")
    # The last sheet may hold fewer pieces than it has places.
    browser.run("start.setPlace(job.sheets.length - 1)")
    browser.wait("!start.bench.isPainting && start.bench.sheet === job.sheets.at(-1)")
    if "empty" in way:
        assert browser.run("job.sheets.at(-1).pieces.some(({ piece }) => !piece)")
    # Played at ten times its pace: only the clock of the page is hurried.
    browser.run("(() => { const now = performance.now.bind(performance), frame = requestAnimationFrame.bind(window);"
                " performance.now = () => 10 * now();"
                " window.requestAnimationFrame = (next) => frame((at) => next(10 * at)); })()")  # fmt: skip
    browser.click("#play")
    browser.wait("start.bench.time === start.bench.steps.length && !start.bench.playing")
    assert [trouble for trouble in browser.troubles() if "GPU stall" not in trouble] == []
    assert browser.run(CUT_OFF) == []
    piles = browser.run(PILES)
    for number, (left, top, right, bottom) in enumerate(piles):
        for other in piles[:number]:
            assert left >= other[2] or right <= other[0] or top >= other[3] or bottom <= other[1], "piles overlap"
    for leaves in browser.run(FOLDED):
        if way == "accordion-joined":
            continue
        # All leaves lie within the widest and the highest of them.
        for low, high in ((0, 2), (1, 3)):
            longest = max(leaf[high] - leaf[low] for leaf in leaves)
            assert max(leaf[high] for leaf in leaves) - min(leaf[low] for leaf in leaves) < longest + 0.1


def test_the_two_edges_of_a_spine_are_one_fold_and_scores_are_none(browser, tmp_path):
    _, file = proof_of(tmp_path, {"lamp black": [grain(1)] * 4})
    browser.open(file)
    piece = (
        "(() => {{ const piece = new FoldedPiece({{ box: [0, 0, 104, 70], piece: 1, signature: 1, copy: 1 }},"
        " {{ front: {{ folds: [[50, 0, 50, 70], [54, 0, 54, 70]] }}, size: [104, 70] }},"
        " {{ pieceTurn: 0, grid: [{}, 1], folds: {} }});"
        " return piece.stack.map((leaf) => leaf.box); }})()"
    )
    assert browser.run(piece.format(2, '[["left", 1, "under"]]')) == [[52, 0, 104, 70], [0, 0, 52, 70]]
    assert browser.run(piece.format(1, "[]")) == [[0, 0, 104, 70]]


#: The picture on the front of the leaves, as the browser unpacks it.
SHOWN = """(async () => {
  const picture = element("img", { src: start.bench.urls[0] });
  await picture.decode();
  const canvas = element("canvas", { width: picture.naturalWidth, height: picture.naturalHeight });
  canvas.getContext("2d").drawImage(picture, 0, 0);
  return canvas.toDataURL();
})()"""
IS_QUIET = "start.bench.urls && !start.bench.isPainting"


@pytest.mark.parametrize("change", [
    "document.getElementById('draw-print').click()",
    "document.getElementById('warn-tones').click()",
    "document.getElementById('warn-solids').click()",
    "choose('Right', 2)",
    "document.querySelectorAll('input[name=paper]')[1].click()",
    "document.querySelector('#inks .line input').click()",
])  # fmt: skip
def test_the_leaves_show_what_is_chosen(browser, change, tmp_path_factory):
    solid = bare()
    solid[50:300, 50:250] = 255
    folder = tmp_path_factory.mktemp("chosen")
    _, file = proof_of(folder, {"lamp black": [solid] * 4, "rose": [grain(2)] * 4})
    browser.open(file)
    browser.click("#show-folding")
    browser.wait(IS_QUIET)
    browser.run("start.bench.set(2.4)")
    before = browser.run(SHOWN)
    browser.run(
        "globalThis.choose = (name, value) => { const it = document.querySelector(`input[aria-label=${name}]`);"
        " it.value = value; it.dispatchEvent(new Event('input')); }"
    )
    browser.run(change)
    browser.wait(IS_QUIET)
    assert browser.run(SHOWN) != before
    assert browser.run("start.bench.time") == 2.4, "the folding went back to its beginning"
    if "paper" not in change and "line" not in change and "warn" not in change:
        assert "Sheet 1 front: lamp black" in words(browser, "#register-told")


@pytest.mark.parametrize(("pages", "binding", "told"), [
    (8, 'style = "saddle"', "Nested: pieces 1, 2, the first outermost"),
    (8, 'style = "gathered"', "Gathered: pieces 1, 2, the first on top"),
    (8, 'style = "gathered"\npieces_per_signature = 2', "Nested and gathered: pieces 1, 2, the first outermost"),
    (16, 'style = "gathered"\npieces_per_signature = 2', "Nested and gathered: pieces 1, 3 in signatures 1, 2"),
])  # fmt: skip
def test_the_end_tells_how_the_pieces_come_together(browser, pages, binding, told, tmp_path):
    art = {"lamp black": [grain(1)] * pages}
    _, file = proof_of(tmp_path, art, binding=binding, sheet='size = "A4"\npieces = 2')
    browser.open(file)
    browser.click("#show-folding")
    browser.wait(IS_QUIET)
    first, last = (f"[...document.querySelectorAll('.playing button')].at({i})" for i in (1, -1))
    assert browser.run(f"[{first}.disabled, {last}.disabled]") == [True, False]
    browser.run(f"(() => {{ {last}.focus(); start.bench.set(start.bench.steps.length); }})()")
    assert words(browser, ".step").startswith(told)
    assert browser.run(f"[{first}.disabled, {last}.disabled, document.activeElement.id]") == [False, True, "moment"]
