"""Pictures in PDFs that lack a part of their data, by coding; what is missing is known because the test cut it off."""

from __future__ import annotations

import io
import zlib

import numpy as np
import pikepdf
import pytest
from PIL import Image

from imposer.check import cut_picture
from imposer.geometry import Transform
from imposer.pages import pdfs
from imposer.units import to_points
from tests.check.pages import TRIM, inside, number
from tests.check.test_vectors import found, vector_facts

WIDTH, HEIGHT = 300, 200
TONES = np.random.default_rng(7).integers(0, 256, (HEIGHT, WIDTH), dtype=np.uint8)


def coded(kind):
    file = io.BytesIO()
    Image.fromarray(TONES).save(file, kind)
    return file.getvalue()


def page_with(tmp_path, data, **stated):
    """A page with one picture of 60 × 40 mm from 10 mm on, of data as they are given."""
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=tuple(map(to_points, TRIM)))
    picture = pdf.make_stream(data)
    given = {"/Width": WIDTH, "/Height": HEIGHT, "/BitsPerComponent": 8, "/ColorSpace": pikepdf.Name.DeviceGray}
    for key, value in {**given, **stated, "/Subtype": pikepdf.Name.Image}.items():
        if value is not None:
            picture[key] = value
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Picture=picture))
    wide, high, at = (to_points(side) for side in (60, 40, 10))
    page.Contents = pdf.make_stream(f"q {wide} 0 0 {high} {at} {at} cm /Picture Do Q".encode())
    # As they are: a library that writes streams anew would mend some.
    pdf.save(tmp_path / "art.pdf", compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    (source,) = pdfs.survey(tmp_path / "art.pdf", "art.pdf")
    return found(cut_picture, vector_facts(pdfs.drawn(source, Transform(1, 0, 0, 1, 0, 0))))


def unfolded(data):
    """How many bytes come out of what there is."""
    return len(zlib.decompressobj().decompress(data))


PLAIN = TONES.tobytes()
FLATE = zlib.compress(PLAIN)


@pytest.mark.parametrize("kept", [0.3, 0.5, 0.9])
@pytest.mark.parametrize(("data", "filters"), [(PLAIN, {}), (FLATE, {"/Filter": pikepdf.Name.FlateDecode})])
def test_plain_data_that_end_early(tmp_path, data, filters, kept):
    data = data[: int(len(data) * kept)]
    (one,) = page_with(tmp_path, data, **filters)
    there = unfolded(data) if filters else len(data)
    assert one.level == "error"
    assert number(one.measured) == pytest.approx(100 * (1 - there / (WIDTH * HEIGHT)), abs=1)
    assert inside(one.box, (9.9, 9.9, 70.1, 50.1))


@pytest.mark.parametrize(("kind", "coding"), [("JPEG", pikepdf.Name.DCTDecode), ("JPEG2000", pikepdf.Name.JPXDecode)])
def test_jpegs_that_end_early(tmp_path, kind, coding):
    whole = coded(kind)
    assert page_with(tmp_path, whole, **{"/Filter": coding}) == ()
    # Some programs fill up behind the end.
    assert page_with(tmp_path, whole + b"\0" * 8, **{"/Filter": coding}) == ()
    (one,) = page_with(tmp_path, whole[: len(whole) // 2], **{"/Filter": coding})
    assert "a part" in one.message


@pytest.mark.parametrize("short", [0, 1, WIDTH - 1])
def test_whole_data_and_a_row_not_quite_ended(tmp_path, short):
    assert page_with(tmp_path, PLAIN[: len(PLAIN) - short]) == ()


@pytest.mark.parametrize(
    ("stated", "due"),
    [
        ({"/ImageMask": True, "/BitsPerComponent": 1, "/ColorSpace": None}, (WIDTH + 7) // 8 * HEIGHT),
        ({"/BitsPerComponent": 4}, WIDTH // 2 * HEIGHT),
        ({"/ColorSpace": pikepdf.Name.DeviceCMYK}, 4 * WIDTH * HEIGHT),
    ],
)
def test_what_is_due_goes_by_colours_and_bits(tmp_path, stated, due):
    data = (PLAIN * 4)[:due]
    assert page_with(tmp_path, data, **stated) == ()
    (one,) = page_with(tmp_path, data[: due * 3 // 4], **stated)
    assert number(one.measured) == pytest.approx(25, abs=1)


def test_fax_data_are_not_judged(tmp_path):
    assert page_with(tmp_path, b"\x00\x01", **{"/Filter": pikepdf.Name.CCITTFaxDecode, "/BitsPerComponent": 1}) == ()
