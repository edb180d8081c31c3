"""The quick look at a page: never "gray" where a colour is set, and "gray" for the pages that people send."""

from __future__ import annotations

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Dictionary, Name

from imposer.limits import LIMITS
from imposer.pages import colour_scan
from imposer.pages.colour_scan import look_at_page
from imposer.pages.pdf_source import open_source
from tests.pages.traps import new


def look(pdf, tmp_path, name="page.pdf"):
    file = tmp_path / name
    pdf.save(file)
    return look_at_page(open_source(file, name, LIMITS), 0)


@pytest.mark.parametrize(
    "content",
    [
        b"0 g 0.5 G 0 0 9 9 re B",
        b"BT /F1 9 Tf (a k b rg K scn) Tj [(k) -20 (q Q)] TJ ET",
        b"BT (q with \\) k \\( in it) Tj (a \\\\) Tj ET",
        b"BT <6b> Tj ET",
        b"/Artifact <</Attached [/Top] /Type /Pagination>> BDC q 0 g Q EMC",
        b"",
    ],
)
def test_gray_pages_are_seen_as_gray(content, tmp_path):
    assert look(new(content), tmp_path).gray


@pytest.mark.parametrize(
    "content",
    [
        b"1 0 0 rg", b"1 0 0 RG(text)Tj", b"0 0 0 1 k", b"0 0 0 1 K\0(x)Tj", b"/Cs1 cs 0 sc", b"/Cs1 CS\r1 SCN",
        b"(a) Tj 1 0 0 rg(b (nested k) c) Tj", b"% (remark\n1 0 0 rg (text) Tj", b"(\\\\) Tj 1 0 0 rg (b) Tj",
        b"BI /W 1 /H 1 /BPC 8 /CS /RGB ID abc EI", b"q q Q", b"Q",
        b"<</A (x)>>BDC 1 0 0 rg EMC", b"(" + b"a" * 99 + b") Tj\n" * 12_000 + b"0 0 1 rg",
    ],
)  # fmt: skip
def test_a_colour_is_never_overlooked(content, tmp_path):
    assert not look(new(content), tmp_path).gray


_TEXT = st.text(st.sampled_from("kgq Kr\\()%"), max_size=8)
_WORDS = st.one_of(
    st.sampled_from(["0 g", "1 0 0 rg", "0 0 0 1 K", "q", "Q", "0 0 9 9 re", "f", "/Cs cs", "% k", "BT ET", "<6b 20>"]),
    _TEXT.map(lambda text: "(" + "".join("\\" + c if c in "\\()" else c for c in text) + ") Tj"),
    _TEXT.map(lambda text: "((" + "".join("\\" + c if c in "\\()" else c for c in text) + ") k) Tj"),
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(words=st.lists(_WORDS, max_size=8), gap=st.sampled_from([" ", "\n", "\r\n"]))
def test_gray_is_certain(words, gap, tmp_path_factory):
    """Whatever the quick look calls gray, a parser finds no colour in."""
    content = gap.join(words).encode()
    pdf = pikepdf.Pdf.new()
    parsed = {str(one.operator) for one in pikepdf.parse_content_stream(pdf.make_stream(content + b"\nn"))}
    _, gray, _ = colour_scan._tokens(content)
    assert not gray or not parsed & {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN"}


@pytest.mark.parametrize("position", range(-3, 4))
def test_a_colour_at_the_seam_of_two_pieces_is_seen(position, tmp_path, monkeypatch):
    monkeypatch.setattr(colour_scan, "_CHUNK", 64)
    content = b"0 g " * 15 + b" " * (4 + position) + b"1 0 0 rg 0 0 9 9 re f"
    assert not look(new(content), tmp_path).gray


def test_what_a_page_names_is_looked_at_too(tmp_path):
    def page(kind, thing):
        pdf = new(b"0 g")
        pdf.pages[0].Resources[kind] = Dictionary(X=thing(pdf))
        return look(pdf, tmp_path, f"{len(list(tmp_path.iterdir()))}.pdf")

    def form(content, **entries):
        def make(pdf):
            made = pdf.make_stream(content)
            made.Type, made.Subtype = Name.XObject, Name.Form
            for key, value in entries.items():
                made["/" + key] = value
            return made

        return make

    rgb_group = Dictionary(S=Name.Transparency, CS=Name.DeviceRGB)
    assert page("/XObject", form(b"0 g")).gray
    assert not page("/XObject", form(b"1 0 0 rg")).gray
    assert not page("/XObject", form(b"0 g", Group=rgb_group)).gray
    assert not page("/Pattern", form(b"1 0 0 rg")).gray
    assert not page("/Shading", lambda _: Dictionary(ShadingType=2, ColorSpace=Name.DeviceRGB)).gray
    assert page("/ExtGState", lambda _: Dictionary(ca=0.5)).blends
    assert page("/ExtGState", lambda _: Dictionary(BM=Name.Multiply)).blends
    assert not page("/ExtGState", lambda _: Dictionary(BM=Name.Normal, ca=1)).blends
