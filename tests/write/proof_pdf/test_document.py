"""proof.pdf read back: its openings, its colours against the model, the page to sign."""

from __future__ import annotations

import numpy as np
import pypdf
import pypdfium2
import pytest

from imposer.approval.digests import digests_of
from imposer.ink.colour import srgb8_from_rec2020
from imposer.ink.overprint import predict, shop_model
from imposer.main_job import prepare
from imposer.write.proof_pdf import write_proof_pdf
from tests.folders import TRIM, job_folder, write_png

PPI = 100
MM = 72 / 25.4


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """Eight pages; page 1 is an even tone of black at 60 % under marigold's drawing."""
    folder = job_folder(tmp_path_factory.mktemp("proof") / "job", pages=8, ppi=PPI)
    tones = np.full((round(TRIM[1] * PPI / 25.4), round(TRIM[0] * PPI / 25.4)), 255 - 153, np.uint8)
    write_png(folder / "black" / "1.png", tones, PPI)
    return prepare(folder)


@pytest.fixture(scope="module")
def proof(prepared, tmp_path_factory):
    file = tmp_path_factory.mktemp("pdf") / "proof.pdf"
    write_proof_pdf(file, prepared, digests_of(prepared))
    return file


def test_openings_come_in_reading_order_at_full_size(proof):
    reader = pypdf.PdfReader(proof)
    texts = [page.extract_text() for page in reader.pages]
    assert [line for text in texts[:5] for line in text.splitlines() if ": page" in line] == [
        "Small <b>job</b> & co: page 1",
        "Small <b>job</b> & co: pages 2 and 3",
        "Small <b>job</b> & co: pages 4 and 5",
        "Small <b>job</b> & co: pages 6 and 7",
        "Small <b>job</b> & co: page 8",
    ]
    widths = [float(page.mediabox.width) / MM for page in reader.pages[:2]]
    assert widths == pytest.approx([TRIM[0] + 20, 2 * TRIM[0] + 20], abs=0.01)


def test_pictures_have_150_pixels_an_inch(proof):
    (image,) = pypdf.PdfReader(proof).pages[0].images
    assert image.image.size == (round(TRIM[0] * 150 / 25.4), round(TRIM[1] * 150 / 25.4))


def test_colours_are_those_of_the_model(prepared, proof):
    """A corner of page 1 that marigold leaves bare, against the model's own prediction for 60 % black."""
    part = prepared.parts[0]
    model = shop_model(part.job.sheet.paper, [part.job.inks[0].ink])
    wanted = srgb8_from_rec2020(predict(model, [[153 / 255]]))[0]
    with pypdfium2.PdfDocument(proof) as document:
        pixels = document[0].render(scale=1, rev_byteorder=True).to_numpy()
    x, y = round((10 + 50) * MM), round(pixels.shape[0] - (18 + 5) * MM)
    assert np.abs(pixels[y, x, :3].astype(int) - wanted).max() <= 3


def test_the_page_to_sign_holds_code_inks_paper_and_what_a_simulation_is(prepared, proof):
    text = " ".join(pypdf.PdfReader(proof).pages[-1].extract_text().split())
    code = digests_of(prepared).code
    assert f"I have seen proof {code} and say yes to exactly these pages." in text
    for words in ("Colours here are a simulation", "lamp black", "marigold", "white 80", "name", "date", "0.5 mm"):
        assert words in text
    for page in range(1, 9):
        assert str(page) in text


def test_each_ink_is_shown_by_itself(proof):
    texts = [page.extract_text() for page in pypdf.PdfReader(proof).pages]
    assert any("lamp black, by itself" in text for text in texts)
    assert any("marigold, by itself" in text for text in texts)


def test_the_same_job_gives_the_same_bytes(prepared, proof, tmp_path):
    again = tmp_path / "again.pdf"
    write_proof_pdf(again, prepared, digests_of(prepared))
    assert again.read_bytes() == proof.read_bytes()
