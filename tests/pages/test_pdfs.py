"""What the reader of PDFs finds out about pages, and what of a file goes into a master."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name
from PIL import Image

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.pages import pdfs
from imposer.pages.filters import normalise_filters
from imposer.pages.merge import merge_identical
from imposer.pages.pdf_source import close_sources
from imposer.pages.readers import reader_for
from tests.oracle import SHARE, matches
from tests.pages.traps import ART, new
from tests.pages.viewer import as_viewed, placed

MM = 25.4 / 72


def surveyed(pdf, tmp_path, name="page.pdf", **how):
    file = tmp_path / name
    pdf.save(file, **how)
    return pdfs.survey(file, name)


def near(box, *corners):
    return [box.x0, box.y0, box.x1, box.y1] == pytest.approx([corner * MM for corner in corners])


class TestArtSpace:
    """ISO 32000-1, 14.11.2: boxes beyond the MediaBox are cut to it; a viewer shows the CropBox."""

    def test_the_page_as_a_viewer_shows_it(self, tmp_path):
        (source,) = surveyed(new(CropBox=Array([10, 20, 150, 220])), tmp_path)
        assert source.size.close_to(Size(140 * MM, 200 * MM))
        assert source.trim is None
        assert (source.kind, source.index, source.of, source.pixels) == ("pdf", 0, 1, None)

    def test_a_turned_page_in_larger_units(self, tmp_path):
        (source,) = surveyed(new(Rotate=90, UserUnit=2), tmp_path)
        assert source.size.close_to(Size(600 * MM, 400 * MM))

    def test_a_stated_trim_box_lies_in_art_space(self, tmp_path):
        boxes = {"CropBox": Array([10, 20, 190, 290]), "BleedBox": Array([10, 20, 190, 290])}
        (source,) = surveyed(new(TrimBox=Array([20, 30, 180, 280]), **boxes), tmp_path)
        assert near(source.trim, 10, 10, 170, 260)

    @pytest.mark.parametrize(
        ("rotate", "due"), [(90, (30, 20, 280, 180)), (180, (20, 20, 180, 270)), (270, (20, 20, 270, 180))]
    )
    def test_a_trim_box_turns_with_the_page(self, rotate, due, tmp_path):
        boxes = {"BleedBox": Array([0, 0, 200, 300])}
        (source,) = surveyed(new(Rotate=rotate, TrimBox=Array([20, 30, 180, 280]), **boxes), tmp_path)
        assert near(source.trim, *due)

    def test_bleed_beyond_the_crop_box_is_kept_where_a_trim_box_places_the_page(self, tmp_path):
        """A program crops to the trim for the screen, and states where the bleed lies."""
        boxes = {"CropBox": Array([20, 20, 180, 280]), "TrimBox": Array([20, 20, 180, 280])}
        (source,) = surveyed(new(BleedBox=Array([10, 10, 190, 290]), **boxes), tmp_path)
        assert source.size.close_to(Size(180 * MM, 280 * MM))
        assert near(source.trim, 10, 10, 170, 270)
        (source,) = surveyed(new(**boxes), tmp_path, "other.pdf")
        assert source.size.close_to(Size(200 * MM, 300 * MM))
        assert near(source.trim, 20, 20, 180, 280)

    def test_what_bleeds_is_there(self, tmp_path):
        """The art beyond the CropBox, which no viewer shows, is placed and measured with the rest."""
        boxes = {"CropBox": Array([20, 20, 180, 280]), "TrimBox": Array([20, 20, 180, 280])}
        (source,) = surveyed(new(b"0.5 g 0 0 200 300 re f" + ART, **boxes), tmp_path)
        whole = tmp_path / "whole.pdf"
        new(b"0.5 g 0 0 200 300 re f" + ART).save(whole)
        assert matches(as_viewed(whole), placed(source)) < SHARE
        assert matches(as_viewed(whole, ppi=360), pdfs.tones(source, source.size, 360)) < SHARE

    def test_a_crop_box_without_a_trim_box_is_the_page(self, tmp_path):
        (source,) = surveyed(new(CropBox=Array([20, 20, 180, 280]), BleedBox=Array([0, 0, 200, 300])), tmp_path)
        assert source.size.close_to(Size(160 * MM, 260 * MM))

    def test_a_trim_box_off_the_page_is_none(self, tmp_path):
        (source,) = surveyed(new(TrimBox=Array([400, 400, 500, 500])), tmp_path)
        assert source.trim is None

    def test_a_page_may_be_scaled_to_another_size(self, tmp_path):
        (source,) = surveyed(new(), tmp_path)
        made = pdfs.embed(source, Size(source.size.width * 2, source.size.height * 2), pikepdf.Pdf.new())
        assert made.to_art.apply(200, 300) == pytest.approx((400 * MM, 600 * MM))


class TestSurvey:
    def test_pages_in_order(self, tmp_path):
        pdf = new(pages=3)
        pdf.pages[2].MediaBox = Array([0, 0, 100, 100])
        sources = surveyed(pdf, tmp_path)
        assert [source.place for source in sources] == ["page.pdf, page 1", "page.pdf, page 2", "page.pdf, page 3"]
        assert sources[2].size.close_to(Size(100 * MM, 100 * MM))

    def test_the_door_finds_this_reader(self, tmp_path):
        file = tmp_path / "named.png"
        new().save(file)
        assert reader_for(file, "named.png") is pdfs

    def test_every_fault_of_a_file_is_told(self, tmp_path):
        pdf = new(pages=3)
        for page in (pdf.pages[0], pdf.pages[2]):
            page.MediaBox = Array([0, 0, 0, 0])
        with pytest.raises(ImposerError) as caught:
            surveyed(pdf, tmp_path)
        assert [fault.place for fault in caught.value.faults] == ["page 1", "page 3"]

    @pytest.mark.parametrize("version", ["1.0", "1.1", "1.2", "1.3", "1.4", "1.5", "1.6", "1.7", "2.0"])
    def test_every_version(self, version, tmp_path):
        (source,) = surveyed(new(), tmp_path, force_version=version)
        assert pdfs.tones(source, source.size, 72).any()

    def test_a_coloured_page_is_named(self, tmp_path):
        pdf = new(pages=2)
        pdf.pages[1].Contents = pdf.make_stream(b"1 0 0 rg 0 0 50 50 re f")
        first, second = surveyed(pdf, tmp_path)
        assert first.findings == ()
        (finding,) = second.findings
        assert (finding.rule, finding.level) == ("coloured-layer", "warning")
        assert finding.message == "page.pdf, page 2 is coloured; only its lightness is used, so its colours print weak"


@pytest.mark.skipif(sys.platform == "win32", reason="open files are counted otherwise there")
@pytest.mark.parametrize("small", [0, 256 * 1024])
def test_more_files_than_may_be_open_at_once(small, tmp_path):
    """A file a page, three hundred pages, all of them in one master."""
    new().save(tmp_path / "page.pdf")
    program = f"""
import resource, shutil
from pathlib import Path
import pikepdf
from imposer.pages import pdf_source, pdfs
resource.setrlimit(resource.RLIMIT_NOFILE, (100, resource.getrlimit(resource.RLIMIT_NOFILE)[1]))
pdf_source._SMALL = {small}
target = pikepdf.Pdf.new()
for number in range(300):
    file = Path(f"{{number}}.pdf")
    shutil.copy("page.pdf", file)
    (source,) = pdfs.survey(file, file.name)
    made = pdfs.embed(source, source.size, target)
    target.add_blank_page()
    target.pages[-1].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=made.xobject))
target.save("out.pdf")
"""
    home = str(Path(pdfs.__file__).parents[2])
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": home},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    with pikepdf.Pdf.open(tmp_path / "out.pdf") as out:
        assert len(out.pages) == 300


class TestEmbedding:
    def test_what_pages_share_is_there_once(self, tmp_path):
        pdf = new(pages=8)
        held = pdf.make_indirect(pdf.pages[0].Resources.Font.F1)
        for page in pdf.pages:
            page.Contents = pdf.make_stream(ART)
            page.Resources = Dictionary(Font=Dictionary(F1=held))
        target = pikepdf.Pdf.new()
        for source in surveyed(pdf, tmp_path):
            pdfs.embed(source, source.size, target)
        fonts = [one for one in target.objects if isinstance(one, Dictionary) and one.get("/Type") == Name.Font]
        assert len(fonts) == 1

    def test_fonts_of_coloured_pages_are_shared_too(self, tmp_path):
        pdf = new(pages=8)
        held = pdf.make_indirect(pdf.pages[0].Resources.Font.F1)
        for page in pdf.pages:
            page.Contents = pdf.make_stream(b"0 0 0 rg " + ART)
            page.Resources = Dictionary(Font=Dictionary(F1=held))
        target = pikepdf.Pdf.new()
        for source in surveyed(pdf, tmp_path):
            pdfs.embed(source, source.size, target)
        fonts = [one for one in target.objects if isinstance(one, Dictionary) and one.get("/Type") == Name.Font]
        assert len(fonts) == 1

    def test_a_form_has_our_box_and_no_structure(self, tmp_path):
        (source,) = surveyed(new(StructParents=4, TrimBox=Array([40, 40, 160, 260]), Group=_group()), tmp_path)
        target = pikepdf.Pdf.new()
        form = pdfs.embed(source, source.size, target).xobject
        assert [float(one) for one in form.BBox] == [0, 0, 200, 300]
        assert not {"/StructParents", "/Matrix"} & set(form.stream_dict.as_dict())
        # A group in which nothing blends costs a printer memory and shows nothing.
        assert "/Group" not in form

    def test_the_target_outlives_every_source(self, tmp_path):
        """The file may be forgotten, and its pictures were in files of their own; what was copied is still whole."""
        pixels = np.dstack([np.arange(256, dtype=np.uint8).reshape(16, 16)] * 3)
        pixels[..., 0] = 255
        pdf = new(b"q 200 0 0 300 0 0 cm /I Do Q")
        image = pdf.make_stream(pixels.tobytes())
        image.Type, image.Subtype, image.Width, image.Height = Name.XObject, Name.Image, 16, 16
        image.ColorSpace, image.BitsPerComponent = Name.DeviceRGB, 8
        pdf.pages[0].Resources.XObject = Dictionary(I=image)
        (source,) = surveyed(pdf, tmp_path)
        target = pikepdf.Pdf.new()
        made = pdfs.embed(source, source.size, target)
        close_sources()
        target.add_blank_page()
        target.pages[0].Resources = Dictionary(XObject=Dictionary(P=made.xobject))
        saved = io.BytesIO()
        target.save(saved)
        with pikepdf.Pdf.open(saved) as done:
            found = done.pages[0].Resources.XObject.P.Resources.XObject.I
            gray = np.array(pikepdf.PdfImage(found).as_pil_image())
        assert (gray == np.array(Image.fromarray(pixels).convert("L"))).all()

    def test_the_same_input_gives_the_same_bytes(self, tmp_path):
        (source,) = surveyed(new(b"1 0 0 rg " + ART), tmp_path)
        written = []
        for _ in range(2):
            close_sources()
            pdfs.survey(source.file, source.shown)
            target = pikepdf.Pdf.new()
            target.add_blank_page()
            made = pdfs.embed(source, source.size, target)
            target.pages[0].Resources = Dictionary(XObject=Dictionary(P=made.xobject))
            saved = io.BytesIO()
            target.save(saved, deterministic_id=True)
            written.append(saved.getvalue())
        assert written[0] == written[1]


def _group():
    return Dictionary(Type=Name.Group, S=Name.Transparency, CS=Name.DeviceRGB)


class TestFilters:
    def test_one_filter_in_an_array_becomes_its_name(self):
        pdf = pikepdf.Pdf.new()
        one = pdf.make_stream(b"x" * 100)
        one.Filter, one.DecodeParms = Array([Name.FlateDecode]), Array([Dictionary(Predictor=1)])
        none = pdf.make_stream(b"x")
        none.Filter, none.DecodeParms = Array([Name.FlateDecode]), Array([None])
        two = pdf.make_stream(b"x")
        two.Filter = Array([Name.ASCII85Decode, Name.FlateDecode])
        normalise_filters(pdf)
        assert (one.Filter, one.DecodeParms.Predictor) == (Name.FlateDecode, 1)
        assert (none.Filter, none.get("/DecodeParms")) == (Name.FlateDecode, None)
        assert len(two.Filter) == 2

    def test_a_stream_then_passes_through_untouched(self, tmp_path):
        import zlib

        packed = zlib.compress(b"0 g 0 0 9 9 re f " * 99, 1)
        pdf = new(b"")
        content = pdf.make_stream(packed)
        content.Filter = Array([Name.FlateDecode])
        pdf.pages[0].Contents = content
        normalise_filters(pdf)
        pdf.save(tmp_path / "out.pdf")
        with pikepdf.Pdf.open(tmp_path / "out.pdf") as done:
            assert done.pages[0].Contents.read_raw_bytes() == packed


class TestMerging:
    def _zine(self, tmp_path, pages, together):
        """Write pages that share a font file and widths: in one file, or each in its own."""
        font_file = np.random.default_rng(7).integers(0, 256, 20_000, dtype=np.uint8).tobytes()
        pdf = None
        for number in range(pages):
            if pdf is None or not together:
                pdf = pikepdf.Pdf.new()
                held = pdf.make_stream(font_file)
                descriptor = pdf.make_indirect(Dictionary(Type=Name.FontDescriptor, FontFile2=held, FontName=Name.Moth))
                font = pdf.make_indirect(
                    Dictionary(Type=Name.Font, Subtype=Name.TrueType, BaseFont=Name.Moth, FontDescriptor=descriptor,
                               FirstChar=0, LastChar=255, Widths=pdf.make_indirect(Array([500] * 256)))
                )  # fmt: skip
            pdf.add_blank_page(page_size=(200, 300))
            page = pdf.pages[-1]
            page.Contents = pdf.make_stream(b"BT /F 12 Tf 20 20 Td (page %d) Tj ET" % number)
            page.Resources = Dictionary(Font=Dictionary(F=font))
            if not together:
                pdf.save(tmp_path / f"{number:02}.pdf")
        if together:
            pdf.save(tmp_path / "all.pdf")
        return sorted(tmp_path.glob("*.pdf"))

    def _joined(self, files):
        target = pikepdf.Pdf.new()
        for file in files:
            for source in pdfs.survey(file, file.name):
                made = pdfs.embed(source, source.size, target)
                target.add_blank_page(page_size=(200, 300))
                target.pages[-1].Resources = Dictionary(XObject=Dictionary(P=made.xobject))
                target.pages[-1].Contents = target.make_stream(b"/P Do")
        return target

    def _size(self, target):
        saved = io.BytesIO()
        target.save(saved, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return saved.getvalue()

    def test_a_file_a_page_comes_to_the_size_of_one_file(self, tmp_path):
        (tmp_path / "a").mkdir()
        (tmp_path / "b").mkdir()
        one = self._joined(self._zine(tmp_path / "a", 64, True))
        many = self._joined(self._zine(tmp_path / "b", 64, False))
        apart = len(self._size(many))
        assert merge_identical(many) > 0
        merge_identical(one)
        merged, whole = self._size(many), self._size(one)
        assert apart > 20 * len(whole)
        assert len(merged) < 1.02 * len(whole)
        # Nothing but doubles has gone.
        with pikepdf.Pdf.open(io.BytesIO(merged)) as done:
            drawn = [page.Resources.XObject.P.read_bytes() for page in done.pages]
        assert drawn == [b"BT /F 12 Tf 20 20 Td (page %d) Tj ET" % number for number in range(64)]

    def test_what_only_looks_alike_is_kept(self):
        """The same length, the same shape, strings that read like references."""
        pdf = pikepdf.Pdf.new()
        first, second = pdf.make_stream(b"abc"), pdf.make_stream(b"abd")
        same = [pdf.make_indirect(Dictionary(A=first, S=pikepdf.String("1 0 R"))) for _ in range(2)]
        other = pdf.make_indirect(Dictionary(A=first, S=pikepdf.String("2 0 R")))
        third = pdf.make_indirect(Dictionary(A=second, S=pikepdf.String("1 0 R")))
        layers = [pdf.make_indirect(Dictionary(Type=Name.OCG, Name="x")) for _ in range(2)]
        pdf.Root.Held = Array([*same, other, third, *layers])
        assert merge_identical(pdf) == 1
        held = pdf.Root.Held
        assert len({held[at].objgen for at in range(6)}) == 5
        assert held[0].objgen == held[1].objgen
        assert held[4].objgen != held[5].objgen

    def test_loops_are_left_alone(self):
        pdf = pikepdf.Pdf.new()
        pairs = [pdf.make_indirect(Dictionary(X=1)) for _ in range(4)]
        for at, one in enumerate(pairs):
            one.Next = pairs[at ^ 1]
        pdf.Root.Held = Array(pairs)
        merge_identical(pdf)
        assert pdf.Root.Held[0].Next.Next.objgen == pdf.Root.Held[0].objgen
