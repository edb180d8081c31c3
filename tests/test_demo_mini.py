"""The demo's mini zine: one sheet, printed on one side, slit once; built, and read back as it is folded."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pytest

from imposer import build
from imposer.job import load_job
from imposer.pages.find import find_pages
from tests.artwork import drawn_again, size_of, tones
from tests.sheets import panels

DEMO = Path(__file__).parents[1] / "demo_zine" / "mini"


@cache
def table():
    return find_pages(load_job(DEMO))


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    return build(DEMO, tmp_path_factory.mktemp("mini") / "out")


@pytest.fixture(scope="module")
def plan(built):
    return json.loads((built.folder / "plan.json").read_text(encoding="utf-8"))


def test_eight_small_pages_in_two_inks():
    assert (table().pages, table().inks, table().findings) == (8, ("lamp black", "marigold"), ())
    assert size_of(DEMO) < 250_000


def test_one_pass_of_one_sheet(built, plan):
    """Two inks, two drums, one side: two masters, nothing turned over, no finding but notes."""
    assert [(run["side"], sorted(run["drums"].values())) for run in plan["passes"]] == [
        ("front", ["lamp black", "marigold"])
    ]
    assert (plan["counts"]["sheets_per_copy"], plan["counts"]["masters"]) == (1, 2)
    assert {finding.level for finding in built.prepared.findings} == {"note"}


def test_the_pages_lie_round_the_slit(plan):
    """Common practice, no source: 5 4 3 2 upside down over 6 7 8 1, slit between 4 3 and 7 8."""
    rows = {}
    for panel in plan["sheets"][0]["front"]:
        rows.setdefault((round(panel["trim"][1]), panel["rotation"]), []).append((panel["trim"][0], panel["page"]))
    assert {turn: [page for _, page in sorted(row)] for (_, turn), row in sorted(rows.items())} == {
        0: [6, 7, 8, 1],
        180: [5, 4, 3, 2],
    }
    assert plan["form"]["slits"] == [[74.25, 105.0, 222.75, 105.0]]
    assert (plan["form"]["style"], plan["form"]["sides"], plan["form"]["untrimmed"]) == ("mini", 1, True)


def test_the_black_comes_back_dot_for_dot_within_the_margins(built, plan):
    """Rendered by pdfium, which wrote none of it; 6 mm inside every page nothing lies in the machine's margins."""
    first = tones(DEMO / "black" / "page-1.png")
    found = {page for (page, ink), _ in panels(built.folder, 600, first.shape) if ink == "lamp black"}
    assert found == set(range(1, 9))
    edge = round(6 / 25.4 * 600)
    for (page, ink), placed in panels(built.folder, 600, first.shape):
        if ink != "lamp black":
            continue
        source = 255 - tones(DEMO / "black" / f"page-{page}.png")
        # A quarter of a sheet is no whole number of dots, so that half a dot may go to a neighbour.
        inside = np.s_[edge:-edge, edge:-edge]
        assert abs(float(source[inside].mean()) - float(placed[inside].mean())) < 0.2, page
        assert (np.abs(source[inside].astype(int) - placed[inside]) > 128).mean() < 0.02, page


def test_the_guide_says_where_to_slit(built):
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(built.folder / "guide.pdf").pages)
    assert "148.5 mm" in text
    assert "Slit" in text


def test_the_script_draws_the_same_bytes(tmp_path):
    again = drawn_again(DEMO.parent / "draw.py", tmp_path, "--mini") / "mini"
    for file in [*sorted(DEMO.glob("black/*.png")), DEMO / "marigold.pdf"]:
        assert file.read_bytes() == (again / file.relative_to(DEMO)).read_bytes(), file.name
