"""Files made to do harm, one test each: read within the limits, or refused in one plain line; never a hang or a crash.

Limits are set small here, so that each test is quick; what is tried is that they hold.
"""

from __future__ import annotations

import contextlib
import re
import sys
import time
import zlib
from dataclasses import replace

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from imposer.errors import ImposerError
from imposer.limits import LIMITS
from imposer.pages import pdfs
from imposer.pages.pdf_source import close_sources
from imposer.pages.render import end_workers
from tests.pages.traps import ART, TRAPS, new

SMALL = replace(LIMITS, stream_bytes=8_000_000, drawing_tokens=200_000, image_pixels=20_000_000, render_seconds=1.5)
MIB = 1024 * 1024


@pytest.fixture(autouse=True)
def _afresh():
    yield
    close_sources()
    end_workers()


def raw_pdf(file, objects, tail=b""):
    """Write a PDF by hand: objects 1 … n, the first of them the catalogue."""
    data, offsets = bytearray(b"%PDF-1.7\n"), []
    for number, body in enumerate(objects, 1):
        offsets.append(len(data))
        data += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    start = len(data)
    data += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    data += b"".join(b"%010d 00000 n \n" % at for at in offsets)
    data += b"trailer << /Size %d /Root 1 0 R %s >>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, tail, start)
    file.write_bytes(data)


CATALOGUE = b"<< /Type /Catalog /Pages 2 0 R >>"


def use(file, limits=SMALL, ppi=72.0):
    """Do with a file what a build does: survey, measure, place and save."""
    sources = pdfs.survey(file, file.name, limits)
    target = pikepdf.Pdf.new()
    for source in sources[:3]:
        pdfs.tones(source, source.size, ppi)
        made = pdfs.embed(source, source.size, target)
        target.add_blank_page()
        target.pages[-1].Resources = Dictionary(XObject=Dictionary(P=made.xobject))
    target.save(file.with_suffix(".out"))
    return sources


def refused(file, limits=SMALL):
    """Return the plain lines that a file is refused with."""
    with pytest.raises(ImposerError) as caught:
        use(file, limits)
    return plain_lines(file, caught.value)


def plain_lines(file, error):
    lines = str(error).splitlines()
    assert all(line.startswith(f"{file.name}: ") and line.isprintable() for line in lines)
    return lines


def used_or_refused(file, limits=SMALL):
    """Return the pages of a file that may be read, or the plain lines it is refused with: either is well."""
    try:
        return use(file, limits)
    except ImposerError as error:
        return plain_lines(file, error)


def peak():
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


class TestPageTrees:
    def test_a_page_tree_that_is_a_loop(self, tmp_path):
        file = tmp_path / "loop.pdf"
        raw_pdf(
            file,
            [CATALOGUE, b"<< /Type /Pages /Count 2 /Kids [3 0 R] >>", b"<< /Type /Pages /Count 2 /Kids [2 0 R] >>"],
        )
        assert len(refused(file)) == 1

    def test_a_page_tree_of_twenty_thousand_levels(self, tmp_path):
        file = tmp_path / "deep.pdf"
        levels = 20_000
        nodes = [b"<< /Type /Pages /Count 1 /Kids [%d 0 R] >>" % (number + 1) for number in range(2, levels)]
        raw_pdf(file, [CATALOGUE, *nodes, b"<< /Type /Page /MediaBox [0 0 200 300] >>"])
        assert len(used_or_refused(file)) == 1

    def test_parents_that_are_a_loop(self, tmp_path):
        """Inherited attributes are looked for up the tree; it has no top."""
        file = tmp_path / "parents.pdf"
        raw_pdf(
            file,
            [CATALOGUE, b"<< /Type /Pages /Parent 2 0 R /Count 1 /Kids [3 0 R] >>", b"<< /Type /Page /Parent 2 0 R >>"],
        )
        assert refused(file) == ["parents.pdf: page 1: states no page size (MediaBox); export it again"]

    def test_a_count_of_two_billion(self, tmp_path):
        file = tmp_path / "count.pdf"
        page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 300] >>"
        raw_pdf(file, [CATALOGUE, b"<< /Type /Pages /Count 2000000000 /Kids [3 0 R] >>", page])
        assert len(use(file)) == 1

    def test_a_table_of_offsets_that_leads_back_to_itself(self, tmp_path):
        file = tmp_path / "prev.pdf"
        new().save(file, object_stream_mode=pikepdf.ObjectStreamMode.disable)
        data = file.read_bytes()
        start = int(data.rsplit(b"startxref", 1)[1].split()[0])
        file.write_bytes(data.replace(b"trailer <<", b"trailer << /Prev %d" % start))
        assert len(use(file)) == 1

    def test_arrays_two_hundred_thousand_deep(self, tmp_path):
        file = tmp_path / "arrays.pdf"
        page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 300] /Odd %s >>" % (b"[" * 200_000 + b"]" * 200_000)
        raw_pdf(file, [CATALOGUE, b"<< /Type /Pages /Count 1 /Kids [3 0 R] >>", page])
        assert len(used_or_refused(file)) == 1

    def test_no_pages(self, tmp_path):
        file = tmp_path / "none.pdf"
        raw_pdf(file, [CATALOGUE, b"<< /Type /Pages /Count 0 /Kids [] >>"])
        assert refused(file) == ["none.pdf: has no pages; export it again"]

    def test_more_pages_than_any_booklet(self, tmp_path):
        file = tmp_path / "many.pdf"
        new(pages=12).save(file)
        assert refused(file, replace(SMALL, pages=10)) == [
            "many.pdf: has 12 pages; at most 10 are read; split it, or raise limits.pages in the shop file"
        ]


class TestBoxes:
    @pytest.mark.parametrize(
        "box",
        [
            "null",
            "[0 0 0 0]",
            "[5 5 5 900]",
            "[0 0 1000000000 1000000000]",
            "[1 2 3]",
            "(box)",
            "[0 0 2 2]",
            "[/a 0 1 1]",
        ],
    )
    def test_a_page_of_no_or_any_size(self, box, tmp_path):
        file = tmp_path / "box.pdf"
        page = b"<< /Type /Page /Parent 2 0 R /MediaBox %s >>" % box.encode()
        raw_pdf(file, [CATALOGUE, b"<< /Type /Pages /Count 1 /Kids [3 0 R] >>", page])
        assert len(refused(file)) == 1

    @pytest.mark.parametrize("unit", [1e9, -1, 0])
    def test_a_unit_of_any_size(self, unit, tmp_path):
        file = tmp_path / "unit.pdf"
        new(UserUnit=unit).save(file)
        if unit > 0:
            assert len(refused(file)) == 1
        else:
            assert use(file)[0].size.width == pytest.approx(200 * 25.4 / 72)


def nested(pdf, count, draws, first=b"0 0 9 9 re f"):
    """Return a drawing that draws another `draws` times, and so on, `count` deep."""
    inner = None
    for _ in range(count):
        content = first if inner is None else b"/X Do " * draws
        made = pdf.make_stream(content)
        made.Type, made.Subtype, made.BBox = Name.XObject, Name.Form, Array([0, 0, 200, 300])
        made.Resources = Dictionary() if inner is None else Dictionary(XObject=Dictionary(X=inner))
        inner = made
    return inner


class TestDrawings:
    def test_a_drawing_that_draws_itself(self, tmp_path):
        file = tmp_path / "itself.pdf"
        pdf = new(ART + b"/X Do")
        drawing = nested(pdf, 1, 1)
        drawing.write(b"/X Do")
        drawing.Resources = Dictionary(XObject=Dictionary(X=drawing))
        pdf.pages[0].Resources.XObject = Dictionary(X=drawing)
        pdf.save(file)
        assert refused(file) == ["itself.pdf: page 1: draws itself without end; export it again"]

    def test_five_thousand_drawings_in_one_another(self, tmp_path):
        file = tmp_path / "nested.pdf"
        pdf = new(ART + b"/X Do")
        pdf.pages[0].Resources.XObject = Dictionary(X=nested(pdf, 5000, 1))
        pdf.save(file)
        (line,) = refused(file)
        assert "drawings inside drawings more than 28 deep" in line

    @pytest.mark.parametrize("colour", [b"", b"1 0 0 rg "])
    def test_a_billion_draws(self, colour, tmp_path):
        """Twenty-six drawings, each drawing the next four times: nothing to read and no end to draw."""
        file = tmp_path / "laughs.pdf"
        pdf = new(ART + b"/X Do")
        pdf.pages[0].Resources.XObject = Dictionary(X=nested(pdf, 26, 4, colour + b"0 0 9 9 re f"))
        pdf.save(file)
        (line,) = refused(file)
        assert line.startswith("laughs.pdf: page 1: ")
        assert "1.5 s" in line or "more than the renderer can draw" in line

    @pytest.mark.parametrize("times", [1, 2])
    def test_a_kilobyte_that_unfolds_to_gigabytes(self, times, tmp_path):
        file = tmp_path / "bomb.pdf"
        data = zlib.compress(b" " * (64 * MIB), 9)
        for _ in range(times - 1):
            data = zlib.compress(data, 9)
        pdf = new()
        bomb = pdf.make_stream(data)
        bomb.Filter = Array([Name.FlateDecode] * times)
        pdf.pages[0].Contents = bomb
        pdf.save(file, compress_streams=False)
        before = peak()
        (line,) = refused(file)
        assert line.startswith("bomb.pdf: page 1: its drawing cannot be read")
        assert peak() - before < 60 * MIB

    def test_a_stream_that_a_page_lists_twenty_thousand_times(self, tmp_path):
        """Each of them is within the limits; all together are not."""
        file = tmp_path / "again.pdf"
        pdf = new()
        stream = pdf.make_stream(b"0 0 9 9 re f\n" * 20_000)
        pdf.pages[0].Contents = Array([stream] * 20_000)
        pdf.save(file)
        before = peak()
        (line,) = refused(file)
        assert line.startswith("again.pdf: page 1: its drawing cannot be read: it unfolds to more than 8 MB")
        assert peak() - before < 100 * MIB

    def test_layers_shown_by_a_sum_without_end(self, tmp_path):
        """Fifteen terms in one another, each eight times: 35,184,372,088,832 layers to ask."""
        file = tmp_path / "layers.pdf"
        pdf = new(b"/OC /M BDC " + ART + b" EMC")
        layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name="L"))
        term = pdf.make_indirect(Array([Name.And, layer]))
        for _ in range(15):
            term = pdf.make_indirect(Array([Name.And, *[term] * 8]))
        pdf.pages[0].Resources.Properties = Dictionary(M=Dictionary(Type=Name.OCMD, VE=term))
        pdf.Root.OCProperties = Dictionary(OCGs=Array([layer]), D=Dictionary(OFF=Array([layer])))
        pdf.save(file)
        started = time.process_time()
        assert len(use(file)) == 1
        assert time.process_time() - started < 20

    def test_layers_that_are_no_lists(self, tmp_path):
        file = tmp_path / "rubbish.pdf"
        pdf = new()
        pdf.Root.OCProperties = Dictionary(OCGs=7, D=Dictionary(OFF=3, AS=5, ON=Name.X))
        pdf.save(file)
        assert len(use(file)) == 1

    def test_a_coding_that_no_decoder_is_there_for(self, tmp_path):
        file = tmp_path / "jbig2.pdf"
        pdf = new(ART + b"q 50 0 0 50 0 0 cm /I Do Q")
        image = pdf.make_stream(b"\x97JB2 rubbish")
        image.Type, image.Subtype, image.Width, image.Height = Name.XObject, Name.Image, 8, 8
        image.ColorSpace, image.BitsPerComponent, image.Filter = Name.DeviceRGB, 8, Name.JBIG2Decode
        pdf.pages[0].Resources.XObject = Dictionary(I=image)
        pdf.save(file, compress_streams=False)
        (source,) = use(file)
        assert "rasterised" in [finding.rule for finding in source.findings]

    def test_too_many_filters(self, tmp_path):
        file = tmp_path / "filters.pdf"
        data = b"0 g"
        for _ in range(12):
            data = zlib.compress(data)
        pdf = new()
        chain = pdf.make_stream(data)
        chain.Filter = Array([Name.FlateDecode] * 12)
        pdf.pages[0].Contents = chain
        pdf.save(file, compress_streams=False)
        assert len(refused(file)) == 1

    def test_more_operators_than_are_parsed(self, tmp_path):
        """The page is rasterised, and said so: the renderer may take it."""
        file = tmp_path / "operators.pdf"
        new(b"0.5 g 0 0 100 100 re f " + b"q Q " * 150_000).save(file)
        before = peak()
        (source,) = use(file)
        assert [finding.rule for finding in source.findings] == ["rasterised"]
        assert peak() - before < 200 * MIB

    def test_a_pattern_of_endless_tiles(self, tmp_path):
        file = tmp_path / "tiles.pdf"
        pdf = new(b"/Pattern cs /P scn 0 0 200 300 re f")
        tile = pdf.make_stream(b"0 g 0 0 0.00005 0.00005 re f 0 0 m 5 5 l S")
        for key, value in {"PatternType": 1, "PaintType": 1, "TilingType": 1, "XStep": 1e-4, "YStep": 1e-4}.items():
            tile["/" + key] = value
        tile.BBox, tile.Resources = Array([0, 0, 5, 5]), Dictionary()
        pdf.pages[0].Resources.Pattern = Dictionary(P=tile)
        pdf.save(file)
        (found,) = used_or_refused(file)
        assert not isinstance(found, str) or found.startswith("tiles.pdf: page 1: ")

    def test_a_shading_of_endless_sums(self, tmp_path):
        file = tmp_path / "sums.pdf"
        pdf = new(b"/S sh")
        function = pdf.make_stream(b"{" + b"dup pop " * 100_000 + b"pop}")
        function.FunctionType, function.Domain, function.Range = 4, Array([0, 1, 0, 1]), Array([0, 1])
        shading = Dictionary(ShadingType=1, ColorSpace=Name.DeviceRGB, Function=Array([function] * 3))
        shading.Matrix = Array([200, 0, 0, 300, 0, 0])
        pdf.pages[0].Resources.Shading = Dictionary(S=shading)
        pdf.save(file)
        (found,) = used_or_refused(file)
        assert not isinstance(found, str) or found.startswith("sums.pdf: page 1: ")


class TestImages:
    def _image(self, file, width, height, data=b"", space=Name.DeviceGray, **entries):
        pdf = new(b"q 200 0 0 300 0 0 cm /I Do Q")
        image = pdf.make_stream(data)
        image.Type, image.Subtype, image.Width, image.Height = Name.XObject, Name.Image, width, height
        image.ColorSpace, image.BitsPerComponent = space, 8
        for key, value in entries.items():
            image["/" + key] = value
        pdf.pages[0].Resources.XObject = Dictionary(I=image)
        pdf.save(file)

    def test_an_image_of_a_billion_pixels(self, tmp_path):
        file = tmp_path / "huge.pdf"
        self._image(file, 40_000, 40_000)
        (line,) = refused(file)
        assert "an image of 40000 × 40000 pixels; at most 20 million are read" in line

    @pytest.mark.parametrize("space", [Name.DeviceGray, Name.DeviceRGB])
    def test_an_image_that_lies_about_its_size(self, space, tmp_path):
        file = tmp_path / "lies.pdf"
        self._image(file, 4000, 4000, b"\x80" * 999, space)
        (found,) = used_or_refused(file)
        if isinstance(found, str):
            assert found.startswith("lies.pdf: page 1: ")
        else:
            due = [] if space == Name.DeviceGray else ["coloured-layer", "rasterised"]
            assert [one.rule for one in found.findings] == due

    def test_a_mask_that_is_masked_by_itself(self, tmp_path):
        file = tmp_path / "mask.pdf"
        self._image(file, 10, 10, b"\x80" * 100)
        with pikepdf.Pdf.open(file, allow_overwriting_input=True) as pdf:
            image = pdf.pages[0].Resources.XObject.I
            image.SMask = image
            pdf.save(file)
        assert len(used_or_refused(file)) == 1

    @pytest.mark.parametrize("what", ["image", "drawing"])
    def test_data_in_another_file_are_never_followed(self, what, tmp_path):
        secret = tmp_path / "secret.bin"
        secret.write_bytes(b"0 g 0 0 200 300 re f")
        file = tmp_path / "outside.pdf"
        self._image(file, 10, 10, b"\x80" * 100)
        with pikepdf.Pdf.open(file, allow_overwriting_input=True) as pdf:
            thing = pdf.pages[0].Resources.XObject.I if what == "image" else pdf.pages[0].Contents
            thing.F = pikepdf.String(str(secret))
            pdf.save(file)
        (line,) = refused(file)
        assert line.endswith("in another file; export it as one file")


class TestWhatIsNoArt:
    def test_scripts_launches_and_attachments_stay_behind(self, tmp_path):
        file = tmp_path / "scripts.pdf"
        pdf = new()
        pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")
        pdf.Root.AA = Dictionary(WC=Dictionary(S=Name.Launch, F="calc.exe"))
        pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=Array(["x", Dictionary(S=Name.JavaScript, JS="1")])))
        pdf.attachments["a.bin"] = b"attached"
        link = Dictionary(
            Type=Name.Annot, Subtype=Name.Link, Rect=Array([0, 0, 9, 9]), A=Dictionary(S=Name.URI, URI="x:y")
        )
        pdf.pages[0].Annots = Array([pdf.make_indirect(link)])
        pdf.pages[0].obj.AA = Dictionary(O=Dictionary(S=Name.JavaScript, JS="app.alert(2)"))
        pdf.save(file)
        use(file)
        left = file.with_suffix(".out").read_bytes()
        with pikepdf.Pdf.open(file.with_suffix(".out")) as out:
            left += b"".join(
                thing.unparse(resolved=True) for thing in out.objects if not isinstance(thing, pikepdf.Stream)
            )
        for word in (b"JavaScript", b"Launch", b"EmbeddedFile", b"URI", b"alert", b"Annot"):
            assert word not in left


class TestDamage:
    def test_a_file_cut_short_anywhere(self, tmp_path):
        whole = tmp_path / "whole.pdf"
        new(pages=3).save(whole)
        data = whole.read_bytes()
        for part in range(1, 10):
            file = tmp_path / f"cut{part}.pdf"
            file.write_bytes(data[: len(data) * part // 10])
            assert refused(file) in (
                [f"cut{part}.pdf: breaks off before its end; copy or export it again"],
                *[[line] for line in refused(file) if "damaged beyond repair" in line],
            )

    def test_a_repaired_file_says_so(self, tmp_path):
        file = tmp_path / "repaired.pdf"
        new().save(file, object_stream_mode=pikepdf.ObjectStreamMode.disable)
        data = file.read_bytes()
        file.write_bytes(data[: data.rindex(b"startxref")] + b"startxref\n5\n%%EOF\n")
        (source,) = use(file)
        assert [finding.rule for finding in source.findings] == ["pdf-repaired"]

    @pytest.mark.parametrize("what", ["a drawing cut in half", "lengths that are wrong", "an object elsewhere"])
    def test_damage_that_is_met_on_a_page_is_told(self, what, tmp_path, capfd):
        file = tmp_path / "damaged.pdf"
        pdf = new(ART * 40)
        form = pdf.make_stream(ART)
        form.Type, form.Subtype, form.BBox = Name.XObject, Name.Form, Array([0, 0, 200, 300])
        pdf.pages[0].Resources.XObject = Dictionary(X=form)
        if what == "a drawing cut in half":
            packed = zlib.compress(ART * 40)
            pdf.pages[0].Contents = pdf.make_stream(packed[: len(packed) // 2])
            pdf.pages[0].Contents.Filter = Name.FlateDecode
        pdf.save(file, object_stream_mode=pikepdf.ObjectStreamMode.disable, compress_streams=False)
        data = file.read_bytes()
        if what == "lengths that are wrong":
            data = re.sub(rb"/Length \d", b"/Length 9", data)
        if what == "an object elsewhere":
            number = int(re.search(rb"/X (\d+) 0 R", data)[1])
            lines = data[data.rindex(b"xref\n0") :].splitlines(keepends=True)
            at = data.rindex(b"xref\n0") + sum(map(len, lines[: 2 + number]))
            data = data[:at] + b"%010d" % (int(data[at : at + 10]) + 3) + data[at + 10 :]
        file.write_bytes(data)
        (source,) = use(file)
        assert "pdf-repaired" in [finding.rule for finding in source.findings]
        assert capfd.readouterr() == ("", "")

    def test_a_file_that_changes_under_way(self, tmp_path):
        file = tmp_path / "changing.pdf"
        new().save(file)
        (source,) = pdfs.survey(file, file.name)
        new(b"0 g 0 0 9 9 re f").save(file)
        with pytest.raises(
            ImposerError, match=r"^changing\.pdf: has changed while the job was being read; run it again$"
        ):
            pdfs.embed(source, source.size, pikepdf.Pdf.new())

    def test_a_file_that_vanishes_under_way(self, tmp_path):
        file = tmp_path / "gone.pdf"
        new().save(file)
        (source,) = pdfs.survey(file, file.name)
        file.unlink()
        with pytest.raises(ImposerError, match=r"^gone\.pdf: cannot be read \(No such file or directory\)"):
            pdfs.tones(source, source.size, 72)

    def test_a_file_too_large(self, tmp_path):
        file = tmp_path / "large.pdf"
        new().save(file)
        (line,) = refused(file, replace(SMALL, file_bytes=500))
        assert line.startswith("large.pdf: has ")

    @pytest.mark.skipif(sys.platform == "win32", reason="names of bytes are a matter of other systems")
    def test_names_that_are_no_text(self, tmp_path):
        import os

        for name in (b"caf\xe9\n.pdf", "🦋 moth.pdf".encode()):
            file = tmp_path / os.fsdecode(name)
            new().save(tmp_path / "plain.pdf")
            (tmp_path / "plain.pdf").rename(file)
            (source,) = pdfs.survey(file, file.name)
            assert pdfs.tones(source, source.size, 72).any()


def test_names_that_are_no_text(tmp_path):
    """A name is bytes (ISO 32000-1, 7.3.5): every name of every trap in turn ends in one that no text has."""
    plain = {"object_stream_mode": pikepdf.ObjectStreamMode.disable, "compress_streams": False}
    tried, read = set(), 0
    for name, trap in TRAPS.items():
        trap(tmp_path / "trap.pdf")
        if name.startswith("encrypted"):
            continue
        with pikepdf.Pdf.open(tmp_path / "trap.pdf") as pdf:
            pdf.save(tmp_path / "plain.pdf", **plain)
        data = (tmp_path / "plain.pdf").read_bytes()
        for match in re.finditer(rb"/[A-Za-z][A-Za-z0-9]*", data):
            if match[0] in tried:
                continue
            tried.add(match[0])
            file = tmp_path / f"{len(tried)}.pdf"
            file.write_bytes(data[: match.end() - 1] + b"\xff" + data[match.end() :])
            with contextlib.suppress(ImposerError):
                use(file)
                read += 1
    assert read > 50
