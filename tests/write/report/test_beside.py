"""Findings that one picture does not show: another page, or another ink, stands beside the first."""

from __future__ import annotations

import base64
import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from imposer.findings import Finding
from imposer.geometry import Box
from imposer.main_job import prepare
from imposer.write.report import write_report
from imposer.write.report.spots import pictures_of
from tests.folders import TRIM, job_folder, write_png

PPI = 150


@pytest.fixture(scope="module")
def in_two_inks(tmp_path_factory):
    """A cover and a body apart; on every page a solid of 10 × 20 mm, 5 mm from the left and from the head."""
    folder = job_folder(tmp_path_factory.mktemp("facing") / "job", pages=8, second=False, ppi=PPI)
    high, wide = (round(side * PPI / 25.4) for side in TRIM[::-1])
    per_mm = PPI / 25.4
    for page in range(1, 9):
        for ink, right in (("black", 15), ("marigold", 25)):
            tones = np.full((high, wide), 255, np.uint8)
            tones[round(5 * per_mm) : round(25 * per_mm), round(5 * per_mm) : round(right * per_mm)] = 0
            write_png(folder / ink / f"{page}.png", tones, PPI)
    parts = "".join(f'[[part]]\nname = "{name}"\npages = "{pages}"\n' for name, pages in
                    (("cover", "outer 4"), ("body", "rest")))  # fmt: skip
    file = folder / "job.toml"
    inks = '[[ink]]\nname = "marigold"\npages = "marigold/*.png"\n'
    file.write_text(file.read_text(encoding="utf-8") + inks + parts, encoding="utf-8")
    return prepare(folder)


def _dark_at(picture, spot):
    """The share of a picture's spot that is dark."""
    with Image.open(io.BytesIO(base64.b64decode(picture.uri.partition(",")[2]))) as image:
        pixels = np.asarray(image.convert("L"))
    rows, columns = pixels.shape
    left, top, width, height = spot
    inside = pixels[
        round(top * rows) : round((top + height) * rows), round(left * columns) : round((left + width) * columns)
    ]
    return float((inside < 120).mean())


def test_set_off_is_shown_on_both_pages_the_other_as_it_lies_when_the_leaves_close(in_two_inks, tmp_path):
    """What stands 5 mm from the left of page 2, a left page, meets what stands 5 mm from the right of page 3."""
    at_left, at_right = Box(5, 55, 15, 75), Box(TRIM[0] - 15, 55, TRIM[0] - 5, 75)
    found = Finding(
        rule="set-off", level="warning", message="it marks", page=2, box=at_right, other_page=3, other_box=at_left
    )
    heavy, marked = pictures_of(in_two_inks, found, {})
    assert (heavy.label, marked.label) == ("page 2", "page 3, mirrored, as it lies on page 2")
    # The same place on either picture, although it is at the right of the one page and at the left of the other.
    assert heavy.spot == pytest.approx(marked.spot, abs=0.01)
    assert _dark_at(heavy, heavy.spot) < 0.05
    assert _dark_at(marked, marked.spot) > 0.9
    write_report(tmp_path, replace(in_two_inks, findings=(found,)))
    for name in ("report.html", "for-the-artist.html"):
        text = (tmp_path / name).read_text(encoding="utf-8")
        assert heavy.uri in text
        assert marked.uri in text
        assert text.count("<i style=") == 2
    assert "At the top right, against page 3." in (tmp_path / "for-the-artist.html").read_text(encoding="utf-8")


def test_the_same_art_is_shown_in_either_ink(in_two_inks, tmp_path):
    found = Finding(
        rule="same-art", level="warning", message="twice", page=3, ink="marigold", other_ink="lamp black"
    )  # fmt: skip
    black, marigold = pictures_of(in_two_inks, found, {})
    assert (black.label, marigold.label) == ("lamp black", "marigold")
    # 15 to 25 mm from the left marigold stands alone.
    alone = (16 / TRIM[0], 6 / TRIM[1], 8 / TRIM[0], 18 / TRIM[1])
    assert (_dark_at(black, alone), _dark_at(marigold, alone)) == (0, 1)
    write_report(tmp_path, replace(in_two_inks, findings=(found,)))
    for name in ("report.html", "for-the-artist.html"):
        assert black.uri in (tmp_path / name).read_text(encoding="utf-8")
        assert marigold.uri in (tmp_path / name).read_text(encoding="utf-8")
