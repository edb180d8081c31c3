"""What is measured on a page, against sums made by hand."""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.geometry import Box, Size
from imposer.job.model import PageSpec
from imposer.pages import images, pdfs
from imposer.pages.find import find_pages
from imposer.pages.measure import measure_page, measure_table
from imposer.pages.model import PageArt
from imposer.pages.place import place_art
from tests.pages.test_find import job_in, pdf, picture

TRIM = (80.0, 120.0)
#: Millimetres a pixel at 254 ppi.
PIXEL = 0.1


def page_of(bleed=0.0, fit="exact"):
    return PageSpec(trim=Size(*TRIM), bleed=bleed, fit=fit)


def measured(folder, samples, page):
    """Save samples (0 = black) at 254 ppi and measure them."""
    file = folder / "1.png"
    Image.fromarray(np.asarray(samples, dtype=np.uint8)).save(file, dpi=(254, 254))
    (source,) = images.survey(file, "1.png")
    placed = place_art(source, page)
    return measure_page(PageArt(page=1, ink="x", source=source, size=placed.size, to_page=placed.to_page), page)


def blank(bleed=0.0):
    return np.full((round((TRIM[1] + 2 * bleed) / PIXEL), round((TRIM[0] + 2 * bleed) / PIXEL)), 255)


def edges(box):
    return (box.x0, box.y0, box.x1, box.y1)


def test_a_blank_page(tmp_path):
    found = measured(tmp_path, blank(), page_of())
    assert (found.coverage, found.darkest, found.inked, found.prints) == (0, 0, None, False)


def test_the_palest_dot_prints(tmp_path):
    samples = blank()
    samples[1100, 250] = 254
    found = measured(tmp_path, samples, page_of())
    assert found.prints
    assert found.darkest == pytest.approx(1 / 255)
    assert edges(found.inked) == pytest.approx((25.0, 9.9, 25.1, 10.0), abs=1e-3)
    assert found.coverage == pytest.approx(1 / 255 * 0.01 / (80 * 120), rel=1e-3)


def test_a_flood(tmp_path):
    found = measured(tmp_path, blank() * 0, page_of())
    assert found.coverage == pytest.approx(1)
    assert found.darkest == 1
    assert edges(found.inked) == pytest.approx((0, 0, 80, 120), abs=1e-3)


def test_coverage_is_over_the_trim_but_ink_counts_in_the_bleed(tmp_path):
    samples = blank(3)
    samples[:, :20] = 0  # 2 mm at the outer edge of the bleed: nothing of it within the trim
    found = measured(tmp_path, samples, page_of(3))
    assert found.coverage == 0
    assert found.darkest == 1
    assert edges(found.inked) == pytest.approx((-3, -3, -1, 123), abs=1e-3)


def test_what_lies_beyond_the_bleed_does_not_print(tmp_path):
    samples = np.full((1400, 1000), 255)  # 100 × 140 mm at 1:1, 10 mm more than the trim all around
    samples[:, :90] = 0
    found = measured(tmp_path, samples, page_of(fit="centre"))
    assert found.inked is None
    samples[:, :150] = 0
    found = measured(tmp_path, samples, page_of(fit="centre"))
    assert edges(found.inked) == pytest.approx((0, 0, 5, 120), abs=1e-3)
    assert found.coverage == pytest.approx(5 / 80)


def test_small_art_in_the_middle_of_the_page(tmp_path):
    found = measured(tmp_path, np.zeros((400, 200)), page_of(fit="centre"))
    assert edges(found.inked) == pytest.approx((30, 40, 50, 80), abs=1e-3)
    assert found.coverage == pytest.approx(20 * 40 / (80 * 120))
    preview = np.asarray(Image.open(io.BytesIO(found.preview)))
    dark = np.argwhere(preview == 0)
    assert dark.min(axis=0).tolist() == pytest.approx([40 / 25.4 * 100, 30 / 25.4 * 100], abs=1)
    assert dark.max(axis=0).tolist() == pytest.approx([80 / 25.4 * 100, 50 / 25.4 * 100], abs=1)


def test_scaled_art(tmp_path):
    samples = np.full((600, 400), 255)
    samples[:300, :] = 55
    found = measured(tmp_path, samples, page_of(fit="scale"))
    assert edges(found.inked) == pytest.approx((0, 60, 80, 120), abs=1e-3)
    assert found.coverage == pytest.approx(200 / 255 / 2)


def test_the_preview_shows_the_trim(tmp_path):
    samples = blank(3)
    samples[:33, :] = 0  # the bleed at the head, and 0.3 mm of the page
    samples[600:700, 300:500] = 128
    found = measured(tmp_path, samples, page_of(3))
    preview = Image.open(io.BytesIO(found.preview))
    assert (preview.format, preview.mode, preview.size) == ("TIFF", "L", (315, 472))
    pixels = np.asarray(preview)
    # Row 57 … 67 mm below the head of the trim, column 27 … 47 mm from the spine's side.
    assert (pixels[232, 120:180] == 128).all()
    assert pixels[0].max() < 255
    assert (pixels[3:220] == 255).all()


def test_a_pdf_page_with_a_hairline_prints(tmp_path):
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(TRIM[0] * 72 / 25.4, TRIM[1] * 72 / 25.4))
    page.Contents = document.make_stream(b"0.9 G 0.06 w 20 100 m 120 100 l S")
    document.save(tmp_path / "1.pdf")
    (source,) = pdfs.survey(tmp_path / "1.pdf", "1.pdf")
    placed = place_art(source, page_of())
    found = measure_page(PageArt(page=1, ink="x", source=source, size=placed.size, to_page=placed.to_page), page_of())
    assert found.prints
    # 20 … 120 pt across and 100 pt up are 7.06 … 42.33 mm and 35.28 mm.
    assert found.inked.contains(Box(7.2, 35.27, 42.1, 35.28))
    assert found.inked.height < 0.6


def test_the_whole_table_with_progress(tmp_path):
    for number in (1, 2):
        picture(tmp_path, f"{number}.png")
    pdf(tmp_path, "yellow.pdf", count=2)
    job = job_in(tmp_path, "*.png", "yellow.pdf")
    told = []
    table = find_pages(job)
    found = measure_table(job, table, lambda what, done, of: told.append((what, done, of)))
    assert list(found) == list(table.cells)
    assert told == [("measuring pages", done, 4) for done in range(5)]
    assert measure_table(job, table) == found
    assert all(cell.prints for cell in found.values())


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    top=st.integers(0, 1259), left=st.integers(0, 859), height=st.integers(1, 400), width=st.integers(1, 400),
    tone=st.integers(1, 255),
)  # fmt: skip
def test_a_patch_anywhere(tmp_path, top, left, height, width, tone):
    samples = blank(3)
    samples[top : top + height, left : left + width] = 255 - tone
    found = measured(tmp_path, samples, page_of(3))
    y, x = np.nonzero(255 - samples)
    box = (x.min() / 10 - 3, 123 - (y.max() + 1) / 10, (x.max() + 1) / 10 - 3, 123 - y.min() / 10)
    assert edges(found.inked) == pytest.approx(box, abs=1e-3)
    assert found.darkest == tone / 255
    assert found.coverage == pytest.approx((255 - samples[30:-30, 30:-30]).mean() / 255, abs=1e-9)
