"""The reader of images: what a file states, what is refused and in which words, and what its samples mean as tones."""

from __future__ import annotations

import io
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from PIL import Image

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.limits import LIMITS
from imposer.pages import images
from imposer.pages.readers import reader_for
from tests.pages.pictures import dict_of, exif, gray_tiff_tags, png, tiff
from tests.pages.rendered import as_shown

PER_METRE = (23622, 23622)


def noise(height=11, width=13, most=255, channels=None):
    shape = (height, width) if channels is None else (height, width, channels)
    return np.random.default_rng(5).integers(0, most + 1, shape)


def put(folder: Path, name: str, data: bytes) -> Path:
    file = folder / name
    file.write_bytes(data)
    return file


def saved(picture, kind, **options):
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def only(file):
    (source,) = images.survey(file, file.name)
    return source


def own_tones(file):
    source = only(file)
    return images.tones(source, source.size or Size(10, 10), 0)


def all_tones(file):
    return [images.tones(source, source.size or Size(10, 10), 0) for source in images.survey(file, file.name)]


def fault_of(file):
    with pytest.raises(ImposerError) as caught:
        all_tones(file)
    return str(caught.value)


class TestResolution:
    """What size a file states; what makes no sense is as if nothing were said."""

    @pytest.mark.parametrize(
        ("per_metre", "unit", "ppi"),
        [
            ((23622, 23622), 1, 600.0),  # 600 ppi, which PNG can only round
            ((11811, 11811), 1, 300.0),
            ((2835, 2835), 1, 72.0),
            ((2836, 2836), 1, 2836 * 0.0254),  # 72.03 is no whole number any more
            ((23622, 23622), 0, None),  # a bare proportion
            ((39, 39), 1, None),  # 1 ppi
            ((23622, 23000), 1, None),  # 2.6 % apart
            ((0, 0), 1, None),
            (None, 1, None),
        ],
    )
    def test_png(self, tmp_path, per_metre, unit, ppi):
        data = png(noise(), depth=8, colour_type=0, per_metre=per_metre, unit=unit)
        source = only(put(tmp_path, "a.png", data))
        assert source.pixels == (13, 11)
        if ppi is None:
            assert source.size is None
        else:
            assert source.size.close_to(Size(13 / ppi * 25.4, 11 / ppi * 25.4), 1e-12)

    @pytest.mark.parametrize(
        ("resolution", "unit", "expected"),
        [(600, 2, 600.0), (236, 3, 599.44), (1, 2, None), (600, 1, None), (9999, 2, None)],
    )
    def test_tiff(self, tmp_path, resolution, unit, expected):
        tags = gray_tiff_tags(13, 11, bytes(143), ppi=resolution, more=[(296, 3, (unit,))])
        source = only(put(tmp_path, "a.tif", tiff([tags])))
        if expected is None:
            assert source.size is None
        else:
            assert source.size.close_to(Size(13 / expected * 25.4, 11 / expected * 25.4))

    @pytest.mark.parametrize(
        ("jfif", "in_exif", "expected"),
        [
            ((1, 300), None, 300.0),
            ((2, 118), None, 299.72),
            ((0, 1), None, None),
            ((0, 1), 300, 300.0),
            ((1, 300), 600, 300.0),
            ((0, 1), 72, None),  # Exif writes 72 where it knows nothing
        ],
    )
    def test_jpeg(self, tmp_path, jfif, in_exif, expected):
        options = {"exif": b"Exif\0\0" + exif(1, in_exif)} if in_exif else {}
        data = bytearray(saved(Image.fromarray(noise().astype(np.uint8)), "JPEG", **options))
        place = data.index(b"JFIF\0") + 7
        data[place : place + 5] = struct.pack(">BHH", jfif[0], jfif[1], jfif[1])
        source = only(put(tmp_path, "a.jpg", bytes(data)))
        if expected is None:
            assert source.size is None
        else:
            assert source.size.close_to(Size(13 / expected * 25.4, 11 / expected * 25.4))

    def test_missing_is_told(self, tmp_path):
        (finding,) = only(put(tmp_path, "a.png", png(noise(), depth=8, colour_type=0))).findings
        assert (finding.rule, finding.level) == ("resolution-missing", "note")
        assert (
            finding.message == "a.png states no resolution that can be believed, so it is taken to fill trim and bleed"
        )


class TestOrientation:
    """The eight orientations of Exif and TIFF, against a turn made pixel by pixel."""

    @pytest.mark.parametrize("orientation", range(1, 9))
    def test_jpeg_and_png_and_tiff(self, tmp_path, orientation):
        samples = noise()
        shown = as_shown(255 - samples, orientation)
        block = exif(orientation)
        a = put(tmp_path, "a.png", png(samples, depth=8, colour_type=0, per_metre=PER_METRE, exif=block))
        b = put(
            tmp_path,
            "b.tif",
            tiff([gray_tiff_tags(13, 11, samples.astype(np.uint8).tobytes(), more=[(274, 3, (orientation,))])]),
        )
        for file in (a, b):
            assert only(file).pixels == (shown.shape[1], shown.shape[0])
            assert (own_tones(file) == shown).all()
        picture = Image.fromarray(samples.astype(np.uint8))
        jpeg = put(tmp_path, "c.jpg", saved(picture, "JPEG", quality=100, exif=b"Exif\0\0" + block, dpi=(600, 600)))
        with Image.open(jpeg) as stored:
            assert (own_tones(jpeg) == as_shown(255 - np.asarray(stored), orientation)).all()

    def test_a_turned_page_has_its_sides_changed(self, tmp_path):
        data = png(noise(), depth=8, colour_type=0, per_metre=PER_METRE, exif=exif(6))
        assert only(put(tmp_path, "a.png", data)).size == Size(11 / 600 * 25.4, 13 / 600 * 25.4)

    def test_nonsense_is_as_stored(self, tmp_path):
        data = png(noise(), depth=8, colour_type=0, per_metre=PER_METRE, exif=exif(9))
        assert only(put(tmp_path, "a.png", data)).pixels == (13, 11)


class TestPngSamples:
    """Every colour type and depth of PNG, plain and interlaced, against sums made here."""

    @pytest.mark.parametrize("interlaced", [False, True])
    @pytest.mark.parametrize("depth", [1, 2, 4, 8, 16])
    def test_gray(self, tmp_path, depth, interlaced):
        samples = noise(most=2**depth - 1)
        data = png(samples, depth=depth, colour_type=0, interlaced=interlaced, per_metre=PER_METRE)
        expected = 255 - np.round(samples * 255 / (2**depth - 1))
        assert (own_tones(put(tmp_path, "a.png", data)) == expected).all()

    @pytest.mark.parametrize("depth", [1, 2, 4, 8, 16])
    def test_a_clear_gray_is_paper(self, tmp_path, depth):
        samples = noise(most=2**depth - 1)
        clear = int(samples[3, 3])
        data = png(samples, depth=depth, colour_type=0, clear=struct.pack(">H", clear), per_metre=PER_METRE)
        expected = np.where(samples == clear, 0, 255 - np.round(samples * 255 / (2**depth - 1)))
        assert (own_tones(put(tmp_path, "a.png", data)) == expected).all()

    @pytest.mark.parametrize("depth", [8, 16])
    def test_colour_is_its_lightness(self, tmp_path, depth):
        samples = noise(most=2**depth - 1, channels=3)
        data = png(samples, depth=depth, colour_type=2, per_metre=PER_METRE)
        # ITU-R BT.601-7, 2.5.1
        lightness = samples @ np.array([0.299, 0.587, 0.114]) * 255 / (2**depth - 1)
        assert np.abs(own_tones(put(tmp_path, "a.png", data)) - (255 - lightness)).max() <= 0.501

    @pytest.mark.parametrize("depth", [8, 16])
    def test_a_clear_colour_is_paper(self, tmp_path, depth):
        samples = noise(most=2**depth - 1, channels=3)
        clear = struct.pack(">3H", *samples[4, 4])
        data = png(samples, depth=depth, colour_type=2, clear=clear, per_metre=PER_METRE)
        tones = own_tones(put(tmp_path, "a.png", data))
        plain = own_tones(put(tmp_path, "b.png", png(samples, depth=depth, colour_type=2, per_metre=PER_METRE)))
        assert plain[4, 4] != 0
        assert tones[4, 4] == 0
        plain[4, 4] = 0
        assert (tones == plain).all()

    @pytest.mark.parametrize("depth", [8, 16])
    @pytest.mark.parametrize("colour_type", [4, 6])
    def test_alpha_lies_on_white(self, tmp_path, depth, colour_type):
        most = 2**depth - 1
        samples = noise(most=most, channels=2 if colour_type == 4 else 4)
        samples[0, 0, -1], samples[0, 1, -1] = 0, most
        data = png(samples, depth=depth, colour_type=colour_type, per_metre=PER_METRE)
        gray = samples[..., 0] if colour_type == 4 else samples[..., :3] @ np.array([0.299, 0.587, 0.114])
        tone = (most - gray) * (samples[..., -1] / most) * 255 / most
        found = own_tones(put(tmp_path, "a.png", data))
        # At 16 bits one rounding at the end; at 8 bits colour is rounded before alpha is.
        assert np.abs(found - tone).max() <= (0.501 if depth == 16 or colour_type == 4 else 1.01)
        assert found[0, 0] == 0

    def test_sixteen_bits_with_alpha_are_not_clipped(self, tmp_path):
        samples = np.array([[[0x80FF, 0xFFFF], [0x8000, 0xFFFF]]])
        data = png(samples, depth=16, colour_type=4, per_metre=PER_METRE)
        # 0x80FF / 257 = 128.49, 0x8000 / 257 = 127.50 (127.498…)
        assert own_tones(put(tmp_path, "a.png", data)).tolist() == [[255 - 128, 255 - 128]]

    @pytest.mark.parametrize("depth", [1, 2, 4, 8])
    def test_palette_with_alphas(self, tmp_path, depth):
        count = 2**depth
        colours = np.random.default_rng(7).integers(0, 256, (count, 3))
        alphas = np.random.default_rng(8).integers(0, 256, max(1, count // 2))
        samples = noise(most=count - 1)
        data = png(
            samples, depth=depth, colour_type=3, palette=colours.astype(np.uint8).tobytes(),
            clear=alphas.astype(np.uint8).tobytes(), per_metre=PER_METRE,
        )  # fmt: skip
        alpha = np.concatenate([alphas, np.full(count - len(alphas), 255)]) / 255
        tone = (255 - colours @ np.array([0.299, 0.587, 0.114])) * alpha
        assert np.abs(own_tones(put(tmp_path, "a.png", data)) - tone[samples]).max() <= 1.01


class TestTiffSamples:
    @pytest.mark.parametrize("order", ["<", ">"])
    @pytest.mark.parametrize("photometric", [0, 1])
    @pytest.mark.parametrize("compression", [1, 8])
    def test_sixteen_bits(self, tmp_path, order, photometric, compression):
        samples = noise(most=65535)
        data = samples.astype(order + "u2").tobytes()
        data = zlib.compress(data) if compression == 8 else data
        tags = gray_tiff_tags(13, 11, data, bits=16, photometric=photometric, compression=compression)
        if order == ">" and photometric == 0:
            with pytest.raises(ImposerError) as caught:
                images.survey(put(tmp_path, "a.tif", tiff([tags], order=order)), "a.tif")
            assert str(caught.value) == (
                "a.tif: holds its pixels in a way that no decoder here knows; "
                "export it as 8-bit gray, without alpha and not in planes, as PNG or TIFF"
            )
            return
        gray = np.round(samples / 257)
        tones = own_tones(put(tmp_path, "a.tif", tiff([tags], order=order)))
        assert (tones == (gray if photometric == 0 else 255 - gray)).all()

    @pytest.mark.parametrize("bits", [1, 2, 4, 8])
    @pytest.mark.parametrize("photometric", [0, 1])
    def test_gray(self, tmp_path, bits, photometric):
        from tests.pages.pictures import packed_row

        samples = noise(most=2**bits - 1)
        tags = gray_tiff_tags(
            13, 11, b"".join(packed_row(row, bits) for row in samples), bits=bits, photometric=photometric
        )
        gray = samples * 255 // (2**bits - 1)
        tones = own_tones(put(tmp_path, "a.tif", tiff([tags])))
        assert (tones == (gray if photometric == 0 else 255 - gray)).all()

    @pytest.mark.parametrize("compression", [1, 8])
    def test_tiles(self, tmp_path, compression):
        samples = noise(40, 50)
        padded = np.zeros((48, 64), dtype=np.uint8)
        padded[:40, :50] = samples
        tiles = [padded[y : y + 16, x : x + 16].tobytes() for y in range(0, 48, 16) for x in range(0, 64, 16)]
        tiles = [zlib.compress(tile) for tile in tiles] if compression == 8 else tiles
        tags = gray_tiff_tags(50, 40, b"", compression=compression)
        del tags[273], tags[278]
        tags |= dict_of([(322, 3, (16,)), (323, 3, (16,)), (324, 4, tiles)])
        assert (own_tones(put(tmp_path, "a.tif", tiff([tags]))) == 255 - samples).all()

    @pytest.mark.parametrize("order", ["<", ">"])
    @pytest.mark.parametrize("compression", [1, 8])
    def test_sixteen_bit_colour(self, tmp_path, order, compression):
        samples = noise(most=65535, channels=3)
        data = samples.astype(order + "u2").tobytes()
        tags = gray_tiff_tags(13, 11, zlib.compress(data) if compression == 8 else data, compression=compression)
        tags |= dict_of([(258, 3, (16, 16, 16)), (262, 3, (2,)), (277, 3, (3,))])
        lightness = samples @ np.array([0.299, 0.587, 0.114]) / 257
        tones = own_tones(put(tmp_path, "a.tif", tiff([tags], order=order)))
        assert np.abs(tones - (255 - lightness)).max() <= 0.501

    def test_gray_with_alpha_on_white(self, tmp_path):
        samples = noise(channels=2)
        tags = gray_tiff_tags(13, 11, samples.astype(np.uint8).tobytes())
        tags |= dict_of([(258, 3, (8, 8)), (277, 3, (2,)), (338, 3, (2,))])
        tone = (255 - samples[..., 0]) * (samples[..., 1] / 255)
        assert np.abs(own_tones(put(tmp_path, "a.tif", tiff([tags]))) - tone).max() <= 0.501

    def test_black_ink_alone_is_its_tone(self, tmp_path):
        samples = np.zeros((11, 13, 4), dtype=np.uint8)
        samples[..., 3] = noise()
        tags = gray_tiff_tags(13, 11, samples.tobytes())
        tags |= dict_of([(258, 3, (8, 8, 8, 8)), (262, 3, (5,)), (277, 3, (4,))])
        file = put(tmp_path, "a.tif", tiff([tags]))
        assert (own_tones(file) == samples[..., 3]).all()
        assert only(file).findings == ()

    def test_pages_of_one_file(self, tmp_path):
        pages = [noise(11 + number, 13) for number in range(3)]
        directories = [
            gray_tiff_tags(13, len(page), page.astype(np.uint8).tobytes(), ppi=300 + 300 * number)
            for number, page in enumerate(pages)
        ]
        # A smaller copy and a mask stand between the pages and are none.
        copy = gray_tiff_tags(6, 5, bytes(30), more=[(254, 4, (1,))])
        mask = gray_tiff_tags(13, 11, bytes(22), bits=1, photometric=4, more=[(254, 4, (4,))])
        directories[1:1] = [copy, mask]
        file = put(tmp_path, "a.tif", tiff(directories))
        sources = images.survey(file, "a.tif")
        assert [(source.index, source.of, source.pixels) for source in sources] == [
            (0, 3, (13, 11)), (1, 3, (13, 12)), (2, 3, (13, 13)),
        ]  # fmt: skip
        assert sources[1].place == "a.tif, page 2"
        for source, page in zip(sources, pages, strict=True):
            assert (images.tones(source, source.size, 0) == 255 - page).all()
            target = pikepdf.new()
            assert int(images.embed(source, source.size, target).xobject.Height) == len(page)

    def test_big_tiff(self, tmp_path):
        picture = Image.fromarray(noise().astype(np.uint8))
        file = put(tmp_path, "a.tif", saved(picture, "TIFF", big_tiff=True, dpi=(600, 600)))
        assert reader_for(file, "a.tif") is images
        assert only(file).size == Size(13 / 600 * 25.4, 11 / 600 * 25.4)
        assert (own_tones(file) == 255 - noise()).all()


class TestJpegSamples:
    @pytest.mark.parametrize("marked", [True, False])
    def test_black_ink_alone_is_its_tone(self, tmp_path, marked):
        bands = [Image.new("L", (16, 16), 0)] * 3 + [Image.new("L", (16, 16), 180)]
        data = saved(Image.merge("CMYK", bands), "JPEG", quality=100, dpi=(300, 300))
        place = data.index(b"\xff\xee")
        length = int.from_bytes(data[place + 2 : place + 4], "big") + 2
        # Without the marker the same numbers mean ink as they stand: 255 - 180 of black, all of the rest.
        data = data if marked else data[:place] + data[place + length :]
        tones = own_tones(put(tmp_path, "a.jpg", data))
        assert np.abs(tones.astype(int) - (180 if marked else 255)).max() <= 1

    def test_colour_is_its_lightness(self, tmp_path):
        smooth = np.linspace(0, 255, 64 * 64).reshape(64, 64).astype(np.uint8)
        picture = Image.merge("RGB", [Image.fromarray(smooth), Image.fromarray(smooth.T), Image.new("L", (64, 64), 90)])
        file = put(tmp_path, "a.jpg", saved(picture, "JPEG", quality=100, subsampling=0))
        with Image.open(file) as decoded:
            lightness = np.asarray(decoded).astype(float) @ np.array([0.299, 0.587, 0.114])
        # One rounding here, one in the decoder's own colours.
        assert np.abs(own_tones(file) - (255 - lightness)).max() <= 1.5


class TestReducing:
    @pytest.mark.parametrize("ppi", [75, 100, 151, 300])
    def test_size_and_mean_are_kept(self, tmp_path, ppi):
        samples = noise(600, 450)
        file = put(tmp_path, "a.png", png(samples, depth=8, colour_type=0, per_metre=PER_METRE, filters=(0,)))
        source = only(file)
        tones = images.tones(source, source.size, ppi)
        assert tones.shape == (round(600 * ppi / 600), round(450 * ppi / 600))
        assert abs(tones.mean() - (255 - samples.mean())) < 1

    def test_a_hairline_grows_pale_but_stays(self, tmp_path):
        samples = np.full((600, 450), 255)
        samples[:, 200] = 0
        file = put(tmp_path, "a.png", png(samples, depth=8, colour_type=0, per_metre=PER_METRE, filters=(0,)))
        source = only(file)
        tones = images.tones(source, source.size, 100)
        assert (tones.max(axis=1) == round(255 / 6)).all()

    @pytest.mark.parametrize("orientation", [1, 6])
    def test_jpeg_is_reduced_as_its_full_size_is(self, tmp_path, orientation):
        smooth = (127 + 120 * np.sin(np.arange(800)[:, None] / 90) * np.cos(np.arange(640) / 70)).astype(np.uint8)
        block = b"Exif\0\0" + exif(orientation)
        file = put(tmp_path, "a.jpg", saved(Image.fromarray(smooth), "JPEG", quality=95, exif=block, dpi=(600, 600)))
        source = only(file)
        small = images.tones(source, source.size, 75)
        full = images.tones(source, source.size, 0).astype(float)
        height, width = small.shape
        means = full.reshape(height, 8, width, 8).mean(axis=(1, 3))
        assert np.abs(small - means).max() <= 2


class TestColour:
    def coloured(self, file):
        return [finding for finding in only(file).findings if finding.rule == "coloured-layer"]

    @pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
    def test_a_coloured_layer_is_told(self, tmp_path, kind):
        picture = Image.new("RGB", (200, 200), (250, 250, 250))
        picture.paste((230, 40, 90), (20, 20, 120, 120))
        (finding,) = self.coloured(put(tmp_path, "pink", saved(picture, kind, dpi=(300, 300))))
        assert finding.level == "warning"
        assert finding.message == "pink is coloured; only its lightness is used, so its colours print weak"
        assert finding.mend == "turn the layer to gray yourself, full ink as black, and export it again"

    @pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
    def test_gray_saved_as_colour_is_fine(self, tmp_path, kind):
        picture = Image.fromarray(noise(200, 200).astype(np.uint8)).convert("RGB")
        assert self.coloured(put(tmp_path, "gray", saved(picture, kind, dpi=(300, 300)))) == []

    def test_colour_under_a_clear_alpha_does_not_count(self, tmp_path):
        picture = Image.new("RGBA", (100, 100), (230, 40, 90, 0))
        assert self.coloured(put(tmp_path, "a.png", saved(picture, "PNG"))) == []
        picture.paste((230, 40, 90, 200), (0, 0, 50, 50))
        assert len(self.coloured(put(tmp_path, "b.png", saved(picture, "PNG")))) == 1

    def test_a_palette_counts_where_it_is_used(self, tmp_path):
        palette = bytes([0, 0, 0, 255, 255, 255, 255, 0, 0])
        for most, told in ((1, 0), (2, 1)):
            data = png(noise(most=most), depth=2, colour_type=3, palette=palette + bytes(3))
            assert len(self.coloured(put(tmp_path, "a.png", data))) == told

    def test_rich_black_is_black(self, tmp_path):
        picture = Image.new("CMYK", (50, 50), (150, 120, 110, 255))
        file = put(tmp_path, "a.tif", saved(picture, "TIFF"))
        assert self.coloured(file) == []
        assert (own_tones(file) == 255).all()


class TestRefused:
    """One plain line, with what to do."""

    def test_truncated_png(self, tmp_path):
        data = png(noise(100, 100), depth=8, colour_type=0)
        message = "a.png: breaks off before the end of the PNG; export or copy it again"
        for length in (9, 40, len(data) // 2, len(data) - 5):
            assert fault_of(put(tmp_path, "a.png", data[:length])) == message

    def test_png_with_damaged_data(self, tmp_path):
        data = png(noise(100, 100), depth=8, colour_type=0)
        place = data.index(b"IDAT") + 40
        found = fault_of(put(tmp_path, "a.png", data[:place] + bytes(200) + data[place + 200 :]))
        assert found.startswith("a.png: cannot be decoded (")
        assert found.endswith("); export it again, as 8-bit gray PNG or TIFF")

    def test_truncated_jpeg(self, tmp_path):
        data = saved(Image.fromarray(noise(200, 200).astype(np.uint8)), "JPEG")
        message = "a.jpg: breaks off in the header of the JPEG; export or copy it again"
        assert fault_of(put(tmp_path, "a.jpg", data[:100])) == message
        found = fault_of(put(tmp_path, "a.jpg", data[: len(data) // 2]))
        assert found.startswith("a.jpg: cannot be decoded (image file is truncated")

    def test_truncated_tiff(self, tmp_path):
        data = tiff([gray_tiff_tags(50, 50, noise(50, 50).astype(np.uint8).tobytes())])
        message = "a.tif: breaks off in a directory of the TIFF; export or copy it again"
        assert fault_of(put(tmp_path, "a.tif", data[:1000])) == message
        # The directory first, its data cut off.
        tags = gray_tiff_tags(50, 50, b"x")
        found = fault_of(put(tmp_path, "a.tif", tiff([tags])))
        assert found.startswith("a.tif: cannot be decoded (")

    def test_damaged_fax_is_not_printed_and_not_chattered_about(self, tmp_path, capfd):
        picture = Image.fromarray((noise(100, 100, most=1) * 255).astype(np.uint8)).convert("1")
        data = bytearray(saved(picture, "TIFF", compression="group4"))
        with Image.open(io.BytesIO(bytes(data))) as image:
            offset = image.tag_v2[273][0]
        data[offset + 50 : offset + 80] = b"\xff" * 30
        found = fault_of(put(tmp_path, "a.tif", bytes(data)))
        assert found.startswith("a.tif: cannot be decoded (Fax4Decode: ")
        assert capfd.readouterr() == ("", "")

    @pytest.mark.parametrize(
        ("tags", "message"),
        [
            (
                [(258, 3, (32,)), (339, 3, (3,))],
                "a.tif: holds floating-point numbers, which state no paper white; export it as 8-bit gray",
            ),
            ([(258, 3, (32,))], "a.tif: has 32 bits a sample; at most 16 are read; export it as 8-bit gray"),
            (
                [(258, 3, (16,)), (339, 3, (2,))],
                "a.tif: holds numbers with a sign, which state no paper white; export it as 8-bit gray",
            ),
            (
                [(258, 3, (8, 8, 8)), (277, 3, (3,)), (262, 3, (8,))],
                "a.tif: holds Lab colour, which is not read here; export it as 8-bit gray",
            ),
            ([(257, 4, (0,))], "a.tif: has a TIFF directory without a width or a height; export or copy it again"),
        ],
    )
    def test_kinds_of_tiff(self, tmp_path, tags, message):
        data = tiff([gray_tiff_tags(13, 11, bytes(143 * 4)) | dict_of(tags)])
        assert fault_of(put(tmp_path, "a.tif", data)) == message

    def test_a_chain_of_directories_that_bites_its_tail_ends(self, tmp_path):
        data = bytearray(tiff([gray_tiff_tags(13, 11, noise().astype(np.uint8).tobytes())]))
        data[-4:] = data[4:8]
        assert only(put(tmp_path, "a.tif", bytes(data))).of == 1

    def test_sizes_are_refused_from_the_header(self, tmp_path):
        # 20,001 × 20,000 px of nothing: 12 bytes of data are never looked at.
        head = struct.pack(">IIBBBBB", 20_001, 20_000, 8, 0, 0, 0, 0)
        data = png(noise(), depth=8, colour_type=0)
        file = put(tmp_path, "a.png", data[:16] + head + data[29:])
        assert fault_of(file) == (
            "a.png: is 20001 × 20000 px, more than the 400 million px that are read; export it at 600 ppi or less, "
            "or raise limits.image_pixels in the shop file"
        )
        head = struct.pack(">IIBBBBB", LIMITS.image_side + 1, 1, 8, 0, 0, 0, 0)
        assert fault_of(put(tmp_path, "b.png", data[:16] + head + data[29:])) == (
            "b.png: is 300001 × 1 px; no side may have more than 300000; "
            "export it at the size of the page, at 600 ppi or less, or raise limits.image_side in the shop file"
        )

    def test_a_file_that_lies_about_its_data(self, tmp_path):
        # 19,000 × 19,000 px are within the limit; the data of 143 px are not enough for them.
        head = struct.pack(">IIBBBBB", 5_000, 5_000, 8, 0, 0, 0, 0)
        data = png(noise(), depth=8, colour_type=0)
        head = head + struct.pack(">I", zlib.crc32(b"IHDR" + head))
        found = fault_of(put(tmp_path, "a.png", data[:16] + head + data[33:]))
        assert found.startswith("a.png: cannot be decoded (image file is truncated")

    def test_a_file_that_changes_between_looking_and_printing(self, tmp_path):
        file = put(tmp_path, "a.png", png(noise(), depth=8, colour_type=0, per_metre=PER_METRE))
        source = only(file)
        put(tmp_path, "a.png", png(noise(12, 12), depth=8, colour_type=0, per_metre=PER_METRE))
        with pytest.raises(ImposerError) as caught:
            images.embed(source, source.size, pikepdf.new())
        assert str(caught.value) == (
            "a.png: changed while the job was running; leave the artwork alone and start again"
        )

    def test_a_file_that_vanishes(self, tmp_path):
        file = put(tmp_path, "a.png", png(noise(), depth=8, colour_type=0, per_metre=PER_METRE))
        source = only(file)
        file.unlink()
        with pytest.raises(ImposerError) as caught:
            images.embed(source, source.size, pikepdf.new())
        assert str(caught.value) == ("a.png: cannot be read (No such file or directory); check the file and its rights")

    def test_more_pixels_than_the_decoders_own_limit(self, tmp_path, monkeypatch):
        # Pillow warns from 89 million pixels on and refuses from 179 million, here from 4,000 and 8,000; ours counts.
        monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 4_000)
        for name, data in (
            ("a.png", png(noise(1100), depth=8, colour_type=0)),
            ("a.tif", saved(Image.fromarray(noise(1100).astype(np.uint8)), "TIFF", compression="tiff_lzw")),
            ("a.jpg", saved(Image.fromarray(noise(1100).astype(np.uint8)), "JPEG")),
        ):
            assert own_tones(put(tmp_path, name, data)).shape == (1100, 13)
        assert Image.MAX_IMAGE_PIXELS == 4_000


@pytest.mark.parametrize(("photometric", "bits", "extra"), [(1, (16, 16), 1), (5, (8,) * 5, 1), (0, (8, 8), 2)])
def test_pixels_that_no_decoder_knows_are_refused_with_the_way_out(tmp_path, photometric, bits, extra):
    tags = dict.fromkeys((256, 257, 278), (4, (2,))) | {282: (5, (300, 1)), 283: (5, (300, 1))}
    tags |= {258: (3, bits), 259: (3, (1,)), 262: (3, (photometric,)), 277: (3, (len(bits),)), 338: (3, (extra,))}
    tags |= {273: (4, [bytes(sum(bits) // 2)])}
    file = put(tmp_path, "odd.tif", tiff([tags]))
    with pytest.raises(ImposerError) as caught:
        own_tones(file)
    assert str(caught.value) == (
        "odd.tif: holds its pixels in a way that no decoder here knows; "
        "export it as 8-bit gray, without alpha and not in planes, as PNG or TIFF"
    )


def test_tiffs_that_are_decoded_at_once_keep_their_own_limits_and_complaints(tmp_path, monkeypatch):
    """Both are the whole process's: a small picture's limit must not fall on a large one, nor stay afterwards."""
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 50_000_000)
    for name, side in (("small", 20), ("large", 700)):
        Image.new("L", (side, side), 90).save(tmp_path / f"{name}.tif", compression="tiff_lzw", dpi=(300, 300))
    sources = [images.survey(tmp_path / f"{name}.tif", f"{name}.tif")[0] for name in ("small", "large")]
    with ThreadPoolExecutor(8) as threads:
        found = list(threads.map(lambda n: images.tones(sources[n % 2], sources[n % 2].size, 0).shape, range(200)))
    assert found == [(20, 20), (700, 700)] * 100
    assert Image.MAX_IMAGE_PIXELS == 50_000_000
