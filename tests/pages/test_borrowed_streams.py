"""Streams copied straight from the artwork: the file must be as sound as one that the library writes alone."""

from __future__ import annotations

import io
import os
import zlib

import pikepdf
import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.pages.borrowed_streams import borrow, borrows, let_borrow, save_borrowing


def entries(length=0):
    return {
        "/Type": "/XObject",
        "/Subtype": "/Image",
        "/Width": 1,
        "/Height": length,
        "/Decode": [1, 0],
        "/Filter": "/FlateDecode",
        "/DecodeParms": {"/Predictor": 15, "/Columns": 1},
    }


def a_pdf(streams):
    """A PDF of a page for each (file, pieces), with text streams of its own between them."""
    pdf = pikepdf.new()
    let_borrow(pdf)
    for number, (file, pieces) in enumerate(streams):
        pdf.add_blank_page(page_size=(100, 100))
        made = borrow(pdf, file, pieces, entries(number), f"{number}.png")
        pdf.pages[number].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=made))
        pdf.pages[number].Contents = pdf.make_stream(b"%d 0 0 1 0 0 cm /P Do" % number)
    return pdf


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    data=st.lists(st.lists(st.binary(max_size=300), min_size=1, max_size=4), max_size=6),
    gap=st.binary(max_size=9),
)
def test_every_stream_holds_its_pieces_in_order(data, gap, tmp_path):
    streams = []
    for number, parts in enumerate(data):
        file = tmp_path / f"{number}.bin"
        pieces, content = [], b""
        for part in parts:
            content += gap
            pieces.append((len(content), len(part)))
            content += part
        file.write_bytes(content + gap)
        streams.append((file, pieces))
    saved = tmp_path / "saved.pdf"
    save_borrowing(a_pdf(streams) if streams else with_a_page(), saved, "1.4")
    with pikepdf.open(saved) as pdf:
        assert pdf.get_warnings() == []
        for page, parts in zip(pdf.pages, data, strict=bool(data)):
            image = page.Resources.XObject.P
            assert image.read_raw_bytes() == b"".join(parts)
            assert image.Filter == pikepdf.Name.FlateDecode
            assert image.DecodeParms.Predictor == 15
            assert [int(v) for v in image.Decode] == [1, 0]
    reader = pypdf.PdfReader(saved, strict=True)
    assert len(reader.pages) == max(len(data), 1)
    for page, parts in zip(reader.pages, data, strict=bool(data)):
        assert page["/Resources"]["/XObject"]["/P"]._data == b"".join(parts)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(
        ["saved.pdf", *(f.name for f in tmp_path.glob("*.bin"))]
    )


def with_a_page():
    pdf = pikepdf.new()
    let_borrow(pdf)
    pdf.add_blank_page(page_size=(100, 100))
    return pdf


def test_every_offset_of_the_table_leads_to_its_object(tmp_path):
    file = tmp_path / "data"
    file.write_bytes(bytes(range(256)) * 50)
    saved = tmp_path / "saved.pdf"
    save_borrowing(a_pdf([(file, [(i, 1000 * i + 1)]) for i in range(9)]), saved, "1.4")
    content = saved.read_bytes()
    start = int(content[content.rindex(b"startxref\n") + 10 :].split()[0])
    assert content[start:].startswith(b"xref\n0 ")
    count = int(content[start:].split()[2])
    rows = content[content.index(b"\n", start + 5) + 1 :][: 20 * count]
    for number in range(1, count):
        offset, generation, kind = rows[20 * number : 20 * number + 20].split()
        assert (generation, kind) == (b"00000", b"n")
        assert content[int(offset) :].startswith(b"%d 0 obj" % number)


def test_the_same_picture_on_two_pages_is_there_once(tmp_path):
    file = tmp_path / "data"
    file.write_bytes(zlib.compress(b"x" * 99))
    pdf = a_pdf([(file, [(0, file.stat().st_size)])])
    pdf.pages.append(pdf.pages[0])
    save_borrowing(pdf, tmp_path / "saved.pdf", "1.4")
    assert (tmp_path / "saved.pdf").read_bytes().count(file.read_bytes()) == 1


def test_a_pdf_that_was_not_told_to_borrow_does_not():
    pdf = pikepdf.new()
    assert not borrows(pdf)
    let_borrow(pdf)
    assert borrows(pdf)


def test_the_same_input_gives_the_same_bytes_and_another_length_another_identifier(tmp_path):
    saved = []
    for name, length in (("one", 70), ("two", 70), ("three", 71)):
        file = tmp_path / name / "data"
        file.parent.mkdir()
        file.write_bytes(b"z" * length)
        save_borrowing(a_pdf([(file, [(0, length)])]), tmp_path / name / "saved.pdf", "1.4")
        saved.append((tmp_path / name / "saved.pdf").read_bytes())
    assert saved[0] == saved[1]
    identifiers = [pikepdf.open(io.BytesIO(content)).trailer.ID[0] for content in saved]
    assert identifiers[0] == identifiers[1] != identifiers[2]


@pytest.mark.parametrize("change", ["shorter", "longer", "touched"])
def test_artwork_that_changes_while_the_job_runs_is_refused(change, tmp_path):
    file = tmp_path / "page.png"
    file.write_bytes(b"z" * 5000)
    pdf = a_pdf([(file, [(0, 5000)])])
    if change == "touched":
        os.utime(file, ns=(1, 1))
    else:
        file.write_bytes(b"z" * (4000 if change == "shorter" else 6000))
    with pytest.raises(ImposerError, match=r"^0\.png: changed while the job was running; leave the artwork alone"):
        save_borrowing(pdf, tmp_path / "saved.pdf", "1.4")
    assert not (tmp_path / "saved.pdf.bare").exists()


def test_art_that_holds_what_looks_like_a_stand_in_is_refused(tmp_path):
    file = tmp_path / "data"
    file.write_bytes(b"z" * 50)
    pdf = a_pdf([(file, [(0, 50)])])
    false = pdf.make_stream(b"borrowed stream 0 of 50 bytes")
    false.Filter = pikepdf.Name.DCTDecode
    pdf.pages[0].Resources.XObject.Q = false
    with pytest.raises(ImposerError, match=r"^saved\.pdf: cannot be put together"):
        save_borrowing(pdf, tmp_path / "saved.pdf", "1.4")
