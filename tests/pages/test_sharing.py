"""Pages of many files in one PDF: what they share is there once, and they look as they did."""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from imposer.pages import pdf_source, pdfs
from imposer.pages.merge import merge_identical
from imposer.pages.sharing import copy_sharing, let_share, twins_are_left
from tests.pages.traps import TRAPS
from tests.pages.viewer import as_viewed

#: Data that no packing makes smaller.
FONT_FILE, OTHER_FILE = (np.random.default_rng(seed).bytes(20_000) for seed in (1, 2))


def a_font(pdf, *, file=FONT_FILE, widths=(500, 600), data=None, name=Name.Moth):
    data = pdf.make_stream(file) if data is None else data
    descriptor = pdf.make_indirect(Dictionary(Type=Name.FontDescriptor, FontName=name, FontFile2=data))
    return pdf.make_indirect(
        Dictionary(Type=Name.Font, Subtype=Name.TrueType, FontDescriptor=descriptor, Widths=Array(widths))
    )


def a_form(pdf, drawing, **resources):
    form = pdf.make_stream(drawing)
    form.stream_dict = Dictionary(
        Type=Name.XObject, Subtype=Name.Form, BBox=Array([0, 0, 50, 50]), Resources=Dictionary(**resources)
    )
    return form


def copied(*makers):
    """Copy what each maker makes in a PDF of its own into one that shares; return that and the copies."""
    target = pikepdf.Pdf.new()
    let_share(target)
    copies = []
    for make in makers:
        source = pikepdf.Pdf.new()
        copies.append(copy_sharing(target, source, make(source)))
    target.Root.Held = Array(copies)
    return target, copies


def with_font(drawing, **font):
    return lambda pdf: a_form(pdf, drawing, Font=Dictionary(F=a_font(pdf, **font)))


def test_a_font_that_two_files_bring_is_there_once():
    target, (first, second) = copied(with_font(b"1"), with_font(b"2"))
    assert first.Resources.Font.F.objgen == second.Resources.Font.F.objgen
    assert [first.read_bytes(), second.read_bytes()] == [b"1", b"2"]
    assert not twins_are_left(target)
    assert merge_identical(target) == 0


@pytest.mark.parametrize("other", [{"file": OTHER_FILE}, {"widths": (500, 601)}])
def test_fonts_that_only_look_alike_are_both_there(other):
    target, (first, second) = copied(with_font(b"1"), with_font(b"2", **other))
    assert first.Resources.Font.F.objgen != second.Resources.Font.F.objgen
    assert second.Resources.Font.F.FontDescriptor.FontFile2.read_raw_bytes() == other.get("file", FONT_FILE)
    assert twins_are_left(target) == ("widths" in other)


def test_what_is_alike_deeper_down_is_left_to_merging():
    target, (first, second) = copied(with_font(b"1"), with_font(b"2", widths=(1, 2)))
    fonts = [one.Resources.Font.F for one in (first, second)]
    assert twins_are_left(target)
    assert merge_identical(target) == 2
    assert fonts[0].objgen != fonts[1].objgen
    assert fonts[0].FontDescriptor.objgen == fonts[1].FontDescriptor.objgen


def test_two_fonts_of_one_file_may_hold_the_same_data():
    def make(pdf):
        data = pdf.make_stream(FONT_FILE)
        fonts = {name: a_font(pdf, data=data, name=Name(name)) for name in ("/F", "/G")}
        return a_form(pdf, b"1", Font=Dictionary(fonts))

    target, (form,) = copied(make)
    assert not twins_are_left(target)
    assert len({form.Resources.Font[name].FontDescriptor.FontFile2.objgen for name in ("/F", "/G")}) == 1


def test_the_same_page_twice_is_there_once():
    _, (first, second, third) = copied(with_font(b"1"), with_font(b"1"), with_font(b"2"))
    assert first.objgen == second.objgen != third.objgen


def test_forms_in_forms_share_too():
    def make(number):
        def form(pdf):
            inner = a_form(pdf, b"inner %d" % number, Font=Dictionary(F=a_font(pdf)))
            return a_form(pdf, b"outer", XObject=pdf.make_indirect(Dictionary(X=inner)))

        return form

    target, (first, second) = copied(make(1), make(2))
    inner = [one.Resources.XObject.X for one in (first, second)]
    assert [one.read_bytes() for one in inner] == [b"inner 1", b"inner 2"]
    assert inner[0].Resources.Font.F.objgen == inner[1].Resources.Font.F.objgen
    assert not twins_are_left(target)


def test_direct_values_of_every_kind_come_along():
    def make(pdf):
        state = Dictionary(SMask=Dictionary(G=a_form(pdf, b"mask")), D=Array([Array([1, 2.5]), 0]), ca=0.5, AIS=True)
        text = Dictionary(S=pikepdf.String("a (b) 1 0 R \\"), N=Name("/x y"), B=pikepdf.String(b"\xff\0"))
        return a_form(
            pdf, b"1", ExtGState=Dictionary(G=state), Properties=Dictionary(P=text), ProcSet=Array([Name.PDF])
        )

    _, (form,) = copied(make)
    state, text = form.Resources.ExtGState.G, form.Resources.Properties.P
    assert state.SMask.G.read_bytes() == b"mask"
    assert (state.D[0][1], state.ca, state.AIS) == (pikepdf.Object.parse(b"2.5"), pikepdf.Object.parse(b".5"), True)
    assert (str(text.S), text.N, bytes(text.B)) == ("a (b) 1 0 R \\", Name("/x y"), b"\xff\0")
    assert form.Resources.ProcSet == Array([Name.PDF])


def test_a_font_whose_name_is_no_text_comes_along():
    def make(pdf):
        form = a_form(pdf, b"1")
        form.Resources.Font = pikepdf.Object.parse(b"<< /F\xff << /Type /Font /Subtype /Type3 >> >>")
        form.Resources.Font["/F\udcff"] = pdf.make_indirect(form.Resources.Font["/F\udcff"])
        return form

    _, (form,) = copied(make)
    assert form.Resources.Font["/F\udcff"].Subtype == Name.Type3


def test_a_drawing_that_holds_itself_is_copied_as_it_is():
    def make(pdf):
        form = a_form(pdf, b"1", Font=Dictionary(F=a_font(pdf)))
        font = form.Resources.Font.F
        font.Resources = pdf.make_indirect(Dictionary(Font=Dictionary(F=font)))
        return form

    _, (first, second) = copied(make, make)
    for form in (first, second):
        assert form.Resources.Font.F.Resources.Font.F.objgen == form.Resources.Font.F.objgen


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_looks_the_same_beside_its_double(name, tmp_path):
    """The same file under two names, both embedded in a PDF that shares, against a PDF that does not."""
    looks = []
    for sharing in (False, True):
        target = pikepdf.Pdf.new()
        if sharing:
            let_share(target)
        for number in range(2):
            file = tmp_path / f"{number}.pdf"
            viewed = TRAPS[name](file)
            source = pdfs.survey(file, file.name)[viewed.index]
            made = pdfs.embed(source, source.size, target)
            page = target.add_blank_page(page_size=(400, 400))
            page.Resources = Dictionary(XObject=Dictionary(P=made.xobject))
            matrix = " ".join(f"{n * 72 / 25.4:.6f}" for n in made.to_art)
            page.Contents = target.make_stream(f"q {matrix} cm /P Do Q".encode())
        if sharing and twins_are_left(target):
            merge_identical(target)
        saved = io.BytesIO()
        target.save(saved)
        looks += [as_viewed(saved.getvalue(), index) for index in range(2)]
    assert all((look == looks[0]).all() for look in looks)


def test_files_are_let_go_with_the_pdf_that_they_were_copied_to(tmp_path):
    pdf_source.close_sources()
    before = pdf_source._whole.taken
    target = pikepdf.Pdf.new()
    let_share(target)
    for number in range(3):
        file = tmp_path / f"{number}.pdf"
        with pikepdf.Pdf.new() as pdf:
            pdf.add_blank_page()
            pdf.pages[0].Resources = Dictionary(Font=Dictionary(F=a_font(pdf)))
            pdf.save(file)
        (source,) = pdfs.survey(file, file.name)
        pdfs.embed(source, source.size, target)
    assert pdf_source._whole.taken > before + 3 * 20_000
    pdf_source.close_sources()
    assert pdf_source._whole.taken > before
    del target
    assert pdf_source._whole.taken <= before
