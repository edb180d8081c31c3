"""Spreads, printer's pairs, pages taken out of a file, files named page by page: the masters of single pages."""

from __future__ import annotations

import numpy as np
import pytest
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from imposer import build, prepare
from imposer.errors import ImposerError
from imposer.units import to_points
from tests.folders import TRIM, page_tones, write_png, write_vector_pdf
from tests.sheets import render

WIDE, HIGH = (to_points(side) for side in TRIM)


def _draw(canvas, page, left):
    canvas.setFont("Helvetica", 60)
    canvas.drawString(left + 20, 40, str(page))
    canvas.rect(left + WIDE / 2, HIGH / 2, WIDE / 3, HIGH / 5, stroke=0, fill=1)


def write_rows(file, rows):
    """A PDF whose pages are rows of one or two booklet pages side by side."""
    canvas = Canvas(str(file), invariant=1)
    for row in rows:
        canvas.setPageSize((WIDE * len(row), HIGH))
        for place, page in enumerate(row):
            _draw(canvas, page, place * WIDE)
        canvas.showPage()
    canvas.save()
    return file


def _job(folder, ink, binding=""):
    folder.mkdir(exist_ok=True)
    (folder / "job.toml").write_text(
        f'title = "Rows"\ncopies = 30\n[page]\ntrim = [{TRIM[0]}, {TRIM[1]}]\n[binding]\n{binding}\n[sheet]\n'
        f'size = "A4"\n[[ink]]\nname = "k"\n{ink}\n',
        encoding="utf-8",
    )
    return folder


def _masters(folder):
    out = build(folder).folder
    files = sorted((out / "masters").iterdir())
    return {
        file.name: np.concatenate([render(file, page, 72, (297, 210)) for page in range(len(PdfReader(file).pages))])
        for file in files
    }


SPREADS = [[1], [2, 3], [4, 5], [6, 7], [8]]
OPEN_COVER = [[8, 1], [2, 3], [4, 5], [6, 7]]
#: A saddle-stitched booklet of eight pages, sheet by sheet, outside and inside (any textbook of imposition).
PAIRS = [[8, 1], [2, 7], [6, 3], [4, 5]]


@pytest.mark.parametrize(
    ("rows", "art", "reading"),
    [
        (SPREADS, "spreads", "left-to-right"),
        (OPEN_COVER, "spreads", "left-to-right"),
        ([row[::-1] for row in OPEN_COVER], "spreads", "right-to-left"),
        (PAIRS, "printer's pairs", "left-to-right"),
        ([row[::-1] for row in PAIRS], "printer's pairs", "right-to-left"),
    ],
)
def test_double_pages_give_the_masters_of_single_pages(rows, art, reading, tmp_path):
    binding = f'reading = "{reading}"'
    single = _job(tmp_path / "single", 'pages = "a.pdf"', binding)
    write_rows(single / "a.pdf", [[page] for page in range(1, 9)])
    double = _job(tmp_path / "double", f'pages = "a.pdf"\nart = "{art}"', binding)
    write_rows(double / "a.pdf", rows)
    wanted, found = _masters(single), _masters(double)
    assert wanted.keys() == found.keys()
    for name, pixels in wanted.items():
        assert np.abs(pixels.astype(int) - found[name]).max() <= 1, name


def test_a_spread_as_an_image_without_a_resolution_is_split(tmp_path):
    folder = _job(tmp_path / "job", 'pages = "*.png"\nart = "spreads"')
    one, two = page_tones(2), page_tones(3)
    write_png(folder / "1.png", page_tones(1), 300)
    from PIL import Image

    Image.fromarray(np.hstack([one, two])).save(folder / "2.png")
    table = prepare(folder).parts[0].table
    assert [page for page, _ in table.cells] == [1, 2, 3]
    assert table.cells[2, "lamp black"].source.place == "2.png, left half"
    covers = table.cells[3, "lamp black"].covers
    assert (round(covers.x0, 1), round(covers.x1, 1)) == (-TRIM[0], TRIM[0])


def test_pages_of_two_inks_are_taken_out_of_one_file(tmp_path):
    folder = _job(tmp_path / "job", 'pages = "a.pdf"\ntake = "odd"\n[[ink]]\nname = "marigold"\npages = "a.pdf"\n'
                  'take = "every 2 from 2"')  # fmt: skip
    write_vector_pdf(folder / "a.pdf", range(1, 9))
    cells = prepare(folder).parts[0].table.cells
    assert [cells[page, "lamp black"].source.index for page in range(1, 5)] == [0, 2, 4, 6]
    assert [cells[page, "marigold"].source.index for page in range(1, 5)] == [1, 3, 5, 7]


def test_files_named_page_by_page_lie_where_the_job_says(tmp_path):
    folder = _job(tmp_path / "job", 'pages = { 1 = "cover.pdf", 3 = "in.pdf, page 2", 4 = "[odd] name.pdf" }')
    for name, pages in (("cover", 1), ("in", 2), ("[odd] name", 1)):
        write_vector_pdf(folder / f"{name}.pdf", range(1, pages + 1))
    table = prepare(folder).parts[0].table
    assert {page: art.source.place for (page, _), art in table.cells.items()} == {
        1: "cover.pdf", 3: "in.pdf, page 2", 4: "[odd] name.pdf",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("ink", "said"),
    [
        ('pages = { 1 = "a.pdf" }', 'a.pdf has 8 pages; say which: "a.pdf, page 1"'),
        ('pages = { 1 = "a.pdf, page 9" }', "a.pdf has 8 pages, but page 9 is named"),
        ('pages = { 0 = "a.pdf" }', '"0" is not a page number'),
        ('pages = { 1 = "b.pdf" }', "matches no file"),
        ('pages = { 1 = "a.pdf, page 1" }\ntake = "odd"', "the job names every page's file already"),
        ('pages = "a.pdf"\ntake = "some"', "names no pages of a file"),
        ('pages = "a.pdf"\ntake = "9-12"', "takes none of the 8 pages of a.pdf"),
        ('pages = "a.pdf"\nart = "printer\'s pairs"', "is one page wide, but printer's pairs are two"),
        ('pages = "a.pdf"\nart = "pair"', "is none of"),
    ],
)
def test_art_that_cannot_be_taken_is_refused_in_a_line(ink, said, tmp_path):
    folder = _job(tmp_path / "job", ink)
    write_vector_pdf(folder / "a.pdf", range(1, 9))
    with pytest.raises(ImposerError) as error:
        prepare(folder)
    assert said in str(error.value)


def test_art_neither_one_page_wide_nor_two_is_refused(tmp_path):
    folder = _job(tmp_path / "job", 'pages = "a.pdf"\nart = "spreads"')
    write_rows(folder / "a.pdf", [[1], [2, 3, 4]])
    with pytest.raises(ImposerError, match="neither one page of 60 × 80 mm nor two side by side"):
        prepare(folder)
