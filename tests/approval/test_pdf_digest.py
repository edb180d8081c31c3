"""A PDF that was only saved anew is the same to an approval; one that draws anything else is not."""

from __future__ import annotations

import hashlib
import json
import zlib

import pikepdf
import pypdf
import pytest

from imposer import prepare
from imposer.approval.digests import digests_of
from imposer.approval.pdf_digest import digest_of_pdf
from imposer.approval.record import approval_file
from imposer.errors import ImposerError
from tests.approval.test_settings import approve, said
from tests.folders import job_folder, write_vector_pdf


@pytest.fixture
def pdf(tmp_path):
    return write_vector_pdf(tmp_path / "art.pdf", [1, 2])


def digest(file):
    return digest_of_pdf(file, file.name)


def edited(file, edit, **how):
    """Open a PDF, change it, save it anew in its place."""
    with pikepdf.open(file, allow_overwriting_input=True) as opened:
        edit(opened)
        opened.save(file, **how)


def another_date(opened):
    opened.docinfo["/ModDate"] = pikepdf.String("D:20990101000000Z")
    with opened.open_metadata() as metadata:
        metadata["xmp:ModifyDate"] = "2099-01-01"


class TestTheSame:
    def test_another_date_metadata_and_id(self, pdf):
        before, code = pdf.read_bytes(), digest(pdf)
        edited(pdf, another_date)
        assert pdf.read_bytes() != before
        assert digest(pdf) == code

    def test_objects_packed_and_numbered_in_another_way(self, pdf):
        code = digest(pdf)
        edited(pdf, another_date, object_stream_mode=pikepdf.ObjectStreamMode.generate, linearize=True)
        assert digest(pdf) == code

    def test_saved_by_another_library(self, pdf, tmp_path):
        writer = pypdf.PdfWriter(clone_from=pdf)
        writer.add_metadata({"/ModDate": "D:20990101000000Z"})
        writer.write(tmp_path / "other.pdf")
        assert digest(tmp_path / "other.pdf") == digest(pdf)

    def test_what_a_program_keeps_for_itself(self, pdf):
        code = digest(pdf)

        def private(opened):
            opened.pages[0].LastModified = pikepdf.String("D:20990101000000Z")
            opened.pages[0].PieceInfo = pikepdf.Dictionary(Own=pikepdf.Dictionary(Private=1))

        edited(pdf, private)
        assert digest(pdf) == code


class TestAnother:
    @pytest.mark.parametrize(
        "edit",
        [
            lambda opened: opened.pages[1].contents_add(b"0 0 1 1 re f"),
            lambda opened: opened.pages[0].__setattr__("Rotate", 90),
            lambda opened: opened.pages[0].__setattr__("MediaBox", pikepdf.Array([0, 0, 170, 226])),
            lambda opened: opened.pages.reverse(),
            lambda opened: opened.pages[0].Resources.Font.__setattr__(
                "/F1",
                pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Courier),
            ),
        ],
        ids=["content", "turn", "size", "order", "font"],
    )
    def test_anything_it_draws_with(self, pdf, edit):
        code = digest(pdf)
        edited(pdf, edit)
        assert digest(pdf) != code

    def test_a_sample_of_an_image(self, tmp_path):
        def with_image(name, sample):
            made = pikepdf.new()
            made.add_blank_page(page_size=(100, 100))
            image = made.make_stream(
                bytes([10, 20, 30, sample]), Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image, Width=2, Height=2,
                ColorSpace=pikepdf.Name.DeviceGray, BitsPerComponent=8,
            )  # fmt: skip
            made.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im=image))
            made.save(tmp_path / name)
            return digest(tmp_path / name)

        assert with_image("a.pdf", 40) == with_image("b.pdf", 40)
        assert with_image("a.pdf", 40) != with_image("c.pdf", 41)


class TestWhatCannotBeFollowed:
    def test_of_what_is_no_pdf_the_bytes_count(self, tmp_path):
        file = tmp_path / "art.pdf"
        file.write_bytes(b"no PDF")
        assert digest(file) == hashlib.sha256(b"no PDF").hexdigest()

    def test_so_they_do_of_one_nested_too_deep(self, tmp_path):
        file = tmp_path / "art.pdf"
        deep = b"[" * 90 + b"]" * 90
        file.write_bytes(
            b"%PDF-1.4\n1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj "
            b"2 0 obj <</Type/Pages/Kids[3 0 R]/Count 1>> endobj 3 0 obj <</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/X "
            + deep
            + b">> endobj\ntrailer<</Root 1 0 R>>"
        )
        assert digest(file) == hashlib.sha256(file.read_bytes()).hexdigest()

    def test_so_they_do_of_one_with_more_objects_than_are_followed(self, pdf):
        def crowded(opened):
            many = [opened.make_indirect(pikepdf.Dictionary(N=number)) for number in range(10_100)]
            opened.pages[0].Many = pikepdf.Array(many)

        edited(pdf, crowded)
        assert digest(pdf) == hashlib.sha256(pdf.read_bytes()).hexdigest()

    def test_a_stream_that_unfolds_to_much_counts_as_it_is_packed(self, tmp_path):
        def bomb(name, last):
            made = pikepdf.new()
            made.add_blank_page()
            packed = zlib.compress(bytes(20_000_000) + last, 9)
            assert len(packed) < 1 << 20
            stream = made.make_stream(b"")
            stream.write(packed, filter=pikepdf.Name.FlateDecode)
            made.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(X=stream))
            made.save(tmp_path / name)
            return digest(tmp_path / name)

        assert bomb("a.pdf", b"a").startswith("drawn ")
        assert bomb("a.pdf", b"a") != bomb("b.pdf", b"b")

    def test_a_loop_ends(self, pdf):
        def loop(opened):
            ring = opened.make_indirect(pikepdf.Dictionary())
            ring.Next = ring
            opened.pages[0].Ring = ring

        edited(pdf, loop)
        assert digest(pdf).startswith("drawn ")

    def test_a_file_that_went_away_is_told(self, tmp_path):
        with pytest.raises(ImposerError, match=r"gone\.pdf"):
            digest_of_pdf(tmp_path / "gone.pdf", "gone.pdf")


class TestAnApproval:
    @pytest.fixture
    def job(self, tmp_path):
        folder = job_folder(tmp_path / "job", pages=4, ppi=100)
        approve(folder)
        return folder

    def test_holds_if_the_date_alone_changes(self, job):
        code = digests_of(prepare(job)).code
        edited(job / "marigold.pdf", another_date)
        assert said(job) == []
        assert digests_of(prepare(job)).code == code

    def test_tells_what_is_too_fine_for_the_pixels(self, job):
        edited(job / "marigold.pdf", lambda opened: opened.pages[0].contents_add(b" "))
        (message,) = said(job)
        assert message.startswith("marigold.pdf has changed since Ana Prado approved the proof on 20")

    def test_written_before_holds_the_bytes_and_is_read_so(self, job):
        record = json.loads(approval_file(job).read_text(encoding="utf-8"))
        record["files"] = {"marigold.pdf": hashlib.sha256((job / "marigold.pdf").read_bytes()).hexdigest()}
        approval_file(job).write_text(json.dumps(record), encoding="utf-8")
        assert said(job) == []
        edited(job / "marigold.pdf", lambda opened: opened.pages[0].contents_add(b" "))
        assert [message.split(" since")[0] for message in said(job)] == ["marigold.pdf has changed"]
