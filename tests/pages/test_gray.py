"""Colours become the tones the rule says, and stay vectors: operators, spaces, images, shadings, patterns, masks."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pikepdf
import pypdfium2
import pytest
from pikepdf import Array, Dictionary, Name
from PIL import Image

from imposer.limits import LIMITS
from imposer.pages import pdfs
from tests.oracle import SHARE, matches
from tests.pages.traps import new
from tests.pages.viewer import placed

CELL = 20


def function_2(c0, c1, n=1):
    return Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array(c0), C1=Array(c1), N=n)


def stream(pdf, data, **entries):
    made = pdf.make_stream(data)
    for key, value in entries.items():
        made["/" + key] = value
    return made


def spot(pdf, name, alternate, function):
    return Array([Name.Separation, Name("/" + name), Name("/" + alternate), function])


def calculated(pdf, program, outputs, inputs=1):
    return stream(pdf, program, FunctionType=4, Domain=Array([0, 1] * inputs), Range=Array([0, 1] * outputs))


def spaces(pdf):
    """Return colour spaces of every family."""
    gold = function_2([0, 0, 0, 0], [0, 0.5, 1, 0])
    stepped = calculated(pdf, b"{dup 0.5 gt {pop 0 0 0 1} {0 exch 0 0} ifelse}", 4)
    sampled = stream(
        pdf, bytes([0, 0, 0, 0, 0, 128, 255, 0]), FunctionType=0, Domain=Array([0, 1]), Range=Array([0, 1] * 4),
        Size=Array([2]), BitsPerSample=8,
    )  # fmt: skip
    two = calculated(pdf, b"{0 exch 0}", 4, inputs=2)
    white = Array([0.9505, 1, 1.089])
    return Dictionary(
        Gold=spot(pdf, "marigold", "DeviceCMYK", gold),
        Stepped=spot(pdf, "odd", "DeviceCMYK", stepped),
        Sampled=spot(pdf, "other", "DeviceCMYK", sampled),
        Black=spot(pdf, "Black", "DeviceCMYK", gold),
        All=spot(pdf, "All", "DeviceCMYK", gold),
        Never=spot(pdf, "None", "DeviceCMYK", gold),
        Broken=spot(pdf, "broken", "DeviceCMYK", calculated(pdf, b"{nonsense}", 4)),
        Two=Array([Name.DeviceN, Array([Name("/teal"), Name("/coral")]), Name.DeviceCMYK, two]),
        BlackAndNone=Array([Name.DeviceN, Array([Name("/Black"), Name("/None")]), Name.DeviceCMYK, two]),
        Icc1=Array([Name.ICCBased, stream(pdf, b"profile", N=1)]),
        Icc3=Array([Name.ICCBased, stream(pdf, b"profile", N=3)]),
        Icc4=Array([Name.ICCBased, stream(pdf, b"profile", N=4)]),
        CalGray=Array([Name.CalGray, Dictionary(WhitePoint=white, Gamma=2.2)]),
        CalRGB=Array([Name.CalRGB, Dictionary(WhitePoint=white, Gamma=Array([2.2, 2.2, 2.2]))]),
        Lab=Array([Name.Lab, Dictionary(WhitePoint=white, Range=Array([-128, 127, -128, 127]))]),
        Indexed=Array([Name.Indexed, Name.DeviceRGB, 1, pikepdf.String(b"\xff\x00\x00\x00\x00\xff")]),
        IndexedSpot=Array([Name.Indexed, spot(pdf, "Black", "DeviceCMYK", gold), 2, pikepdf.String(b"\x00\x80\xff")]),
    )


#: What is set, and the tone (of 255) that is due by the rule; ± 1.
COLOURS = {
    "0 g": 255, "1 g": 0, "0.2 g": 204,
    # 100 % black in any space is full tone, half a black is half a tone.
    "0 0 0 1 k": 255, "0 0 0 rg": 255, "0.6 0.4 0.4 1 k": 255, "1 1 1 0 k": 255, "0 0 0 0.5 k": 127.5,
    "/Black cs 1 scn": 255, "/All cs 1 scn": 255, "/Icc1 cs 0 scn": 255, "/Icc3 cs 0 0 0 scn": 255,
    "/Icc4 cs 0 0 0 1 scn": 255, "/CalGray cs 0 scn": 255, "/CalRGB cs 0 0 0 scn": 255, "/Lab cs 0 0 0 scn": 255,
    "/BlackAndNone cs 1 1 scn": 255, "/IndexedSpot cs 2 scn": 255, "/Stepped cs 0.8 scn": 255,
    # Paper stays paper.
    "0 0 0 0 k": 0, "1 1 1 rg": 0, "/Gold cs 0 scn": 0, "/Lab cs 100 0 0 scn": 0, "/Never cs 1 scn": 0,
    # Recommendation ITU-R BT.601, 2.5.1: 299, 587 and 114 thousandths.
    "1 0 0 rg": 178.8, "0 1 0 rg": 105.3, "0 0 1 rg": 225.9, "1 0 0 0 k": 76.2, "0 1 0 0 k": 149.7, "0 0 1 0 k": 29.1,
    "/Icc3 cs 1 0 0 scn": 178.8, "/CalRGB cs 0 1 0 scn": 105.3, "/Indexed cs 1 scn": 225.9,
    "/Icc4 cs 0.2 0 0 0.5 scn": 127.5 + 0.2 * 76.2,
    # Spot colours look like what their function says.
    "/Gold cs 1 scn": 0.5 * 149.7 + 29.1, "/Gold cs 0.5 scn": 0.25 * 149.7 + 0.5 * 29.1,
    "/Stepped cs 0.4 scn": 0.4 * 149.7, "/Sampled cs 1 scn": 128 / 255 * 149.7 + 29.1,
    "/Two cs 0.5 1 scn": 0.5 * 76.2 + 29.1, "/Broken cs 0.3 scn": 76.5, "/Black cs 0.3 scn": 76.5,
    "/BlackAndNone cs 0.4 1 scn": 102, "/IndexedSpot cs 1 scn": 128, "/CalGray cs 0.25 scn": 191.25,
    # The colour that is current when a space is chosen.
    "/Gold cs": 0.5 * 149.7 + 29.1, "/DeviceCMYK cs": 255, "/Icc3 cs": 255, "/Indexed cs": 178.8, "/Lab cs": 255,
    # Middle gray and the red of a screen (IEC 61966-2-1), white of noon daylight.
    "/Lab cs 50 0 0 scn": 136.1, "/Lab cs 53.24 80.09 67.20 scn": 178.8,
    # What nobody can know: the number of its numbers tells.
    "/Nowhere cs 1 0 0 sc": 178.8, "/Nowhere cs 0 0 0 1 scn": 255,
}  # fmt: skip


def cell_page(contents, resources=None):
    """Return a PDF with a cell of 20 points for each content, from the lower left, ten a row."""
    pdf = new(box=(0, 0, 10 * CELL, 10 * CELL), content=b"")
    body = b""
    for at, content in enumerate(contents):
        body += f"q 1 0 0 1 {at % 10 * CELL} {at // 10 * CELL} cm ".encode() + content + b" Q\n"
    page = pdf.pages[0].obj
    page.Contents = pdf.make_stream(body)
    for kind, things in (resources(pdf) if resources else {}).items():
        page.Resources[kind] = things
    return pdf


def surveyed(pdf, tmp_path):
    file = tmp_path / "page.pdf"
    pdf.save(file)
    (source,) = pdfs.survey(file, "page.pdf")
    return source


def rules(source):
    return [finding.rule for finding in source.findings]


def cells(source, count, ppi=144):
    """Return the tone in the middle of each cell."""
    tones = pdfs.tones(source, source.size, ppi)
    step = CELL * ppi // 72
    middle = step // 2
    return [int(tones[len(tones) - 1 - (at // 10 * step + middle), at % 10 * step + middle]) for at in range(count)]


def embedded_file(source, tmp_path):
    """Return the PDF of a page in gray, opened again."""
    target = pikepdf.Pdf.new()
    target.add_blank_page()
    made = pdfs.embed(source, source.size, target)
    target.pages[0].Resources = Dictionary(XObject=Dictionary(P=made.xobject))
    file = tmp_path / "sheet.pdf"
    target.save(file)
    return pikepdf.Pdf.open(file)


def colours_left(pdf):
    """Return every word in a file that speaks of colour: operators of its drawings, colour spaces of the rest."""
    left = set()
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == Name.Form:
            operators = {str(one.operator) for one in pikepdf.parse_content_stream(thing)}
            left |= operators & {"rg", "RG", "k", "K"}
        if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
            space = thing.get("/ColorSpace")
            if isinstance(space, Name | Array):
                gray = space == Name.DeviceGray or (isinstance(space, Array) and space[1] == Name.DeviceGray)
                left |= set() if gray else {str(space)}
    return left


class TestOperators:
    def test_every_colour_has_the_tone_the_rule_says(self, tmp_path):
        pdf = cell_page(
            [f"{colour} 1 1 18 18 re f".encode() for colour in COLOURS], lambda p: {"/ColorSpace": spaces(p)}
        )
        source = surveyed(pdf, tmp_path)
        found = cells(source, len(COLOURS))
        wrong = {c: (f, due) for f, (c, due) in zip(found, COLOURS.items(), strict=True) if abs(f - due) > 1}
        assert not wrong
        assert rules(source) == ["coloured-layer"]

    def test_strokes_too(self, tmp_path):
        stroked = {
            colour.replace(" rg", " RG").replace(" k", " K").replace(" g", " G").replace(" cs", " CS")
            .replace(" scn", " SCN").replace(" sc", " SC"): tone
            for colour, tone in COLOURS.items()
        }  # fmt: skip
        pdf = cell_page([f"{c} 9 w 1 10 m 19 10 l S".encode() for c in stroked], lambda p: {"/ColorSpace": spaces(p)})
        found = cells(surveyed(pdf, tmp_path), len(stroked))
        wrong = {c: (f, due) for f, (c, due) in zip(found, stroked.items(), strict=True) if abs(f - due) > 1}
        assert not wrong

    def test_what_comes_out_is_gray_vectors(self, tmp_path):
        pdf = cell_page([f"{c} 1 1 18 18 re f".encode() for c in COLOURS], lambda p: {"/ColorSpace": spaces(p)})
        source = surveyed(pdf, tmp_path)
        with embedded_file(source, tmp_path) as done:
            assert not colours_left(done)
            form = done.pages[0].Resources.XObject.P
            assert form.Subtype == Name.Form
            assert b"re" in form.read_bytes()

    def test_gray_pages_pass_untouched(self, tmp_path):
        content = b"0.3 g 10 10 50 50 re f 0 G 2 w 10 10 m 90 90 l S BT /F1 20 Tf 20 100 Td (rg \\(k\\)) Tj ET"
        source = surveyed(new(content), tmp_path)
        with embedded_file(source, tmp_path) as done:
            assert done.pages[0].Resources.XObject.P.read_bytes() == content
        assert rules(source) == []

    def test_black_in_another_space_is_no_colour(self, tmp_path):
        source = surveyed(new(b"0 0 0 rg 0 0 0 1 K 10 10 50 50 re B 0.6 0.4 0.4 1 k 0 0 9 9 re f"), tmp_path)
        assert rules(source) == []

    def test_a_colour_that_paints_nothing_is_none(self, tmp_path):
        source = surveyed(new(b"1 0 0 rg 0 0 1 RG 10 10 50 50 re n 0 g 0 G 10 10 50 50 re B"), tmp_path)
        assert rules(source) == []

    @pytest.mark.parametrize("operator", ["f", "F", "f*", "B", "B*", "b", "b*"])
    def test_a_fill_in_no_ink_leaves_the_stroke(self, operator, tmp_path):
        content = f"/Never cs 1 scn 0 G 4 w 3 3 14 14 re {operator}".encode()
        source = surveyed(cell_page([content], lambda p: {"/ColorSpace": spaces(p)}), tmp_path)
        tones = pdfs.tones(source, source.size, 72)[-CELL:, :CELL]
        assert tones[10, 10] == 0
        assert (tones[10, 3] > 200) == (operator in ("B", "B*", "b", "b*"))

    def test_text_in_no_ink_still_moves_on(self, tmp_path):
        content = b"BT /F1 12 Tf 5 5 Td /Never cs 1 scn (MM) Tj 0 g (M) Tj ET"
        source = surveyed(_with_spaces(content), tmp_path)
        tones = pdfs.tones(source, source.size, 144)
        inked = np.flatnonzero(tones.any(axis=0))
        assert inked[0] > (5 + 2 * 0.833 * 12 - 1) * 2


def _with_spaces(content):
    pdf = new(content)
    pdf.pages[0].Resources.ColorSpace = spaces(pdf)
    return pdf


def luma(rgb):
    """The rule once more, written down independently."""
    red, green, blue = (rgb[..., at].astype(float) for at in range(3))
    return np.rint(255 - (299 * red + 587 * green + 114 * blue) / 1000).astype(np.uint8)


def viewed_in_colour(file, ppi=144):
    """Return what the rule makes of a page as a viewer shows it in red, green and blue."""
    with pypdfium2.PdfDocument(file) as document:
        page = document[0]
        picture = page.render(scale=ppi / 72, rev_byteorder=True).to_numpy().copy()
        page.close()
    return luma(picture)


def agrees_with_viewer(pdf, tmp_path, slack=3):
    """Return the share of pixels of our gray page that a viewer's coloured page, turned gray, does not explain."""
    source = surveyed(pdf, tmp_path)
    return matches(viewed_in_colour(source.file), placed(source), slack)


def picture(width=40, height=30):
    across, down = np.meshgrid(np.linspace(0, 255, width), np.linspace(0, 255, height))
    return np.stack([across, down, 255 - across], axis=-1).astype(np.uint8)


def image(pdf, data, width, height, space, bits=8, **entries):
    kept = {"Type": Name.XObject, "Subtype": Name.Image, "Width": width, "Height": height, "BitsPerComponent": bits}
    return stream(pdf, data, **kept, ColorSpace=space, **entries)


def image_page(make, content=b"q 180 0 0 140 10 10 cm /I Do Q"):
    pdf = new(content, box=(0, 0, 200, 160))
    pdf.pages[0].Resources.XObject = Dictionary(I=make(pdf))
    return pdf


def jpeg(pixels, mode="RGB", **how):
    saved = io.BytesIO()
    Image.fromarray(pixels, mode).save(saved, "JPEG", quality=95, **how)
    return saved.getvalue()


def jpeg_2000(pixels):
    saved = io.BytesIO()
    Image.fromarray(pixels).save(saved, "JPEG2000", irreversible=False)
    return saved.getvalue()


def jpx(pdf, data, **entries):
    kept = {"Type": Name.XObject, "Subtype": Name.Image, "Width": 40, "Height": 30, "Filter": Name.JPXDecode}
    return stream(pdf, data, **kept, **entries)


def samples_of(source, tmp_path):
    """Return the samples of the one image on a placed page, decoded by the library, and the image itself."""
    with embedded_file(source, tmp_path) as done:
        found = done.pages[0].Resources.XObject.P.Resources.XObject.I
        kept = dict(found.stream_dict.as_dict().items())
        pixels = np.array(pikepdf.PdfImage(found).as_pil_image().convert("L"))
        return pixels, {key: str(value) for key, value in kept.items()}, found.read_raw_bytes()


class TestImages:
    def test_rgb_samples_get_the_rule(self, tmp_path):
        pixels = picture()
        source = surveyed(image_page(lambda p: image(p, pixels.tobytes(), 40, 30, Name.DeviceRGB)), tmp_path)
        found, entries, _ = samples_of(source, tmp_path)
        assert abs(found.astype(int) - (255 - luma(pixels))).max() <= 1
        assert entries["/ColorSpace"] == "/DeviceGray"
        assert rules(source) == ["coloured-layer"]

    def test_gray_samples_pass_untouched(self, tmp_path):
        data = jpeg(picture()[:, :, 0].copy(), "L")
        source = surveyed(
            image_page(lambda p: image(p, data, 40, 30, Name.DeviceGray, Filter=Name.DCTDecode)), tmp_path
        )
        assert samples_of(source, tmp_path)[2] == data
        assert rules(source) == []

    @pytest.mark.parametrize("family", ["/Icc1", "/CalGray", "/Black"])
    def test_one_number_samples_only_change_their_meaning(self, family, tmp_path):
        data = jpeg(picture()[:, :, 0].copy(), "L")

        def make(pdf):
            return image(pdf, data, 40, 30, spaces(pdf)[family], Filter=Name.DCTDecode)

        source = surveyed(image_page(make), tmp_path)
        _, entries, raw = samples_of(source, tmp_path)
        assert raw == data
        assert entries["/ColorSpace"] == "/DeviceGray"
        # A spot colour's numbers are inks, so they are turned round by their decoding.
        assert ("/Decode" in entries) == (family == "/Black")

    def test_a_palette_is_rewritten_and_not_its_samples(self, tmp_path):
        data = bytes(np.tile([0, 1, 2, 1], 300).astype(np.uint8))
        palette = Array([Name.Indexed, Name.DeviceRGB, 2, pikepdf.String(bytes([255, 0, 0, 0, 255, 0, 9, 9, 9]))])
        source = surveyed(image_page(lambda p: image(p, data, 40, 30, palette)), tmp_path)
        found, _, _ = samples_of(source, tmp_path)
        assert set(found[0, :3].tolist()) == {76, 150, 9}
        assert rules(source) == ["coloured-layer"]

    def test_a_palette_whose_colours_are_not_used_is_no_colour(self, tmp_path):
        palette = Array([Name.Indexed, Name.DeviceRGB, 2, pikepdf.String(bytes([255, 0, 0, 0, 0, 0, 9, 9, 9]))])
        source = surveyed(image_page(lambda p: image(p, b"\x01\x02" * 600, 40, 30, palette)), tmp_path)
        assert rules(source) == []

    def test_one_bit_in_a_spot_colour_keeps_its_samples(self, tmp_path):
        data = bytes([0b10101010] * 5 * 30)
        source = surveyed(image_page(lambda p: image(p, data, 40, 30, spaces(p)["/Gold"], bits=1)), tmp_path)
        tones = placed(source)
        assert {0, round(0.5 * 149.7 + 29.1)} <= {int(tone) for tone in np.unique(tones)}

    def test_cmyk_samples_get_the_rule(self, tmp_path):
        inks = np.zeros((30, 40, 4), np.uint8)
        inks[:, :20, 3], inks[:, 20:, 1], inks[:10, 20:, 3] = 255, 128, 200
        source = surveyed(image_page(lambda p: image(p, inks.tobytes(), 40, 30, Name.DeviceCMYK)), tmp_path)
        found, _, _ = samples_of(source, tmp_path)
        assert found[20, 5] == 0
        assert abs(int(found[20, 30]) - (255 - 128 * 0.587)) <= 1
        assert found[5, 30] == 0

    @pytest.mark.parametrize("inverted", [False, True])
    def test_cmyk_jpegs_mean_their_numbers_as_they_stand(self, inverted, tmp_path):
        """Programs write them turned round and say so with a decoding; both mean the same picture."""
        inks = np.zeros((32, 40, 4), np.uint8)
        inks[:, :20, 3] = 255
        # Pillow turns the numbers round itself when it writes.
        data = jpeg(inks if inverted else 255 - inks, "CMYK")
        more = {"Decode": Array([1, 0] * 4)} if inverted else {}
        page = image_page(lambda p: image(p, data, 40, 32, Name.DeviceCMYK, Filter=Name.DCTDecode, **more))
        found, _, _ = samples_of(surveyed(page, tmp_path), tmp_path)
        assert found[10, 5] <= 2
        assert found[10, 35] >= 253

    @pytest.mark.parametrize("bits", [1, 2, 4, 16])
    def test_every_depth(self, bits, tmp_path):
        most = 2**bits - 1
        values = np.arange(30 * 40 * 3).reshape(30, 40, 3) % (most + 1)
        if bits == 16:
            data = (values * 7 % 65536).astype(">u2").tobytes()
            due = luma(np.rint((values * 7 % 65536) / 257))
        else:
            flat = np.unpackbits(values.astype(np.uint8).reshape(-1, 1), axis=1)[:, 8 - bits :]
            data = np.packbits(flat.reshape(30, -1), axis=1).tobytes()
            due = luma(values * 255.0 / most)
        source = surveyed(image_page(lambda p: image(p, data, 40, 30, Name.DeviceRGB, bits=bits)), tmp_path)
        assert abs(samples_of(source, tmp_path)[0].astype(int) - (255 - due)).max() <= 1

    @pytest.mark.parametrize("make", ["rgb", "jpeg", "decode", "spot pair", "lab", "soft mask", "stencil"])
    def test_images_look_as_a_viewer_shows_them(self, make, tmp_path):
        pixels = picture()

        def build(pdf):
            match make:
                case "rgb":
                    return image(pdf, pixels.tobytes(), 40, 30, Name.DeviceRGB)
                case "jpeg":
                    return image(pdf, jpeg(pixels), 40, 30, Name.DeviceRGB, Filter=Name.DCTDecode)
                case "decode":
                    return image(pdf, pixels.tobytes(), 40, 30, Name.DeviceRGB, Decode=Array([1, 0, 0.2, 0.8, 0, 1]))
                case "spot pair":
                    program = b"{1 exch sub exch 1 exch sub exch 2 copy mul}"
                    space = Array(
                        [Name.DeviceN, Array([Name.teal, Name.coral]), Name.DeviceRGB, calculated(pdf, program, 3, 2)]
                    )
                    return image(pdf, pixels[:, :, :2].tobytes(), 40, 30, space)
                case "lab":
                    return image(pdf, pixels.tobytes(), 40, 30, spaces(pdf)["/Lab"])
                case "soft mask":
                    alpha = image(pdf, pixels[:, :, 0].tobytes(), 40, 30, Name.DeviceGray)
                    return image(pdf, pixels.tobytes(), 40, 30, Name.DeviceRGB, SMask=alpha)
                case _:
                    mask = stream(
                        pdf, bytes([0xF0] * 5 * 30), Type=Name.XObject, Subtype=Name.Image, Width=40, Height=30,
                        ImageMask=True, BitsPerComponent=1,
                    )  # fmt: skip
                    return image(pdf, pixels.tobytes(), 40, 30, Name.DeviceRGB, Mask=mask)

        # The viewer has its own road from Lab to a screen.
        slack = 12 if make == "lab" else 3
        assert agrees_with_viewer(image_page(build), tmp_path, slack) < SHARE

    def test_gray_jpeg_2000_passes_untouched_and_says_that_it_is_gray(self, tmp_path):
        data = jpeg_2000(picture()[:, :, 0].copy())
        page = image_page(lambda p: jpx(p, data))
        source = surveyed(page, tmp_path)
        with embedded_file(source, tmp_path) as done:
            found = done.pages[0].Resources.XObject.P.Resources.XObject.I
            assert found.read_raw_bytes() == data
            assert found.ColorSpace == Name.DeviceGray
        assert rules(source) == []

    @pytest.mark.parametrize("stated", [True, False])
    def test_jpeg_2000_in_colour(self, stated, tmp_path):
        pixels = picture()
        more = {"ColorSpace": Name.DeviceRGB} if stated else {}
        source = surveyed(image_page(lambda p: jpx(p, jpeg_2000(pixels), **more)), tmp_path)
        found, _, _ = samples_of(source, tmp_path)
        assert abs(found.astype(int) - (255 - luma(pixels))).max() <= 1
        assert rules(source) == ["coloured-layer"]

    def test_jpeg_2000_with_its_own_alpha(self, tmp_path):
        pixels = np.dstack([picture(), np.full((30, 40), 128, np.uint8)])
        pixels[:, :, :3] = (255, 0, 0)
        page = image_page(lambda p: jpx(p, jpeg_2000(pixels), ColorSpace=Name.DeviceRGB, SMaskInData=1))
        tones = placed(surveyed(page, tmp_path))
        assert abs(int(tones[160, 200]) - 178.8 / 2) <= 3

    @pytest.mark.parametrize("kind", ["fax", "one bit"])
    def test_one_bit_samples_keep_their_coding(self, kind, tmp_path):
        """A fax of line work in a spot colour: its two values get another meaning, its data none."""
        bits = np.packbits((np.add.outer(np.arange(30), np.arange(40)) % 8 < 3).astype(np.uint8), axis=1).tobytes()
        packed = io.BytesIO()
        Image.frombytes("1", (40, 30), bits).save(packed, "TIFF", compression="group4", tiffinfo={278: 30})
        with Image.open(packed) as tiff:
            at, length = tiff.tag_v2[273][0], tiff.tag_v2[279][0]
        data = packed.getvalue()[at : at + length] if kind == "fax" else bits

        def make(pdf):
            fax = {"Filter": Name.CCITTFaxDecode, "DecodeParms": Dictionary(K=-1, Columns=40, Rows=30)}
            return image(pdf, data, 40, 30, spaces(pdf)["/Black"], bits=1, **(fax if kind == "fax" else {}))

        source = surveyed(image_page(make), tmp_path)
        with embedded_file(source, tmp_path) as done:
            found = done.pages[0].Resources.XObject.P.Resources.XObject.I
            assert (found.read_raw_bytes() if kind == "fax" else found.read_bytes()) == data
            assert found.ColorSpace == Name.DeviceGray
        assert set(np.unique(placed(source)).tolist()) == {0, 255}
        assert rules(source) == []

    def test_a_colour_key_becomes_a_stencil(self, tmp_path):
        pixels = np.full((30, 40, 3), (200, 30, 30), np.uint8)
        pixels[:, 20:] = (10, 250, 10)
        key = Array([0, 20, 240, 255, 0, 20])
        page = image_page(
            lambda p: image(p, pixels.tobytes(), 40, 30, Name.DeviceRGB, Mask=key),
            b"0.5 g 0 0 200 160 re f q 180 0 0 140 10 10 cm /I Do Q",
        )
        tones = placed(surveyed(page, tmp_path))
        assert abs(int(tones[160, 300]) - 127) <= 1
        assert abs(int(tones[160, 100]) - luma(np.array([200, 30, 30]))) <= 1

    def test_inline_images(self, tmp_path):
        data = picture(8, 4).tobytes()
        content = b"q 180 0 0 140 10 10 cm BI /W 8 /H 4 /BPC 8 /CS /RGB ID " + data + b"\nEI Q"
        assert agrees_with_viewer(new(content, box=(0, 0, 200, 160)), tmp_path) < SHARE

    def test_what_cannot_be_decoded_is_drawn_by_the_renderer(self, tmp_path):
        """A JPEG that says another size than the page does: viewers have an opinion, decoders do not."""
        data = jpeg(picture(41, 31))
        page = image_page(lambda p: image(p, data, 40, 30, Name.DeviceRGB, Filter=Name.DCTDecode))
        source = surveyed(page, tmp_path)
        assert rules(source) == ["coloured-layer", "rasterised"]
        assert "an image of 40 × 30 pixels" in source.findings[1].message
        assert placed(source).any()


def shading_page(make, content=b"/Pattern cs /P scn 10 10 180 140 re f"):
    pdf = new(content, box=(0, 0, 200, 160))
    shading = make(pdf)
    pdf.pages[0].Resources.Pattern = Dictionary(P=Dictionary(PatternType=2, Shading=shading))
    pdf.pages[0].Resources.Shading = Dictionary(S=shading)
    return pdf


def axial(space, function, **entries):
    return Dictionary(
        ShadingType=2, ColorSpace=space, Coords=Array([10, 10, 190, 140]), Function=function,
        Extend=Array([True, True]), **entries,
    )  # fmt: skip


def stitched(first, second):
    return Dictionary(
        FunctionType=3, Domain=Array([0, 1]), Functions=Array([first, second]), Bounds=Array([0.4]),
        Encode=Array([0, 1, 1, 0]),
    )  # fmt: skip


RED, BLUE, PALE = [1, 0, 0], [0.1, 0.2, 0.9], [0.9, 1, 0.7]


def _meshes(kind):
    """Return the data of a mesh of so many corners or of one patch, 8 bits for everything, in red, green and blue."""
    corners = [(10, 10, RED), (190, 20, BLUE), (100, 150, PALE), (180, 140, RED)]
    byte = [[x * 255 // 200, y * 255 // 160, *(round(part * 255) for part in colour)] for x, y, colour in corners]
    if kind == 4:
        return bytes(n for flag, one in zip([0, 0, 0, 1], byte, strict=True) for n in [flag, *one])
    if kind == 5:
        return bytes(n for one in byte for n in one)
    edge = [(20, 20), (20, 60), (40, 100), (20, 150), (80, 130), (140, 155), (180, 150), (190, 100), (170, 60)]
    edge += [(180, 20), (120, 40), (80, 10)]
    inner = [(60, 60), (60, 110), (130, 110), (130, 60)] if kind == 7 else []
    points = [n for x, y in edge + inner for n in (x * 255 // 200, y * 255 // 160)]
    colours = [round(part * 255) for colour in (RED, BLUE, PALE, RED) for part in colour]
    return bytes([0, *points, *colours])


def mesh(pdf, kind, **entries):
    more = {"VerticesPerRow": 2} if kind == 5 else {"BitsPerFlag": 8}
    return stream(
        pdf, _meshes(kind), ShadingType=kind, ColorSpace=Name.DeviceRGB, BitsPerCoordinate=8, BitsPerComponent=8,
        Decode=Array([0, 200, 0, 160, 0, 1, 0, 1, 0, 1]), **more, **entries,
    )  # fmt: skip


def _sampled_function(pdf):
    data = bytes([255, 0, 0, 20, 240, 30, 0, 0, 255])
    return stream(
        pdf, data, FunctionType=0, Domain=Array([0, 1]), Range=Array([0, 1] * 3), Size=Array([3]), BitsPerSample=8
    )


SHADINGS = {
    "straight": lambda p: axial(Name.DeviceRGB, function_2(RED, BLUE)),
    "curved": lambda p: axial(Name.DeviceRGB, function_2(RED, BLUE, 2.5)),
    "stitched": lambda p: axial(Name.DeviceRGB, stitched(function_2(RED, BLUE), function_2(PALE, [0, 0, 0]))),
    "sampled": lambda p: axial(Name.DeviceRGB, _sampled_function(p)),
    "calculated": lambda p: axial(Name.DeviceRGB, calculated(p, b"{dup 360 mul sin abs exch dup dup mul}", 3)),
    "one function a part": lambda p: axial(
        Name.DeviceRGB, Array([function_2([0], [1]), function_2([1], [0.5], 3), function_2([0.2], [0.9])])
    ),
    "background": lambda p: axial(Name.DeviceRGB, function_2(RED, BLUE), Background=Array([0, 0.6, 0])),
    "radial": lambda p: Dictionary(
        ShadingType=3, ColorSpace=Name.DeviceRGB, Coords=Array([100, 80, 10, 100, 80, 70]),
        Function=function_2(PALE, BLUE), Extend=Array([True, False]),
    ),
    "of two numbers": lambda p: Dictionary(
        ShadingType=1, ColorSpace=Name.DeviceRGB, Domain=Array([0, 1, 0, 1]), Matrix=Array([180, 0, 0, 140, 10, 10]),
        Function=calculated(p, b"{2 copy mul 3 1 roll}", 3, 2),
    ),
    "spot": lambda p: axial(
        Array([Name.Separation, Name.coral, Name.DeviceRGB, function_2([1, 1, 1], RED)]), function_2([0], [1])
    ),
    "triangles": lambda p: mesh(p, 4),
    "lattice": lambda p: mesh(p, 5),
    "coons patch": lambda p: mesh(p, 6),
    "tensor patch": lambda p: mesh(p, 7),
}  # fmt: skip


class TestShadings:
    @pytest.mark.parametrize("name", SHADINGS)
    def test_a_shading_runs_as_a_viewer_shows_it(self, name, tmp_path):
        # Patches are drawn in facets, each of one tone.
        slack = 8 if "patch" in name else 2
        assert agrees_with_viewer(shading_page(SHADINGS[name]), tmp_path, slack) < SHARE

    @pytest.mark.parametrize("name", SHADINGS)
    def test_it_stays_a_shading_in_gray(self, name, tmp_path):
        source = surveyed(shading_page(SHADINGS[name]), tmp_path)
        assert rules(source) == ["coloured-layer"]
        with embedded_file(source, tmp_path) as done:
            assert not colours_left(done)
            shading = done.pages[0].Resources.XObject.P.Resources.Pattern.P.Shading
            assert shading.ColorSpace == Name.DeviceGray

    def test_the_operator_too(self, tmp_path):
        page = shading_page(SHADINGS["stitched"], b"10 10 120 90 re W n /S sh")
        assert agrees_with_viewer(page, tmp_path, slack=4) < SHARE

    def test_black_to_white_in_process_inks_is_black_to_white(self, tmp_path):
        page = shading_page(lambda p: axial(Name.DeviceCMYK, function_2([0, 0, 0, 0], [0, 0, 0, 1])))
        source = surveyed(page, tmp_path)
        tones = placed(source)
        assert tones[30, 370] >= 252
        assert rules(source) == []

    def test_rich_black_is_cut_off_at_full_tone(self, tmp_path):
        page = shading_page(lambda p: axial(Name.DeviceCMYK, function_2([0, 0, 0, 0], [1, 1, 1, 1])))
        tones = placed(surveyed(page, tmp_path))
        # Halfway the inks add up to full tone already.
        assert tones[150, 220] == 255


class TestNestedDrawings:
    def nested(self, pdf, content, **entries):
        return stream(
            pdf, content, Type=Name.XObject, Subtype=Name.Form, BBox=Array([0, 0, 200, 160]), Resources=Dictionary(),
            **entries,
        )  # fmt: skip

    def test_a_form_inherits_the_colour_it_is_drawn_in(self, tmp_path):
        def resources(pdf):
            drawn = self.nested(pdf, b"1 1 18 18 re f")
            return {"/XObject": Dictionary(X=drawn), "/ColorSpace": spaces(pdf)}

        contents = [b"1 0 0 rg /X Do", b"0 0 0 1 k /X Do", b"/Never cs 1 scn /X Do", b"0.5 g /X Do"]
        source = surveyed(cell_page(contents, resources), tmp_path)
        found = cells(source, 4)
        assert [abs(f - due) <= 1 for f, due in zip(found, [178.8, 255, 0, 127.5], strict=True)] == [True] * 4

    def test_a_form_inherits_the_space_it_is_drawn_in(self, tmp_path):
        """It sets numbers only; what they mean is said outside, differently each time."""

        def resources(pdf):
            drawn = self.nested(pdf, b"0.5 sc 1 1 18 18 re f")
            return {"/XObject": Dictionary(X=drawn), "/ColorSpace": spaces(pdf)}

        contents = [b"/Black cs /X Do", b"/DeviceGray cs /X Do", b"/Gold cs /X Do", b"/Black cs /X Do"]
        found = cells(surveyed(cell_page(contents, resources), tmp_path), 4)
        due = [127.5, 127.5, 0.25 * 149.7 + 0.5 * 29.1, 127.5]
        assert [abs(f - d) <= 1 for f, d in zip(found, due, strict=True)] == [True] * 4

    def test_patterns_of_every_kind(self, tmp_path):
        def resources(pdf):
            tile = {"PatternType": 1, "TilingType": 1, "BBox": Array([0, 0, 4, 4]), "XStep": 4, "YStep": 4}
            kept = {"Resources": Dictionary()}
            own = stream(pdf, b"0 1 0 rg 0 0 4 4 re f", PaintType=1, **tile, **kept)
            none = stream(pdf, b"0 0 4 4 re f", PaintType=2, **tile, **kept)
            return {
                "/Pattern": Dictionary(Own=own, None_=none),
                "/ColorSpace": Dictionary(
                    Rgb=Array([Name.Pattern, Name.DeviceRGB]), Black=Array([Name.Pattern, spaces(pdf)["/Black"]])
                ),
            }

        contents = [
            b"/Pattern cs /Own scn 1 1 18 18 re f",
            b"/Rgb cs 1 0 0 /None_ scn 1 1 18 18 re f",
            b"/Black cs 1 /None_ scn 1 1 18 18 re f",
            b"/Black cs 0.5 /None_ scn 1 1 18 18 re f",
            b"0 0 1 rg 1 1 18 18 re f",
        ]
        found = cells(surveyed(cell_page(contents, resources), tmp_path), 5)
        due = [105.3, 178.8, 255, 127.5, 225.9]
        assert [abs(f - d) <= 1 for f, d in zip(found, due, strict=True)] == [True] * 5

    def test_glyphs_that_are_drawings(self, tmp_path):
        def resources(pdf):
            glyphs = {
                "/a": stream(pdf, b"1 0 d0 1 0 0 rg 0 0 1 1 re f"),
                "/b": stream(pdf, b"1 0 0 0 1 1 d1 0 0 1 1 re f"),
            }
            drawn = Dictionary(
                Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 1, 1]), FontMatrix=Array([1, 0, 0, 1, 0, 0]),
                CharProcs=Dictionary(glyphs), Encoding=Dictionary(Differences=Array([97, Name.a, Name.b])),
                FirstChar=97, LastChar=98, Widths=Array([1, 1]), Resources=Dictionary(),
            )  # fmt: skip
            return {"/Font": Dictionary(T=drawn)}

        contents = [b"BT /T 18 Tf 1 1 Td (a) Tj ET", b"0 0 1 rg BT /T 18 Tf 1 1 Td (b) Tj ET"]
        source = surveyed(cell_page(contents, resources), tmp_path)
        found = cells(source, 2)
        assert abs(found[0] - 178.8) <= 1
        assert abs(found[1] - 225.9) <= 1
        assert rules(source) == ["coloured-layer"]

    def test_a_mask_is_as_light_as_its_colours(self, tmp_path):
        """What a soft mask lets through is the lightness of its group; in gray it lets the same through."""
        pdf = new(b"/M gs 0 g 0 0 200 160 re f", box=(0, 0, 200, 160))
        group = Dictionary(S=Name.Transparency, CS=Name.DeviceRGB)
        mask = self.nested(pdf, b"1 0 0 rg 10 10 80 140 re f 0 1 1 rg 110 10 80 140 re f", Group=group)
        state = Dictionary(SMask=Dictionary(S=Name.Luminosity, G=mask, BC=Array([0, 0, 0])))
        pdf.pages[0].Resources.ExtGState = Dictionary(M=state)
        source = surveyed(pdf, tmp_path)
        tones = placed(source)
        assert abs(int(tones[160, 100]) - 0.299 * 255) <= 2
        assert abs(int(tones[160, 300]) - 0.701 * 255) <= 2
        # A mask is no ink, and so no colour.
        assert rules(source) == ["pdf-transparency"]

    def test_groups_blend_in_gray(self, tmp_path):
        pdf = new(b"1 0 0 rg 0 0 100 160 re f /X Do", box=(0, 0, 200, 160))
        group = Dictionary(S=Name.Transparency, CS=Name.DeviceCMYK, I=True)
        inner = self.nested(pdf, b"/H gs 0 0 0 1 k 20 20 160 100 re f", Group=group)
        inner.Resources = Dictionary(ExtGState=Dictionary(H=Dictionary(ca=0.5)))
        pdf.pages[0].Resources.XObject = Dictionary(X=inner)
        pdf.pages[0].Group = group
        source = surveyed(pdf, tmp_path)
        tones = placed(source)
        assert abs(int(tones[160, 300]) - 127.5) <= 1.5
        assert abs(int(tones[160, 100]) - (127.5 + 178.8 / 2)) <= 1.5
        with embedded_file(source, tmp_path) as done:
            form = done.pages[0].Resources.XObject.P
            groups = [form.Group, form.Resources.XObject.X.Group]
            assert [str(group.CS) for group in groups] == ["/DeviceGray"] * 2

    def test_a_hidden_layer_is_no_colour_and_leaves_no_mark(self, tmp_path):
        content = b"/OC /L BDC 1 0 0 rg 10 10 180 140 re f BT /F1 50 Tf 20 50 Td (XX) Tj ET 0 G 10 10 m 90 90 l S EMC"
        pdf = new(content + b" 0 g 150 10 20 20 re f", box=(0, 0, 200, 160))
        layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name="draft"))
        pdf.Root.OCProperties = Dictionary(OCGs=Array([layer]), D=Dictionary(OFF=Array([layer])))
        pdf.pages[0].Resources.Properties = Dictionary(L=layer)
        source = surveyed(pdf, tmp_path)
        assert rules(source) == ["pdf-layers"]
        tones = placed(source)
        inked = np.argwhere(tones)
        assert inked[:, 1].min() >= 299

    def test_default_spaces_do_not_bend_gray(self, tmp_path):
        """A page may say that its gray is another; a tone is a tone."""

        def resources(pdf):
            return {"/ColorSpace": Dictionary(DefaultGray=spaces(pdf)["/CalGray"], DefaultRGB=spaces(pdf)["/CalRGB"])}

        found = cells(surveyed(cell_page([b"0.5 g 1 1 18 18 re f"], resources), tmp_path), 1)
        assert abs(found[0] - 127.5) <= 1


def test_a_page_that_cannot_be_rewritten_is_rasterised_alone(tmp_path):
    """A patch mesh whose patches end within a byte: which bits are whose is anybody's guess."""
    pdf = shading_page(_odd_mesh)
    source = surveyed(pdf, tmp_path)
    assert rules(source) == ["rasterised"]
    assert source.findings[0].measured == "600 ppi"
    with embedded_file(source, tmp_path) as done:
        found = done.pages[0].Resources.XObject.P
        assert found.Subtype == Name.Image
        assert (found.Width, found.Height) == (round(200 / 72 * 600), round(160 / 72 * 600))


def _odd_mesh(pdf):
    made = mesh(pdf, 6)
    made.BitsPerFlag = 2
    return made


def test_a_page_that_is_rasterised_keeps_full_black(tmp_path):
    """The renderer draws black ink paler; what can be turned to gray is turned before it draws."""
    pdf = shading_page(_odd_mesh, b"0 0 0 1 k 0 0 50 160 re f /Pattern cs /P scn 100 10 90 140 re f")
    tones = placed(surveyed(pdf, tmp_path))
    assert (tones[10:-10, 5:90] == 255).all()


def test_a_page_too_long_to_parse_keeps_full_black(tmp_path):
    file = tmp_path / "long.pdf"
    body = b"0 0 0 1 k 0 0 50 160 re f 1 0 0 rg 50 0 50 160 re f 0 0 0 .5 K 40 w 120 0 m 120 160 l S " + b"q Q " * 6000
    new(body, box=(0, 0, 200, 160), Rotate=90).save(file)
    limits = replace(LIMITS, drawing_tokens=10_000)
    (source,) = pdfs.survey(file, "long.pdf", limits)
    assert rules(source) == ["rasterised"]
    tones = pdfs.tones(source, source.size, 72)
    # Turned clockwise, the left of the page is on top.
    assert (tones[2:48, 5:-5] == 255).all()
    assert (abs(tones[52:98, 5:-5].astype(float) - 178.8) <= 2).all()
    assert (abs(tones[105:135, 5:-5].astype(float) - 127.5) <= 2).all()


def test_an_image_drawn_by_the_renderer_is_masked_once(tmp_path):
    """Half let through is half, not a quarter."""
    data = jpeg(np.zeros((32, 41, 3), np.uint8))

    def make(pdf):
        half = image(pdf, b"\x80" * 1200, 40, 30, Name.DeviceGray)
        return image(pdf, data, 40, 30, Name.DeviceRGB, Filter=Name.DCTDecode, SMask=half)

    source = surveyed(image_page(make), tmp_path)
    assert "rasterised" in rules(source)
    tones = placed(source)
    assert abs(int(tones[160, 200]) - 128) <= 3
