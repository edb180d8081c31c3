"""Boxes round type, held against the letters that another program renders, and against the font file's own advances."""

from __future__ import annotations

import numpy as np
import pikepdf
import pytest
from PIL import ImageFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from imposer.data import FOLDER
from imposer.geometry import Transform
from imposer.pages import pdfs
from imposer.pages.type_widths import type_face
from tests.pages.rendered import tones_of

FONT = str(FOLDER / "fonts" / "sans.ttf")
PT = 25.4 / 72
#: A page of 300 × 100 points, drawn at ten pixels a point.
PAGE, FINE = (300, 100), 10
WORDS = "The moth hours"


def advance(text, size):
    """How far a text advances in the font file, mm, as another library reads it, unhinted."""
    return ImageFont.truetype(FONT, 2048, layout_engine=ImageFont.Layout.BASIC).getlength(text) / 2048 * size * PT


def box_of(file):
    (source,) = pdfs.survey(file, file.name)
    (one,) = pdfs.drawn(source, Transform(1, 0, 0, 1, 0, 0)).words
    return one.box


def ink_of(file):
    """The box of what is black on the page, mm from the lower left."""
    tones = tones_of(file.read_bytes(), (PAGE[0] * FINE, PAGE[1] * FINE))
    rows, columns = np.nonzero(tones.max(axis=1) > 128)[0], np.nonzero(tones.max(axis=0) > 128)[0]
    x0, x1, y1, y0 = columns[0], columns[-1] + 1, rows[0], rows[-1] + 1
    return tuple(PT / FINE * edge for edge in (x0, tones.shape[0] - y0, x1, tones.shape[0] - y1))


def set_line(tmp_path, paint, font="Own", size=10):
    pdfmetrics.registerFont(TTFont("Own", FONT))
    file = tmp_path / "line.pdf"
    canvas = Canvas(str(file), pagesize=PAGE, invariant=1)
    text = canvas.beginText(20, 40)
    text.setFont(font, size)
    paint(text)
    canvas.drawText(text)
    canvas.save()
    return file


def holds(box, ink):
    """Whether ink lies within a box: letters lean out of their own width by a hair."""
    by = 0.12
    return box.x0 - by <= ink[0] and box.y0 - by <= ink[1] and box.x1 + by >= ink[2] and box.y1 + by >= ink[3]


def test_a_line_is_as_wide_as_the_font_says(tmp_path):
    file = set_line(tmp_path, lambda text: text.textOut(WORDS))
    box = box_of(file)
    assert box.width == pytest.approx(advance(WORDS, 10), abs=0.05)
    assert holds(box, ink_of(file))


@pytest.mark.parametrize("words", ["illicit little", "WOMBAT MOTHS", "gyp (jump)"])
@pytest.mark.parametrize("font", ["Own", "Helvetica", "Times-Roman", "Courier-Bold"])
def test_a_frame_holds_its_letters_and_not_much_more(tmp_path, words, font):
    file = set_line(tmp_path, lambda text: text.textOut(words), font, 14)
    box, ink = box_of(file), ink_of(file)
    assert holds(box, ink)
    assert box.width - (ink[2] - ink[0]) < 0.25 * 14 * PT


def test_spacing_and_stretch_count(tmp_path):
    def paint(text):
        text.setCharSpace(1.5)
        text.setWordSpace(6)
        text.setHorizScale(80)
        text.textOut(WORDS)

    file = set_line(tmp_path, paint, "Helvetica", 12)
    widths = pdfmetrics.stringWidth(WORDS, "Helvetica", 12)
    assert box_of(file).width == pytest.approx((widths + 14 * 1.5 + 2 * 6) * 0.8 * PT, abs=0.01)
    assert holds(box_of(file), ink_of(file))


# --- fonts made by hand ---------------------------------------------------------------------------------------------


def drawn_with(tmp_path, font, operators):
    """The words of a page with one font and these operators."""
    pdf = pikepdf.new()
    made = pdf.add_blank_page(page_size=PAGE)
    made.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F=pdf.make_indirect(font(pdf))))
    made.Contents = pdf.make_stream(operators)
    pdf.save(tmp_path / "made.pdf")
    (source,) = pdfs.survey(tmp_path / "made.pdf", "made.pdf")
    return pdfs.drawn(source, Transform(1, 0, 0, 1, 0, 0)).words


def simple(**more):
    return lambda pdf: pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.TrueType, BaseFont=pikepdf.Name("/Plain"), **more
    )


def composite(**more):
    def font(pdf):
        below = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.CIDFontType2, BaseFont=pikepdf.Name("/Plain"), **more
        )
        return pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.Type0,
            BaseFont=pikepdf.Name("/Plain"),
            Encoding=pikepdf.Name("/Identity-H"),
            DescendantFonts=[pdf.make_indirect(below)],
        )

    return font


def test_codes_beyond_the_widths_have_the_missing_width(tmp_path):
    font = simple(FirstChar=97, LastChar=98, Widths=[250, 750], FontDescriptor=pikepdf.Dictionary(MissingWidth=400))
    (one,) = drawn_with(tmp_path, font, b"BT /F 10 Tf 20 40 Td (abc) Tj ET")
    assert one.box.width == pytest.approx((250 + 750 + 400) / 1000 * 10 * PT)


def test_a_composite_font_has_widths_by_glyph_and_a_default(tmp_path):
    font = composite(W=[5, [300, 900], 10, 12, 450], DW=200)
    # Glyphs 5, 6, 11 and 99.
    (one,) = drawn_with(tmp_path, font, b"BT /F 10 Tf 20 40 Td <00050006000B0063> Tj ET")
    assert one.box.width == pytest.approx((300 + 900 + 450 + 200) / 1000 * 10 * PT)


def test_a_byte_of_32_in_a_composite_font_is_no_word_space(tmp_path):
    font = composite(W=[32, [500]], DW=500)
    (one,) = drawn_with(tmp_path, font, b"BT /F 10 Tf 30 Tw 20 40 Td <00200020> Tj ET")
    assert one.box.width == pytest.approx(2 * 0.5 * 10 * PT)


def test_a_font_that_states_nothing_is_guessed_wide(tmp_path):
    (one,) = drawn_with(tmp_path, simple(), b"BT /F 10 Tf 20 40 Td (moths) Tj ET")
    assert one.box.width == pytest.approx(5 * 0.6 * 10 * PT)


def test_moves_between_letters_count_and_bare_moves_go_on(tmp_path):
    font = simple(FirstChar=97, Widths=[500] * 26)
    first, second = drawn_with(tmp_path, font, b"BT /F 10 Tf 20 40 Td [-1000 (a) -2000 (b)] TJ [-3000] TJ (c) Tj ET")
    # 20 points, then an em of nothing, half an em of a letter, two of nothing, half a letter; three ems of nothing.
    assert (first.box.x0, first.box.x1) == pytest.approx((30 * PT, 60 * PT))
    assert (second.box.x0, second.box.x1) == pytest.approx((90 * PT, 95 * PT))


def test_words_on_a_new_line_with_their_spacing(tmp_path):
    font = simple(FirstChar=32, Widths=[500] * 90)
    (one,) = drawn_with(tmp_path, font, b'BT /F 10 Tf 20 TL 20 60 Td 4 1 (a b) " ET')
    assert one.box.width == pytest.approx((3 * 5 + 3 * 1 + 4) * PT)
    assert one.box.y0 < 40 * PT < one.box.y1


def test_ranges_without_end_are_not_followed():
    pdf = pikepdf.new()
    face = type_face(composite(W=pikepdf.Array([0, 65535, 500] * 20_000))(pdf))
    assert len(face.by_code) == 65536
