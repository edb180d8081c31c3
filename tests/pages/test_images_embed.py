"""Images as objects of a PDF: gray data untouched, everything else without loss, placed to the pixel."""

from __future__ import annotations

import io
import zlib

import numpy as np
import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.geometry import Size
from imposer.limits import LIMITS
from imposer.pages import images
from imposer.pages.image_header import read_headers
from tests.pages.pictures import exif, gray_tiff_tags, png, tiff
from tests.pages.rendered import as_shown, first_image, placed_pdf, tones_of

PPI = 600
#: PNG stores pixels a metre: 600 ppi is 23622.
PER_METRE = (23622, 23622)


def noise(height=37, width=53, most=255, channels=None, number=0):
    shape = (height, width) if channels is None else (height, width, channels)
    return np.random.default_rng(number).integers(0, most + 1, shape)


def written(folder, name, data):
    file = folder / name
    if isinstance(data, bytes):
        file.write_bytes(data)
    else:
        image, options = data
        image.save(file, **options)
    return file


def embedded(file):
    """Return the only image of a file as a PDF page at its own resolution, and as tones."""
    (source,) = images.survey(file, file.name)
    size = source.size
    page = tuple(pixels * 72 / PPI for pixels in source.pixels)
    pdf = placed_pdf(images, [(source, size)], page=page)
    return pdf, images.tones(source, size, 0), tones_of(pdf, source.pixels)


def gray_image(samples):
    return Image.fromarray(samples.astype(np.uint8))


def idat_of(data):
    """Return the picture data of a PNG, chunk after chunk."""
    place, found = 8, b""
    while place < len(data):
        length = int.from_bytes(data[place : place + 4], "big")
        if data[place + 4 : place + 8] == b"IDAT":
            found += data[place + 8 : place + 8 + length]
        place += 12 + length
    return found


class TestUntouched:
    """Gray data that a PDF can hold go in byte for byte."""

    @pytest.mark.parametrize("depth", [1, 2, 4, 8])
    def test_gray_png(self, tmp_path, depth):
        samples = noise(most=2**depth - 1)
        data = png(samples, depth=depth, colour_type=0, per_metre=PER_METRE, pieces=3)
        pdf, own, shown = embedded(written(tmp_path, "p.png", data))
        entries, raw = first_image(pdf)
        assert raw == idat_of(data)
        assert entries == {
            "/Type": "/XObject", "/Subtype": "/Image", "/Width": 53, "/Height": 37, "/ColorSpace": "/DeviceGray",
            "/BitsPerComponent": depth, "/Filter": "/FlateDecode",
            "/DecodeParms": {"/Predictor": 15, "/Colors": 1, "/BitsPerComponent": depth, "/Columns": 53},
        }  # fmt: skip
        assert (own == 255 - samples * 255 // (2**depth - 1)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize("black_first", [True, False])
    def test_one_bit_palette_of_black_and_white(self, tmp_path, black_first):
        samples = noise(most=1)
        colours = [b"\0\0\0", b"\xff\xff\xff"][:: 1 if black_first else -1]
        data = png(samples, depth=1, colour_type=3, palette=b"".join(colours), per_metre=PER_METRE)
        pdf, own, shown = embedded(written(tmp_path, "p.png", data))
        entries, raw = first_image(pdf)
        assert raw == idat_of(data)
        assert entries["/Decode"] == ([0, 1] if black_first else [1, 0])
        assert (own == np.where(samples == (0 if black_first else 1), 255, 0)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize("progressive", [False, True])
    def test_gray_jpeg(self, tmp_path, progressive):
        options = {"quality": 90, "progressive": progressive, "dpi": (PPI, PPI)}
        file = written(tmp_path, "p.jpg", (gray_image(noise()), options))
        pdf, own, shown = embedded(file)
        entries, raw = first_image(pdf)
        assert raw == file.read_bytes()
        assert entries["/Filter"] == "/DCTDecode"
        assert entries["/ColorSpace"] == "/DeviceGray"
        with Image.open(file) as image:
            assert (own == 255 - np.asarray(image)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize("white_is_zero", [True, False])
    def test_fax_of_one_strip(self, tmp_path, white_is_zero):
        picture = gray_image(noise(most=1) * 255).convert("1", dither=Image.Dither.NONE)
        options = {"compression": "group4", "dpi": (PPI, PPI), "tiffinfo": {278: 37, 262: 0 if white_is_zero else 1}}
        file = written(tmp_path, "p.tif", (picture, options))
        pdf, own, shown = embedded(file)
        entries, raw = first_image(pdf)
        with Image.open(file) as image:
            (offset,), (length,) = image.tag_v2[273], image.tag_v2[279]
        assert raw == file.read_bytes()[offset : offset + length]
        assert entries["/Filter"] == "/CCITTFaxDecode"
        assert entries["/DecodeParms"] == {"/K": -1, "/Columns": 53, "/Rows": 37, "/BlackIs1": not white_is_zero}
        assert (own == np.where(np.asarray(picture), 0, 255)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize("predictor", [1, 2])
    @pytest.mark.parametrize("photometric", [0, 1])
    def test_flate_tiff_of_one_strip(self, tmp_path, predictor, photometric):
        samples = noise()
        rows = samples if predictor == 1 else np.diff(samples, axis=1, prepend=0)
        packed = zlib.compress((rows % 256).astype(np.uint8).tobytes())
        tags = gray_tiff_tags(53, 37, packed, compression=8, photometric=photometric, more=[(317, 3, (predictor,))])
        pdf, own, shown = embedded(written(tmp_path, "p.tif", tiff([tags])))
        entries, raw = first_image(pdf)
        assert raw == packed
        assert entries.get("/Decode") == (None if photometric else [1, 0])
        assert (own == (255 - samples if photometric else samples)).all()
        assert (shown == own).all()

    def test_turned_by_the_matrix_alone(self, tmp_path):
        data = png(noise(), depth=8, colour_type=0, per_metre=PER_METRE, exif=exif(6))
        pdf, own, shown = embedded(written(tmp_path, "p.png", data))
        assert first_image(pdf)[1] == idat_of(data)
        assert (own == as_shown(255 - noise(), 6)).all()
        assert (shown == own).all()


class TestPackedAgain:
    """What must be decoded loses nothing."""

    def test_one_bit_stays_one_bit(self, tmp_path):
        data = png(noise(most=1), depth=1, colour_type=0, interlaced=True, per_metre=PER_METRE)
        pdf, own, shown = embedded(written(tmp_path, "p.png", data))
        assert first_image(pdf)[0]["/BitsPerComponent"] == 1
        assert (own == np.where(noise(most=1), 0, 255)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize("rows", [37, 8])
    @pytest.mark.parametrize("compression", ["group3", "group4"])
    @pytest.mark.parametrize("white_is_zero", [True, False])
    def test_fax_with_its_bits_in_the_other_order(self, tmp_path, compression, rows, white_is_zero):
        picture = gray_image(noise(most=1) * 255).convert("1", dither=Image.Dither.NONE)
        tags = {278: rows, 262: 0 if white_is_zero else 1, 266: 2}
        file = written(tmp_path, "p.tif", (picture, {"compression": compression, "dpi": (PPI, PPI), "tiffinfo": tags}))
        with Image.open(file) as image:
            assert image.tag_v2[266] == 2
        _, own, shown = embedded(file)
        assert (own == np.where(np.asarray(picture), 0, 255)).all()
        assert (shown == own).all()

    def test_fax_of_several_strips_stays_fax(self, tmp_path):
        picture = gray_image(noise(most=1) * 255).convert("1", dither=Image.Dither.NONE)
        options = {"compression": "group4", "dpi": (PPI, PPI), "tiffinfo": {278: 8}}
        file = written(tmp_path, "p.tif", (picture, options))
        with Image.open(file) as image:
            assert len(image.tag_v2[273]) == 5
        pdf, own, shown = embedded(file)
        assert first_image(pdf)[0]["/Filter"] == "/CCITTFaxDecode"
        assert (own == np.where(np.asarray(picture), 0, 255)).all()
        assert (shown == own).all()

    @pytest.mark.parametrize(
        ("compression", "bits"),
        [
            *((compression, bits) for compression in (None, "tiff_lzw", "packbits", "tiff_deflate") for bits in (1, 8)),
            ("group3", 1),
        ],
    )
    def test_tiff_of_many_strips(self, tmp_path, compression, bits):
        picture = gray_image(noise(900, 301) if bits == 8 else noise(900, 301, most=1) * 255)
        picture = picture if bits == 8 else picture.convert("1", dither=Image.Dither.NONE)
        options = {"compression": compression, "dpi": (PPI, PPI), "tiffinfo": {278: 100}}
        pdf, own, shown = embedded(written(tmp_path, "p.tif", (picture, options)))
        assert first_image(pdf)[0]["/BitsPerComponent"] == bits
        assert (own == 255 - np.asarray(picture.convert("L"))).all()
        assert (shown == own).all()

    def test_bands_join_without_a_seam(self, tmp_path):
        # 900 rows are four bands of the packer; the row above the first of each is the last of the one before.
        data = png(noise(900, 31), depth=8, colour_type=0, interlaced=True, per_metre=PER_METRE, filters=(0,))
        _, own, shown = embedded(written(tmp_path, "p.png", data))
        assert (own == 255 - noise(900, 31)).all()
        assert (shown == own).all()


KINDS = ("png", "png interlaced", "jpeg", "tiff deflate", "tiff lzw", "tiff fax", "tiff raw")


@st.composite
def pictures(draw):
    """Draw a picture of a random kind: file name, data, and the tones it must give, turned by hand."""
    kind = draw(st.sampled_from(KINDS))
    width, height = draw(st.integers(1, 40)), draw(st.integers(1, 40))
    orientation = draw(st.integers(1, 8))
    number = draw(st.integers(0, 99))
    ppi = draw(st.sampled_from([150, 300, 600, 1200]))
    if kind.startswith("png"):
        depth = draw(st.sampled_from([1, 2, 4, 8, 16]))
        samples = noise(height, width, most=2**depth - 1, number=number)
        per_metre = (round(ppi / 0.0254),) * 2
        data = png(
            samples,
            depth=depth,
            colour_type=0,
            interlaced="interlaced" in kind,
            per_metre=per_metre,
            exif=exif(orientation),
            pieces=draw(st.integers(1, 3)),
        )
        lightness = np.round(samples * 255 / (2**depth - 1)).astype(int)
        return "p.png", data, as_shown(255 - lightness, orientation), ppi
    samples = noise(height, width, most=1 if kind == "tiff fax" else 255, number=number)
    saved = io.BytesIO()
    if kind == "jpeg":
        tags = Image.Exif()
        tags[0x0112] = orientation
        gray_image(samples).save(saved, "JPEG", quality=95, exif=tags, dpi=(ppi, ppi))
        with Image.open(saved) as again:
            lightness = np.asarray(again).astype(int)
        return "p.jpg", saved.getvalue(), as_shown(255 - lightness, orientation), ppi
    picture = gray_image(samples * 255 if kind == "tiff fax" else samples)
    picture = picture.convert("1", dither=Image.Dither.NONE) if kind == "tiff fax" else picture
    compression = {"deflate": "tiff_deflate", "lzw": "tiff_lzw", "fax": "group4", "raw": None}[kind.split()[1]]
    info = {274: orientation, 278: draw(st.sampled_from([height, 7])), 262: draw(st.sampled_from([0, 1]))}
    picture.save(saved, "TIFF", compression=compression, dpi=(ppi, ppi), tiffinfo=info)
    lightness = np.asarray(picture.convert("L")).astype(int)
    return "p.tif", saved.getvalue(), as_shown(255 - lightness, orientation), ppi


@settings(
    max_examples=120, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(picture=pictures(), left=st.integers(0, 30), below=st.integers(0, 30))
def test_every_gray_image_comes_out_bit_for_bit_where_it_was_put(tmp_path, picture, left, below):
    name, data, expected, ppi = picture
    file = written(tmp_path, name, data)
    (source,) = images.survey(file, name)
    height, width = expected.shape
    assert source.pixels == (width, height)
    assert source.size.close_to(Size(width / ppi * 25.4, height / ppi * 25.4))
    assert (images.tones(source, source.size, 0) == expected).all()
    page = (width + 61, height + 67)
    pdf = placed_pdf(
        images,
        [(source, source.size)],
        at=(left / ppi * 25.4, below / ppi * 25.4),
        page=tuple(pixels * 72 / ppi for pixels in page),
    )
    whole = np.zeros((page[1], page[0]), dtype=int)
    whole[page[1] - below - height : page[1] - below, left : left + width] = expected
    assert (tones_of(pdf, page) == whole).all()


class TestStreamsInFiles:
    def test_the_folder_goes_when_the_pdf_goes(self, tmp_path, monkeypatch):
        monkeypatch.setattr("imposer.pages.file_streams.scratch_folder", lambda: tmp_path / "scratch")
        (tmp_path / "scratch").mkdir()
        file = written(tmp_path, "p.png", png(noise(), depth=8, colour_type=0, per_metre=PER_METRE))
        (source,) = images.survey(file, "p.png")
        target = pikepdf.new()
        images.embed(source, source.size, target)
        (folder,) = (tmp_path / "scratch").iterdir()
        assert [path.read_bytes() for path in folder.iterdir()] == [idat_of(file.read_bytes())]
        del target
        assert list((tmp_path / "scratch").iterdir()) == []

    def test_art_that_changes_after_it_was_embedded_does_not_reach_the_master(self, tmp_path):
        data = png(noise(), depth=8, colour_type=0, per_metre=PER_METRE)
        file = written(tmp_path, "p.png", data)
        (source,) = images.survey(file, "p.png")
        target = pikepdf.new()
        made = images.embed(source, source.size, target)
        file.write_bytes(b"gone")
        target.add_blank_page()
        target.Root.Art = made.xobject
        saved = io.BytesIO()
        target.save(saved)
        with pikepdf.open(saved) as again:
            assert again.Root.Art.read_raw_bytes() == idat_of(data)

    def test_the_same_image_gives_the_same_bytes(self, tmp_path):
        file = written(tmp_path, "p.png", png(noise(), depth=16, colour_type=0, per_metre=PER_METRE))
        (source,) = images.survey(file, "p.png")
        assert placed_pdf(images, [(source, source.size)]) == placed_pdf(images, [(source, source.size)])


def test_only_what_is_gray_and_whole_is_read_from_headers(tmp_path):
    # A PNG whose data are rubbish is surveyed and embedded all the same: gray data are never decoded on this way.
    data = png(noise(), depth=8, colour_type=0, per_metre=PER_METRE)
    idat = idat_of(data)
    file = written(tmp_path, "p.png", data.replace(idat, bytes(len(idat))))
    (header,) = read_headers(file, "p.png", LIMITS)
    assert header.stored == (53, 37)
    (source,) = images.survey(file, "p.png")
    images.embed(source, source.size, pikepdf.new())
