"""Images in process colours whose plates stand for inks: each plate's own samples, and nothing else, become the ink."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.errors import ImposerError
from imposer.job.model import JobInk
from imposer.pages import images
from imposer.pages.find import find_pages
from imposer.pages.plates import PROCESS
from imposer.pages.unprinted_plates import unprinted_plates
from tests.jobs import a_job
from tests.pages.pictures import tiff
from tests.pages.rendered import first_image, placed_pdf

#: TIFF 6.0: separated, ink set CMYK.
SEPARATED = {262: (3, (5,)), 277: (3, (4,))}


def four_plates(height=31, width=23, seed=5):
    return np.random.default_rng(seed).integers(0, 256, (height, width, 4)).astype(np.uint8)


def written(folder, name, plates, kind="TIFF", **how):
    file = folder / name
    Image.fromarray(plates, "CMYK").save(file, kind, dpi=(300, 300), **how)
    return file


def plate_tones(file, plate):
    (source,) = images.survey(file, file.name, plate=plate)
    assert source.findings == ()
    return images.tones(source, source.size, 0)


def embedded(file, plate):
    """The samples of the image object a plate becomes, decoded by pypdf's reader of the file that pikepdf wrote."""
    (source,) = images.survey(file, file.name, plate=plate)
    entries, _ = first_image(data := placed_pdf(images, [(source, source.size)]))
    with pikepdf.open(io.BytesIO(data)) as document:
        picture = pikepdf.PdfImage(document.pages[0].Resources.XObject.Art).as_pil_image()
    return entries, np.asarray(picture.convert("L"))


def deep_tiff(folder, samples, order="<"):
    """A TIFF of four 16-bit samples a pixel, written by hand."""
    height, width, _ = samples.shape
    data = samples.astype(order + "u2").tobytes()
    tags = {
        256: (4, (width,)), 257: (4, (height,)), 258: (3, (16,) * 4), 259: (3, (1,)), **SEPARATED, 273: (4, [data]),
        278: (4, (height,)), 282: (5, (300, 1)), 283: (5, (300, 1)),
    }  # fmt: skip
    file = folder / "deep.tif"
    file.write_bytes(tiff([tags], order))
    return file


class TestSamples:
    @pytest.mark.parametrize("compression", ["raw", "tiff_lzw", "tiff_adobe_deflate", "packbits"])
    @pytest.mark.parametrize(("number", "plate"), tuple(enumerate(PROCESS)))
    def test_a_tiff_plate_is_its_own_samples(self, tmp_path, number, plate, compression):
        plates = four_plates()
        file = written(tmp_path, "zine.tif", plates, compression=compression)
        assert (plate_tones(file, plate) == plates[..., number]).all()

    @pytest.mark.parametrize(("number", "plate"), tuple(enumerate(PROCESS)))
    def test_a_plate_goes_into_a_master_without_loss(self, tmp_path, number, plate):
        plates = four_plates()
        entries, samples = embedded(written(tmp_path, "zine.tif", plates), plate)
        assert entries["/ColorSpace"] == "/DeviceGray"
        assert entries["/BitsPerComponent"] == 8
        assert (samples == 255 - plates[..., number]).all()

    @given(seed=st.integers(0, 10_000), plate=st.sampled_from(PROCESS), size=st.tuples(*[st.integers(1, 40)] * 2))
    @settings(max_examples=25, deadline=None)
    def test_any_colours_on_any_plate(self, tmp_path_factory, seed, plate, size):
        plates = four_plates(*size, seed)
        file = written(tmp_path_factory.mktemp("any"), "any.tif", plates)
        assert (plate_tones(file, plate) == plates[..., PROCESS.index(plate)]).all()

    @pytest.mark.parametrize("order", ["<", ">"])
    def test_sixteen_bits_are_rounded_and_not_cut_off(self, tmp_path, order):
        samples = np.random.default_rng(3).integers(0, 65536, (9, 11, 4))
        tones = plate_tones(deep_tiff(tmp_path, samples, order), "yellow")
        assert (tones == np.rint(samples[..., 2] / 257)).all()

    @pytest.mark.parametrize("marked", [True, False])
    def test_a_jpeg_stored_the_other_way_round_and_one_that_is_not(self, tmp_path, marked):
        levels = (20, 90, 160, 230)
        flat = np.full((16, 16, 4), levels, np.uint8)
        file = written(tmp_path, "a.jpg", flat, "JPEG", quality=100, subsampling=0)
        data = file.read_bytes()
        place = data.index(b"\xff\xee")
        length = int.from_bytes(data[place + 2 : place + 4], "big") + 2
        if not marked:
            # Without the marker of ITU-T T.872, 6.5.3, the numbers mean ink as they stand.
            file.write_bytes(data[:place] + data[place + length :])
        for level, plate in zip(levels, PROCESS, strict=True):
            tones = plate_tones(file, plate).astype(int)
            assert np.abs(tones - (level if marked else 255 - level)).max() <= 1

    def test_a_reduced_plate_keeps_its_mean(self, tmp_path):
        plates = four_plates(600, 450)
        (source,) = images.survey(written(tmp_path, "a.tif", plates), "a.tif", plate="magenta")
        assert abs(images.tones(source, source.size, 75).mean() - plates[..., 1].mean()) < 1


class TestGrayAndColour:
    """Gray art is a black plate and no other; light has no plates at all."""

    def test_gray_is_its_own_black_plate_untouched(self, tmp_path):
        gray = np.random.default_rng(1).integers(0, 256, (12, 10)).astype(np.uint8)
        file = tmp_path / "gray.png"
        Image.fromarray(gray).save(file, dpi=(300, 300))
        assert (plate_tones(file, "black") == 255 - gray).all()
        assert (embedded(file, "black")[1] == gray).all()

    @pytest.mark.parametrize("kind", ["png", "tif", "jpg"])
    @pytest.mark.parametrize("plate", ["cyan", "Coral"])
    def test_gray_is_on_no_other_plate(self, tmp_path, plate, kind):
        file = tmp_path / f"gray.{kind}"
        Image.new("L", (12, 10), 40).save(file, dpi=(300, 300))
        assert not plate_tones(file, plate).any()
        assert (embedded(file, plate)[1] == 255).all()

    def test_process_colours_are_on_no_plate_of_a_spot_colour(self, tmp_path):
        assert not plate_tones(written(tmp_path, "zine.tif", four_plates()), "Coral").any()

    def test_red_green_and_blue_are_refused_with_the_way_out(self, tmp_path):
        file = tmp_path / "zine.png"
        Image.new("RGB", (30, 30), (200, 30, 60)).save(file)
        with pytest.raises(ImposerError) as caught:
            images.survey(file, "zine.png", plate="black")
        assert str(caught.value) == (
            "zine.png: is in red, green and blue, which has no plates; export it in CMYK or a gray file for each ink, "
            "or leave plate out and take its lightness"
        )

    def test_inks_of_their_own_names_are_refused(self, tmp_path):
        tags = {
            256: (4, (2,)), 257: (4, (2,)), 258: (3, (8,) * 4), 259: (3, (1,)), **SEPARATED, 278: (4, (2,)),
            273: (4, [bytes(16)]), 332: (3, (2,)),
        }  # fmt: skip
        file = tmp_path / "inks.tif"
        file.write_bytes(tiff([tags]))
        with pytest.raises(ImposerError) as caught:
            images.survey(file, "inks.tif", plate="black")
        assert "its plates are not known; export a gray file for each ink" in str(caught.value)


def job_of(folder, *inks):
    """A job of inks, each (pages, plate)."""
    job = a_job(trim=(40, 60), inks=("lamp black", "marigold", "harbour", "rose")[: len(inks)])
    named = tuple(
        JobInk(ink=one.ink, pages=(pages,), plate=plate) for one, (pages, plate) in zip(job.inks, inks, strict=True)
    )
    return replace(job, file=folder / "job.toml", inks=named)


def page_file(folder, name, plates=(0, 1, 2, 3)):
    """A page of 40 × 60 mm at 100 ppi with a square on each of these plates."""
    art = np.zeros((round(60 / 25.4 * 100), round(40 / 25.4 * 100), 4), np.uint8)
    for plate in plates:
        art[20 * plate + 10 : 20 * plate + 30, 20:40, plate] = 255
    Image.fromarray(art, "CMYK").save(folder / name, dpi=(100, 100))


def faults_of(job):
    with pytest.raises(ImposerError) as caught:
        find_pages(job)
    return [str(fault) for fault in caught.value.faults]


class TestJob:
    def test_several_inks_take_plates_of_one_file(self, tmp_path):
        page_file(tmp_path, "1.tif")
        page_file(tmp_path, "2.tif")
        table = find_pages(job_of(tmp_path, ("*.tif", "black"), ("*.tif", "Cyan")))
        assert table.pages == 2
        assert table.findings == ()
        assert table.art(2, "marigold").source.place == "2.tif, plate Cyan"
        tones = images.tones(table.art(1, "marigold").source, table.art(1, "marigold").size, 0)
        assert tones[12, 25] == 255
        assert not tones[30:].any()

    def test_a_plate_that_no_file_has(self, tmp_path):
        page_file(tmp_path, "1.tif")
        page_file(tmp_path, "2.tif")
        (fault,) = faults_of(job_of(tmp_path, ("*.tif", "blck")))
        assert fault.endswith('ink[1].plate: no page of 1.tif and 1 more has a plate “blck”; did you mean "black"?')
        (fault,) = faults_of(job_of(tmp_path, ("1.tif", "Coral")))
        assert fault.endswith("no page of 1.tif has a plate “Coral”; it has cyan, magenta, yellow, black")

    def test_gray_files_alone_have_a_black_plate_only(self, tmp_path):
        Image.new("L", (157, 236), 9).save(tmp_path / "1.png", dpi=(100, 100))
        (fault,) = faults_of(job_of(tmp_path, ("1.png", "cyan")))
        assert fault.endswith("no page of 1.png has a plate “cyan”; it has black")

    def test_one_plate_in_two_inks_is_asked_back(self, tmp_path):
        page_file(tmp_path, "1.tif")
        (fault,) = faults_of(job_of(tmp_path, ("1.tif", "black"), ("*.tif", "Black")))
        assert fault.endswith(
            "ink[2].plate: 1.tif, plate Black is ink[1]'s already; give each ink a plate of its own; "
            "to print one twice, copy the file"
        )

    def test_ink_on_a_plate_that_nobody_prints_is_told(self, tmp_path):
        page_file(tmp_path, "1.tif", (0, 3))
        page_file(tmp_path, "2.tif", (0, 1, 3))
        page_file(tmp_path, "3.tif", (0, 1, 3))
        table = find_pages(job_of(tmp_path, ("*.tif", "black"), ("*.tif", "cyan")))
        (found,) = unprinted_plates(table.cells.values())
        assert (found.rule, found.level, found.page) == ("unprinted-plate", "warning", 2)
        assert found.message == (
            "no ink is plate magenta of 2.tif and 1 more, so what is drawn on it does not print (pages 2, 3)"
        )

    def test_bare_plates_that_nobody_prints_are_fine(self, tmp_path):
        page_file(tmp_path, "1.tif", (0, 3))
        table = find_pages(job_of(tmp_path, ("*.tif", "black"), ("*.tif", "cyan")))
        assert list(unprinted_plates(table.cells.values())) == []
