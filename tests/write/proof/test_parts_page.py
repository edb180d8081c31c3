"""Jobs of several parts, and leaflets, on the proof page: every page in its own size, on its own paper."""

from __future__ import annotations

import numpy as np
import pytest

from imposer.ink.colour import Colour
from imposer.main_job import prepare
from imposer.write.proof import write_proof
from imposer.write.proof.openings import openings
from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.folders import page_tones, write_png
from tests.write.proof.pages import bare_view, page_box, seen, words

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)

PPI = 150


@pytest.fixture
def proof(tmp_path):
    """A cover on straw, a body on white, and a letter fold laid in whose last page fills its back."""
    for page in range(1, 9):
        write_png(tmp_path / "black" / f"{page}.png", page_tones(page, ppi=PPI, trim=(60, 80)), PPI)
    for page in range(1, 5):
        trim = (58 if page == 2 else 60, 50) if page < 4 else (178, 50)
        write_png(tmp_path / "leaf" / f"{page}.png", page_tones(page + 20, ppi=PPI, trim=trim), PPI)
    (tmp_path / "job.toml").write_text(
        'title = "Parts"\ncopies = 10\n[page]\ntrim = [60, 80]\n[sheet]\npaper = "white 80"\nsize = "A4"\n'
        '[[ink]]\nname = "k"\npages = "black/*.png"\n'
        '[[part]]\nname = "cover"\npages = "outer 4"\n[part.sheet]\npaper = "straw cover 160"\nsize = "A4"\n'
        '[[part]]\nname = "body"\npages = "rest"\n'
        '[[part]]\nname = "leaflet"\npages = "extra"\n[part.page]\ntrim = [60, 50]\n'
        '[part.binding]\nstyle = "letter"\ntuck = 2\nposter = true\n'
        '[[part.ink]]\nname = "k"\npages = "leaf/*.png"\n',
        encoding="utf-8",
    )
    prepared = prepare(tmp_path)
    write_proof(tmp_path / "proof.html", prepared)
    return prepared, tmp_path / "proof.html"


def test_parts_lie_together_as_the_reader_meets_them(proof):
    prepared, file = proof
    booklet = [(None, 1), (2, 3), (4, 5), (6, 7), (8, None)]
    assert list(openings(prepared)) == [*booklet, *((None, page) for page in range(9, 13))]
    papers = [part.job.sheet.paper.colour for part in prepared.parts]
    assert papers[0] != papers[1]
    with Browser() as browser:
        browser.open(file)
        browser.click("#forward")
        bare_view(browser)
        assert words(browser, "#where") == "Pages 2–3 of 12"
        # Page 2 is inside the cover, page 3 begins the body; their corners are bare.
        for panel, paper in enumerate(papers[:2]):
            assert Colour.from_hex("#" + bytes(seen(browser, panel)[3, 3].tolist()).hex()).hex == paper
        browser.key("End")
        assert words(browser, "#where") == "Page 12 of 12"
        left, top, right, bottom = page_box(browser)
        assert (right - left) / (bottom - top) == pytest.approx(178 / 50, rel=0.01)
        browser.key("ArrowLeft")
        browser.key("ArrowLeft")
        left, top, right, bottom = page_box(browser)
        assert (right - left) / (bottom - top) == pytest.approx(58 / 50, rel=0.01)
        browser.click("#show-sheets")
        for _ in range(2 * prepared.sheets - 1):
            assert np.ptp(seen(browser)) > 100
            browser.key("ArrowRight")
        browser.click("#show-folding")
        browser.wait("document.querySelectorAll('.leaf').length > 0")
        assert [trouble for trouble in browser.troubles() if "GPU stall" not in trouble] == []
