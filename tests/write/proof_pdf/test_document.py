"""proof.pdf read back: its openings, its colours against the model, the page to sign."""

from __future__ import annotations

import numpy as np
import pypdf
import pypdfium2
import pytest

from imposer.approval.digests import digests_of
from imposer.ink.colour import Colour, srgb8_from_rec2020
from imposer.ink.overprint import predict, shop_model
from imposer.job.templates import templates_folder
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


def _signed(folder, tmp_path):
    """The words of the page to sign, and its picture at 1 pixel a point."""
    prepared = prepare(folder)
    file = tmp_path / "signed.pdf"
    write_proof_pdf(file, prepared, digests_of(prepared))
    text = " ".join(pypdf.PdfReader(file).pages[-1].extract_text().split())
    with pypdfium2.PdfDocument(file) as document:
        return text, document[len(document) - 1].render(scale=1, rev_byteorder=True).to_numpy()[:, :, :3]


@pytest.fixture
def shop_job(tmp_path):
    """A job with a shop of its own: a function that writes both, marigold as told."""
    folder = job_folder(tmp_path / "job", pages=4, ppi=100)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(f'shop = "shop.toml"\n{text}', encoding="utf-8")

    def write(marigold, paper="#f0d8b0"):
        shop = (templates_folder() / "shop.toml").read_text(encoding="utf-8")
        assert 'colour = "#eba52c"' in shop
        shop = shop.replace('colour = "#eba52c"', marigold).replace("#fbfaf6", paper)
        (folder / "shop.toml").write_text(shop, encoding="utf-8")
        return folder

    return write


def test_an_ink_of_defaults_is_told_by_its_colour_alone(shop_job, tmp_path):
    text, _ = _signed(shop_job('colour = "#eba52c"'), tmp_path)
    assert "marigold: #eba52c on white paper; shown on white 80 Tick every page" in text
    assert "white 80, #f0d8b0, 80 g/m², on A4; 25 copies" in text


def test_an_ink_that_was_measured_is_told_as_that_with_all_that_is_not_usual(shop_job, tmp_path):
    ink = 'colour = "#eba52c"\nlab = [60.5, 20, -8.5]\ngain = 0.2\nopacity = 0.35'
    text, _ = _signed(shop_job(ink), tmp_path)
    assert (
        "marigold: lab 60.5 20 -8.5 on white paper, as measured, gain 20 %, hides 35 % of what lies under it; "
        "shown on white 80 Tick"
    ) in text
    assert "#eba52c" not in text


def test_an_ink_that_no_screen_can_show_is_told_so(shop_job, tmp_path):
    flag = "purer than any screen can show"
    text, _ = _signed(shop_job('colour = "#eba52c"\nlab = [70, 75, -30]'), tmp_path)
    assert text.count(flag) == 1
    assert flag not in _signed(shop_job('colour = "#eba52c"'), tmp_path)[0]


@pytest.mark.parametrize("opacity", [0, 0.5])
def test_the_swatch_is_the_full_tone_on_the_jobs_paper(shop_job, tmp_path, opacity):
    """A film over the surface floor, worked out here channel by channel in linear Rec.2020."""
    _, picture = _signed(shop_job(f'colour = "#eba52c"\nopacity = {opacity}', "#a0b0d0"), tmp_path)
    floor = 0.055
    solid, paper = (np.array(Colour.from_hex(code).rec2020) for code in ("#eba52c", "#a0b0d0"))
    filtered = floor + (paper - floor) * np.maximum(solid - floor, 0) / (1 - floor)
    filtered = np.where(solid < floor, np.minimum(filtered, solid), filtered)
    wanted = srgb8_from_rec2020(opacity * solid + (1 - opacity) * filtered)
    swatch = picture[:, round(18 * MM)].astype(int)
    assert np.abs(swatch - wanted).max(axis=1).min() <= 1
    assert np.abs(swatch - [0xEB, 0xA5, 0x2C]).max(axis=1).min() > 20


def test_measured_overprints_colour_the_pages_and_are_told(shop_job, tmp_path):
    """Full tone of both inks on white paper: the colour that the shop gives for the pair, but for the JPEG."""
    colour = 'colour = "#eba52c"'
    folder = shop_job(colour, "#ffffff")
    full = np.zeros((round(TRIM[1] * PPI / 25.4), round(TRIM[0] * PPI / 25.4)), np.uint8)
    write_png(folder / "black" / "1.png", full, PPI)
    write_png(folder / "gold" / "1.png", full, PPI)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(text.replace("marigold.pdf", "gold/*.png"), encoding="utf-8")
    assert "Measured overprints of the studio's own chart would make them truer" in _signed(folder, tmp_path)[0]
    pair = '[[overprint]]\ninks = ["marigold", "lamp black"]\ncolour = "#4060a0"\n'
    shop_job(f"{colour}\n{pair}", "#ffffff")
    text, _ = _signed(folder, tmp_path)
    assert "These overprints are as the studio measured them: lamp black with marigold." in text
    assert "would make them truer" not in text
    with pypdfium2.PdfDocument(tmp_path / "signed.pdf") as document:
        pixels = document[0].render(scale=1, rev_byteorder=True).to_numpy()[:, :, :3].astype(int)
    assert np.abs(pixels[round(50 * MM), round(40 * MM)] - [0x40, 0x60, 0xA0]).max() <= 3
