"""The folding step of leaflets: drawn and told for every form, and read back with pypdf."""

from __future__ import annotations

import re
from functools import cache
from io import BytesIO
from typing import Any

import pypdf
import pypdfium2
import pytest

from imposer.fold.leaflets import FORMS
from imposer.job.model import FormSpec
from imposer.write.guide import guide_pdf
from imposer.write.guide.fold_view import drawn_pictures
from tests.write.sample import guide_facts

JOBS: dict[str, tuple[int, dict[str, Any]]] = {
    "mini": (8, {"trim": (100, 140)}),
    "mini with a poster, from the right": (
        9, {"style": "mini", "trim": (100, 140), "reading": "right-to-left",
             "binding": {"form": FormSpec(poster=True)}},
    ),
    "accordion": (12, {"trim": (60, 90)}),
    "joined accordion": (28, {"style": "accordion", "trim": (70, 100)}),
    "roll": (10, {"trim": (70, 140)}),
    "letter": (6, {"trim": (99, 200)}),
    "gate": (6, {"trim": (99, 140)}),
    "double-gate": (8, {"trim": (90, 140)}),
    "double-parallel": (8, {"trim": (90, 140)}),
    "french": (4, {"trim": (90, 140)}),
    "flat": (8, {"trim": (90, 120)}),
}  # fmt: skip


@cache
def guide(name: str) -> tuple[bytes, str]:
    pages, asked = JOBS[name]
    pdf = guide_pdf(guide_facts(pages, **{"style": name, "inks": ("lamp black",), **asked}))
    return pdf, re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages))


def test_every_form_has_a_job_here():
    assert set(FORMS) <= set(JOBS)


@pytest.mark.parametrize("name", [name for name in JOBS if name != "flat"])
def test_every_fold_is_told_and_nothing_is_sewn_or_trimmed(name):
    _, found = guide(name)
    pages, asked = JOBS[name]
    creases = len(guide_facts(pages, **{"style": name, **asked}).imposition.booklet.scheme.creases)
    told = found.count("over onto the rest: valley") + found.count("out of sight: mountain")
    assert told == len([i for i in drawn_pictures(creases + 1) if i < creases])
    for absent in ("Staple", "Trim done", "trim open", "Gather"):
        assert absent not in found


@pytest.mark.parametrize("name", [name for name in JOBS if name not in ("flat", "mini")])
def test_page_one_ends_up_in_front(name):
    _, found = guide(name)
    assert re.search(r"Done, page 1 is in front, head up, and opens from its (left|right)", found)
    if "mini" not in name:
        assert "page 1 is up" in found or "Folded: page 1 on top" in found


def test_a_mini_zine_is_slit_over_its_middle_panels():
    """The slit is as long as two of the four columns (the one-sheet zine's, from W/4 to 3W/4)."""
    pdf, found = guide("mini")
    assert "Slit along the middle line, 200 mm, over the middle panels" in found
    assert "All creases are made. Open the sheet again." in found
    page = next(p.extract_text() for p in pypdf.PdfReader(BytesIO(pdf)).pages if "Slit along" in p.extract_text())
    assert page.index("cut away from your fingers") < page.index("Slit along")


def test_a_poster_and_the_other_reading_are_told():
    _, found = guide("mini with a poster, from the right")
    assert "opens from its right" in found
    assert "Unfolded, page 9 fills the back." in found


def test_a_long_strip_is_joined_first_and_told_in_short():
    _, found = guide("joined accordion")
    assert found.index("Join the 3 pieces first") < found.index("Fold by fold")
    assert "Go on in the same way, over and under in turn, up to fold 12." in found


def test_cards_are_not_folded():
    _, found = guide("flat")
    assert "Fold by fold" not in found
    assert "Fold done" not in found


@pytest.mark.parametrize("name", JOBS)
def test_margins_stay_white(name):
    margin = round(12 * 72 / 25.4)
    for page in pypdfium2.PdfDocument(guide(name)[0]):
        image = page.render(scale=1, grayscale=True).to_numpy().squeeze()
        assert (image[:, :margin] > 250).all()
        assert (image[:, -margin:] > 250).all()
