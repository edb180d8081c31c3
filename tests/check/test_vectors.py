"""Vector art: type, strokes, fonts and images as a PDF's own operators say them, and what else a PDF holds."""

from __future__ import annotations

import numpy as np
import pikepdf
import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from imposer.check import (
    fonts_missing,
    marks_in_page,
    resolution,
    small_type,
    thin_lines,
    tinted_type,
    type_in_two_inks,
)
from imposer.data import FOLDER
from imposer.geometry import Transform
from imposer.pages import pdfs
from imposer.units import to_points
from tests.check.pages import TRIM, a_small_job, draw, facts_of, inside, number, paper

AS_IT_IS = Transform(1, 0, 0, 1, 0, 0)


def found(rule, facts):
    return rule.RULE.find(facts)


@pytest.fixture
def page(tmp_path):
    """Draw a page of the small trim with reportlab; return what the reader reads of it."""
    pdfmetrics.registerFont(TTFont("Own", str(FOLDER / "fonts" / "sans.ttf")))

    def read(paint, name="art.pdf", turn=0):
        file = tmp_path / name
        canvas = Canvas(str(file), pagesize=tuple(map(to_points, TRIM)), invariant=1)
        paint(canvas)
        canvas.showPage()
        canvas.save()
        if turn:
            with pikepdf.open(file, allow_overwriting_input=True) as pdf:
                pdf.pages[0].Rotate = turn
                pdf.save(file)
        (source,) = pdfs.survey(file, name)
        return pdfs.drawn(source, AS_IT_IS)

    return read


def vector_facts(drawn, **inks):
    """Facts of one page whose first ink draws this; a spot stands for its tones."""
    spot = draw(paper(ppi=100), (20, 20, 30, 30), ppi=100)
    given = {"lamp black": drawn, **inks}
    return facts_of(
        {1: dict.fromkeys(given, spot)},
        ppi=100,
        kind="pdf",
        job=a_small_job(inks=tuple(given)),
        vectors={(1, ink): one for ink, one in given.items()},
    )


def words(canvas, x, y, text, size, gray=0.0, font="Own"):
    canvas.setFillGray(gray)
    canvas.setFont(font, size)
    canvas.drawString(to_points(x), to_points(y), text)


# --- type -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "told"), [(6.5, True), (7, False)])
def test_type_under_seven_points(page, size, told):
    drawn = page(lambda canvas: (words(canvas, 10, 40, "moths", 12), words(canvas, 10, 20, "moths", size)))
    findings = found(small_type, vector_facts(drawn))
    assert bool(findings) == told
    for one in findings:
        assert one.measured == "6.5 pt"
        assert one.box.x0 == pytest.approx(10, abs=0.1)
        assert one.box.y0 < 20 < one.box.y1 < 23


@pytest.mark.parametrize(("size", "told"), [(7.5, True), (8, False)])
def test_white_type_wants_eight_points(page, size, told):
    drawn = page(lambda canvas: words(canvas, 10, 20, "moths", size, gray=1.0))
    assert [one.measured for one in found(small_type, vector_facts(drawn))] == (["7.5 pt"] if told else [])


def test_type_is_measured_as_printed_not_as_set(page):
    """12 pt, scaled to half in the drawing and turned with the page, is 6 pt."""

    def paint(canvas):
        canvas.scale(0.5, 0.5)
        words(canvas, 30, 60, "moths", 12)

    assert number(found(small_type, vector_facts(page(paint, turn=90)))[0].measured) == pytest.approx(6, abs=0.05)


def test_type_in_a_form_and_after_a_save_is_measured_too(page):
    def paint(canvas):
        canvas.beginForm("stamp")
        words(canvas, 0, 0, "moths", 10)
        canvas.endForm()
        canvas.saveState()
        canvas.scale(0.4, 0.4)
        canvas.doForm("stamp")
        canvas.restoreState()
        words(canvas, 10, 10, "moths", 9)

    drawn = page(paint)
    assert drawn.smallest.size == pytest.approx(4 * 25.4 / 72, abs=0.01)
    assert len(drawn.words) == 2


def test_invisible_type_prints_nothing(page):
    def paint(canvas):
        text = canvas.beginText(20, 20)
        text.setFont("Own", 3)
        text.setTextRenderMode(3)
        text.textOut("found by a scanner")
        canvas.drawText(text)

    assert page(paint).words == ()


@pytest.mark.parametrize(("size", "level"), [(10, "warning"), (14, "note")])
def test_type_in_a_tint(page, size, level):
    drawn = page(lambda canvas: words(canvas, 10, 20, "moths", size, gray=0.4))
    (one,) = found(tinted_type, vector_facts(drawn))
    assert (one.level, one.measured) == (level, "60 %")


def test_type_in_full_tone_or_white_is_no_tint(page):
    drawn = page(lambda canvas: (words(canvas, 10, 20, "moths", 10), words(canvas, 10, 40, "moths", 10, gray=1.0)))
    assert found(tinted_type, vector_facts(drawn)) == ()


@pytest.mark.parametrize(("tone", "told"), [(0.94, ["94 %"]), (0.96, []), (0.98, [])])
def test_a_tint_is_well_under_full_tone(page, tone, told):
    drawn = page(lambda canvas: words(canvas, 10, 20, "moths", 9, gray=1 - tone))
    assert [one.measured for one in found(tinted_type, vector_facts(drawn))] == told


def test_a_tint_is_told_beside_smaller_type_that_is_nearly_full(page):
    drawn = page(
        lambda canvas: (words(canvas, 10, 20, "moths", 8, gray=0.02), words(canvas, 10, 40, "moths", 10, gray=0.5))
    )
    (one,) = found(tinted_type, vector_facts(drawn))
    assert one.measured == "50 %"
    assert one.box.y0 > 35


def test_the_same_words_in_two_inks(page):
    one = page(lambda canvas: words(canvas, 10, 20, "moths", 10), "one.pdf")
    same = page(lambda canvas: words(canvas, 10.2, 20.1, "moths", 10), "same.pdf")
    (told,) = found(type_in_two_inks, vector_facts(one, marigold=same))
    assert (told.level, told.ink, told.measured) == ("warning", "marigold", "10 pt")
    assert told.other_ink == "lamp black"
    apart = page(lambda canvas: words(canvas, 11, 20, "moths", 10), "apart.pdf")
    knocked = page(lambda canvas: words(canvas, 10, 20, "moths", 10, gray=1.0), "knocked.pdf")
    other = page(lambda canvas: words(canvas, 10, 20, "lamps", 10), "other.pdf")
    for marigold in (apart, knocked, other):
        assert found(type_in_two_inks, vector_facts(one, marigold=marigold)) == ()


def test_large_words_in_two_inks_are_a_note(page):
    large = page(lambda canvas: words(canvas, 5, 20, "moths", 24))
    assert [one.level for one in found(type_in_two_inks, vector_facts(large, marigold=large))] == ["note"]


def test_a_font_that_the_file_does_not_bring(page):
    def paint(canvas):
        words(canvas, 10, 20, "moths", 10, font="Helvetica")
        words(canvas, 10, 40, "moths", 10)

    (one,) = found(fonts_missing, vector_facts(page(paint)))
    assert "Helvetica" in one.message
    assert one.measured == "1 missing"
    assert found(fonts_missing, vector_facts(page(lambda canvas: words(canvas, 10, 20, "moths", 10)))) == ()


# --- strokes and images ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "told"), [(0.25, True), (0.5, False)])
def test_a_stroke_is_told_by_the_width_it_is_drawn_in(page, width, told):
    def paint(canvas):
        canvas.setLineWidth(width / 2)
        canvas.scale(2, 2)
        canvas.line(20, 20, 60, 20)

    findings = found(thin_lines, vector_facts(page(paint)))
    assert bool(findings) == told
    assert all(number(one.measured) == pytest.approx(width * 25.4 / 72, abs=0.005) for one in findings)


def test_a_white_stroke_is_no_line(page):
    def paint(canvas):
        canvas.setStrokeGray(1.0)
        canvas.setLineWidth(0.2)
        canvas.line(20, 20, 60, 20)

    assert page(paint).pens == ()


@pytest.mark.parametrize(("pixels", "level"), [(300, "warning"), (600, None)])
def test_an_image_in_a_pdf_has_the_resolution_it_is_placed_at(page, pixels, level):
    picture = ImageReader(Image.fromarray(np.random.default_rng(1).integers(0, 255, (pixels, pixels), np.uint8)))
    side = to_points(50.8)  # two inches
    drawn = page(lambda canvas: canvas.drawImage(picture, 10, 10, side, side))
    told = found(resolution, vector_facts(drawn))
    assert [one.level for one in told] == ([level] if level else [])
    for one in told:
        assert number(one.measured) == pixels / 2
        assert inside(one.box, (3.5, 3.5, 54.3, 54.3))


# --- beyond the bleed -----------------------------------------------------------------------------------------------

_OFF, _ON = -8.0, 20.0


@pytest.mark.parametrize(("y", "told"), [(_OFF, False), (_ON, True)])
def test_what_is_cut_off_with_the_margin_for_marks_is_not_told(page, y, told):
    """A line of small type and hairlines, as a program draws them around trim and bleed, or on the page itself."""

    def paint(canvas):
        words(canvas, 10, 40, "moths", 12)
        words(canvas, 10, y, "page 1 of 8", 5)
        words(canvas, 30, y, "page 1 of 8", 5, gray=0.5)
        words(canvas, 50, y, "page 1 of 8", 5, gray=1.0)
        canvas.setLineWidth(1)
        canvas.line(to_points(10), to_points(30), to_points(50), to_points(30))
        canvas.setLineWidth(0.25)
        canvas.line(to_points(10), to_points(y), to_points(15), to_points(y))

    facts = vector_facts(page(paint), marigold=page(paint, "other.pdf"))
    for rule in (small_type, tinted_type, thin_lines, type_in_two_inks):
        boxes = [one.box for one in found(rule, facts) if one.box.y0 < 35]
        assert bool(boxes) == told, rule.RULE.name
    # What stands on the page is told as ever: the same words in both inks.
    assert [one.measured for one in found(type_in_two_inks, facts)] == ["5 pt" if told else "12 pt"]


def test_a_thin_stroke_on_the_page_is_told_beside_many_thinner_marks_beyond_it(page):
    def paint(canvas):
        for mark in range(150):
            canvas.setLineWidth(0.1)
            canvas.line(to_points(mark / 2), to_points(_OFF), to_points(mark / 2), to_points(_OFF + 3))
        for mark in range(300):
            canvas.setLineWidth(0.5 + mark / 100)
            canvas.line(to_points(5), to_points(10), to_points(50), to_points(10))
        canvas.setLineWidth(0.3)
        canvas.line(to_points(5), to_points(20), to_points(50), to_points(20))

    (one,) = found(thin_lines, vector_facts(page(paint)))
    assert number(one.measured) == pytest.approx(0.3 * 25.4 / 72, abs=0.005)
    assert one.box.y0 == pytest.approx(20, abs=0.01)


def test_a_stroke_of_no_width_is_told_in_words(page):
    def paint(canvas):
        canvas.setLineWidth(0)
        canvas.line(to_points(5), to_points(20), to_points(50), to_points(20))

    (one,) = found(thin_lines, vector_facts(page(paint)))
    assert one.message.startswith("strokes are drawn with no width, as thin as the machine can,")


# --- what a drawing can do to a reader ------------------------------------------------------------------------------


def test_a_drawing_beyond_reading_is_said_to_be(tmp_path):
    pdf = pikepdf.new()
    made = pdf.add_blank_page(page_size=tuple(map(to_points, TRIM)))
    made.Contents = pdf.make_stream(b"0 0 1 1 re f\n" * 300_000)
    pdf.save(tmp_path / "long.pdf")
    (source,) = pdfs.survey(tmp_path / "long.pdf", "long.pdf")
    assert not pdfs.drawn(source, AS_IT_IS).whole


@pytest.mark.parametrize(
    "operators",
    [b"Q Q Tf (x) Tj", b"/None 12 Tf BT (x) Tj ET", b"1 0 cm (x) '", b"/Nothing Do BT [(a) -500 (b)] TJ ET"],
)
def test_senseless_operators_are_passed_over(tmp_path, operators):
    pdf = pikepdf.new()
    made = pdf.add_blank_page(page_size=tuple(map(to_points, TRIM)))
    made.Contents = pdf.make_stream(operators)
    pdf.save(tmp_path / "odd.pdf")
    (source,) = pdfs.survey(tmp_path / "odd.pdf", "odd.pdf")
    assert pdfs.drawn(source, AS_IT_IS).smallest_tinted is None


# --- what else is in a file -----------------------------------------------------------------------------------------


def surveyed(tmp_path, change):
    pdf = pikepdf.new()
    made = pdf.add_blank_page(page_size=tuple(map(to_points, TRIM)))
    made.Contents = pdf.make_stream(b"0 g 10 10 20 20 re f")
    change(pdf, made)
    pdf.save(tmp_path / "extra.pdf")
    (source,) = pdfs.survey(tmp_path / "extra.pdf", "extra.pdf")
    return {finding.rule: finding for finding in source.findings}


def note(kind, pdf):
    return pdf.make_indirect(
        pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name("/" + kind), Rect=[0, 0, 20, 20], F=4)
    )


def test_a_plain_file_has_nothing_to_tell(tmp_path):
    assert surveyed(tmp_path, lambda pdf, made: None) == {}


def test_notes_are_told_and_links_are_not(tmp_path):
    def change(pdf, made):
        made.Annots = pikepdf.Array([note("Square", pdf), note("Text", pdf), note("Link", pdf)])

    found_here = surveyed(tmp_path, change)
    assert set(found_here) == {"pdf-notes"}
    assert "2 notes" in found_here["pdf-notes"].message


def appearing(pdf, annotation):
    form = pdf.make_stream(b"0 g 0 0 20 20 re f")
    form.Type, form.Subtype, form.BBox = pikepdf.Name.XObject, pikepdf.Name.Form, pikepdf.Array([0, 0, 20, 20])
    annotation.AP = pikepdf.Dictionary(N=form)
    return annotation


def test_notes_that_bring_no_picture_are_told_as_lost(tmp_path):
    def change(pdf, made):
        hidden = note("Circle", pdf)
        hidden.F = 2
        made.Annots = pikepdf.Array(
            [note("Square", pdf), note("Ink", pdf), appearing(pdf, note("Square", pdf)), hidden, note("Link", pdf)]
        )

    finding = surveyed(tmp_path, change)["pdf-notes"]
    assert finding.level == "warning"
    assert "2 notes that a viewer makes a picture for, none of which prints" in finding.message


def test_notes_that_bring_one_print_as_they_look(tmp_path):
    def change(pdf, made):
        made.Annots = pikepdf.Array([appearing(pdf, note("Square", pdf))])

    finding = surveyed(tmp_path, change)["pdf-notes"]
    assert finding.level == "note"


@pytest.mark.parametrize("inherited", [True, False])
def test_fields_without_a_picture_are_told_and_a_password_is_not_printed(tmp_path, inherited):
    def change(pdf, made):
        secret = pikepdf.Dictionary(FT=pikepdf.Name.Tx, Ff=1 << 13, V="hunter2", DA="/F1 12 Tf 0 g", T="p")
        field = pikepdf.Dictionary(
            Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Widget, Rect=[0, 0, 100, 20], F=4, DA="/F1 12 Tf 0 g"
        )
        if inherited:
            secret = pdf.make_indirect(secret)
            field = pdf.make_indirect(field)
            field.Parent, secret.Kids = secret, pikepdf.Array([field])
        else:
            field = pdf.make_indirect(field)
            for key, value in secret.items():
                field[key] = value
        made.Annots = pikepdf.Array([field])
        font = pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica)
        pdf.Root.AcroForm = pikepdf.Dictionary(
            Fields=pikepdf.Array([secret if inherited else field]), NeedAppearances=True,
            DR=pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=font)), DA="/F1 12 Tf 0 g",
        )  # fmt: skip

    finding = surveyed(tmp_path, change)["pdf-notes"]
    assert finding.level == "warning"
    assert "1 form field that a viewer makes a picture for" in finding.message
    (source,) = pdfs.survey(tmp_path / "extra.pdf", "extra.pdf")
    target = pikepdf.Pdf.new()
    target.add_blank_page()
    made = pdfs.embed(source, source.size, target)
    target.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=made.xobject))
    target.save(tmp_path / "out.pdf", compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.all)
    written = (tmp_path / "out.pdf").read_bytes()
    assert b"hunter2" not in written
    assert b"*******" in written


def test_scripts_and_attachments_are_ignored_and_said_so(tmp_path):
    def change(pdf, made):
        pdf.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert('x')")
        pdf.attachments["notes.txt"] = b"hello"

    told = surveyed(tmp_path, change)["pdf-scripts"]
    assert told.message == "extra.pdf holds scripts and attached files; they are ignored"
    assert told.level == "note"
    assert told.mend == "export it without them if they should not be there"


def test_layers_and_transparency_are_told(tmp_path):
    def change(pdf, made):
        layer = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name="Sketch"))
        pdf.Root.OCProperties = pikepdf.Dictionary(OCGs=[layer], D=pikepdf.Dictionary(OFF=[layer], Order=[layer]))
        made.Resources = pikepdf.Dictionary(ExtGState=pikepdf.Dictionary(G=pikepdf.Dictionary(ca=0.5)))

    told = surveyed(tmp_path, change)
    assert told["pdf-layers"].message == "extra.pdf has 1 layer; those that are off are left out"
    assert told["pdf-transparency"].level == "note"


# --- crop marks -----------------------------------------------------------------------------------------------------


def marked(inset=8.0, corners=4, gap=1.0, tone=1.0):
    """Crop marks of 0.25 mm that point at a rectangle `inset` mm inside the trim."""
    tones = draw(paper(ppi=300), (25, 30, 35, 50), ppi=300)
    wide, high = TRIM
    for k, (x, y) in enumerate(((0, 0), (1, 0), (0, 1), (1, 1))):
        if k >= corners:
            break
        px, py = (wide - inset if x else inset), (high - inset if y else inset)
        level = (px + gap, py - 0.125, wide - 1, py + 0.125) if x else (1, py - 0.125, px - gap, py + 0.125)
        upright = (px - 0.125, py + gap, px + 0.125, high - 1) if y else (px - 0.125, 1, px + 0.125, py - gap)
        draw(draw(tones, level, tone, 300), upright, tone, 300)
    return tones


def test_crop_marks_inside_the_page_are_told_with_what_they_point_at():
    (one,) = found(marks_in_page, facts_of({1: marked()}, ppi=300))
    assert inside(one.box, (8, 8, 52, 72))
    assert [number(part) for part in one.measured.split("×")] == [
        pytest.approx(44, abs=0.5),
        pytest.approx(64, abs=0.5),
    ]


def test_two_corners_or_a_frame_are_no_crop_marks():
    assert found(marks_in_page, facts_of({1: marked(corners=2)}, ppi=300)) == ()
    frame = paper(ppi=300)
    for box in ((5, 5, 55, 5.3), (5, 74.7, 55, 75), (5, 5, 5.3, 75), (54.7, 5, 55, 75)):
        draw(frame, box, ppi=300)
    assert found(marks_in_page, facts_of({1: frame}, ppi=300)) == ()
