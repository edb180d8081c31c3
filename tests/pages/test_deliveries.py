"""What artists call their files, pattern by pattern, through a whole table: the right page, or a question.

The patterns are what printers ask for and what was seen handed in; common practice, no source.
"""

from __future__ import annotations

import dataclasses

import pytest

from imposer.errors import ImposerError
from imposer.pages.find import find_pages
from tests.pages.test_find import faults_of, job_in, pdf, picture

#: Pattern of an ink, its files, and the page of each; several inks where one tells of the other.
TOLD = {
    "page then ink": [("*_blue.png", {"01_blue.png": 1, "02_blue.png": 2}), ("*_red.png", {"02_red.png": 2})],
    "page with p then ink": [("*-blue.tif", {"p01-blue.tif": 1, "p03-blue.tif": 3})],
    "page in words then ink": [("*BLUE.pdf", {"page 1 BLUE.pdf": 1, "page 2 BLUE.pdf": 2})],
    "page and letter of the ink": [("*b.png", {"1b.png": 1, "2b.png": 2}), ("*r.png", {"1r.png": 1})],
    "ink then page": [("blue_*.png", {"blue_01.png": 1, "blue_10.png": 10, "blue_2.png": 2})],
    "ink then page with p": [("Blue-*.pdf", {"Blue-p1.pdf": 1, "Blue-p2.pdf": 2})],
    "ink then page of three digits": [("BLACK*.tif", {"BLACK 001.tif": 1, "BLACK 012.tif": 12})],
    "a folder of the ink": [("blue/*.png", {"blue/01.png": 1, "blue/02.png": 2})],
    "a numbered folder of the ink": [("01 blue/*.png", {"01 blue/page1.png": 1, "01 blue/page2.png": 2})],
    "a folder of the layer": [("layer1_blue/*", {"layer1_blue/3.png": 3, "layer1_blue/4.png": 4})],
    "a folder of the page": [
        ("page*/blue.png", {"page01/blue.png": 1, "page02/blue.png": 2}),
        ("page*/red.png", {"page02/red.png": 2}),
    ],
    "a short folder of the page": [("p*/layer 2.png", {"p1/layer 2.png": 1, "p10/layer 2.png": 10})],
    "title first": [
        ("*pink*", {"myzine_v3_p04_pink_FINAL.png": 4, "myzine_v3_p05_pink_FINAL.png": 5}),
    ],
    "front and back of a booklet that another ink tells": [
        ("black.pdf", {"black.pdf": 8}),
        ("blue/*", {"blue/front.png": 1, "blue/back.png": 8}),
    ],
    "a cover round numbered pages": [
        ("*.png", {"cover.png": 1, **{f"{n:02}.png": n for n in range(2, 8)}, "back.png": 8}),
    ],
    "a cover of four pages round the inside": [
        ("*.png", {"front.png": 1, "ifc.png": 2, "03.png": 3, "06.png": 6, "ibc.png": 7, "back.png": 8}),
    ],
    "a back cover that is blank inside": [("*.png", {"cover.png": 1, "06.png": 6, "back cover.png": 8})],
    "a cover alone": [("*.png", {"front.png": 1, "back.png": 4})],
    "a cover inside and out, in words": [
        ("*.png", {"inside front.png": 2, "inside back.png": 3, "front.png": 1, "back.png": 4})
    ],
    "covers that are counted": [("CVR_*", {"CVR_1.tif": 1, "CVR_2.tif": 2})],
    "covers as a printer counts them in German": [
        ("black.pdf", {"black.pdf": 12}),
        ("*.tif", {"u1.tif": 1, "U2 blau.tif": 2, "u3.tif": 11, "U4.tif": 12}),
    ],
    "a cover in Spanish": [("*.png", {"cubierta azul.png": 1, "02 azul.png": 2, "03 azul.png": 3})],
    "a cover in French": [("*.png", {"couverture.png": 1, "p2.png": 2})],
    "a cover in German": [("*.png", {"Umschlag.png": 1, "Seite 2.png": 2})],
    "no zeros in front": [("*.png", {"1.png": 1, "2.png": 2, "10.png": 10})],
    "counted from zero, the cover 0": [("*.png", {f"{n}.png": n + 1 for n in range(4)})],
    "letters": [("*.png", {"A.png": 1, "B.png": 2, "C.png": 3})],
    "the ink's place in the printing order": [
        ("1_yellow*", {"1_yellow_p1.png": 1, "1_yellow_p2.png": 2}),
        ("2_pink*", {"2_pink_p1.png": 1}),
    ],
    "a layer's place in the printing order": [("L1/*", {"L1/01.png": 1}), ("layer 3/*", {"layer 3/02.png": 2})],
    "a plate by its letter": [("*_K.tif", {"zine_K.tif": 1}), ("plate-C/*", {"plate-C/2.png": 2})],
    "plates of a page": [("*_K.tif", {"01_K.tif": 1, "02_K.tif": 2}), ("*_M.tif", {"02_M.tif": 2})],
    "an ink by its colour code": [("#d04a6a*", {"#d04a6a_01.png": 1, "#d04a6a_02.png": 2})],
    "an ink by a nickname": [("red-ish*", {"red-ish 3.png": 3}), ("dark one*", {"dark one 4.png": 4})],
    "an ink by a number": [("color1*", {"color1_p3.png": 3, "color1_p4.png": 4})],
    "an ink by a spot's number": [("spot2*", {"spot2-01.png": 1, "spot2-02.png": 2})],
    "a page in Spanish": [("azul*", {"azul página 1.png": 1, "azul página 2.png": 2})],
    "a page in short Spanish": [("rosa*", {"rosa pág 3.png": 3})],
    "a page in German": [("schwarz*", {"schwarz Seite 2.pdf": 2, "schwarz Seite 3.pdf": 3})],
    "a page in French": [("*bleu*", {"page 1 bleu.png": 1}), ("*noir*", {"page 2 noir.png": 2})],
    "a page in Dutch": [("*.png", {"blz 5 zwart.png": 5})],
    "artboards": [("*.png", {"Artboard 1.png": 1, "Artboard 2.png": 2})],
    "untitled": [("*.png", {"Untitled-3.png": 3, "Untitled-4.png": 4})],
    "a camera's counter": [("*.png", {"IMG_2041.png": 1, "IMG_2042.png": 2})],
    "a scanner's counter": [("*.png", {"scan0007.png": 7, "scan0008.png": 8})],
    "litter of file managers": [("black/*", {"black/1.png": 1, "black/.DS_Store": None, "black/Thumbs.db": None})],
    "final and final2": [("*.png", {"04_final.png": 4, "05_final2.png": 5, "06_FINAL_real.png": 6})],
    "versions": [("*.png", {"04_v2.png": 4, "05_v3.png": 5})],
    "dates": [("*.png", {"2026-05-12 p1.png": 1, "2026-05-13 p2.png": 2})],
    "copies of a browser": [("*.png", {"p4 (1).png": 4, "p5 (2).png": 5})],
    "accents and a blank before the ending": [("*.PDF", {"Été_nº1 .PDF": 1, "Été_nº2 .PDF": 2})],
    "emoji": [("*.png", {"\U0001f319 01.png": 1, "\U0001f319 02.png": 2})],
    "very long": [("*.png", {"a" * 200 + " 1.png": 1, "a" * 200 + " 2.png": 2})],
}

#: Patterns that cannot be told: what a person is asked.
ASKED = {
    "a cover beside a page 1": (
        ["cover.png", "01.png", "02.png"],
        "page 1 has 2 files, 01.png and cover.png; keep one, or give each a page number of its own",
    ),
    "a back where nothing tells the last page": (
        ["01.png", "02.png", "03.png", "04.png", "05.png", "ibc.png", "back.png"],
        "back.png is counted from the back by its name, but the other pages end at 5; give every file its page number",
    ),
    "names that differ by case": (
        ["BLUE.png", "blue.png"],
        "BLUE.png and blue.png have one name but for case or ending: are they one page, or two?; keep one, or give ",
    ),
    "names that differ by their ending": (
        ["moth.png", "moth.tif"],
        "moth.png and moth.tif have one name but for case or ending: are they one page, or two?; keep one, or give ",
    ),
    "two versions of a page": (
        ["p1.png", "p1 final.png"],
        "page 1 has 2 files, p1.png and p1 final.png; keep one, or give each a page number of its own",
    ),
}


@pytest.mark.parametrize("inks", TOLD.values(), ids=TOLD)
def test_a_pattern_gives_the_right_page(tmp_path, inks):
    for _, files in inks:
        for name, page in files.items():
            if page is None:
                (tmp_path / name).write_bytes(b"litter")
            elif name.lower().endswith(".pdf"):
                # The one PDF of an ink has as many pages as are told; of several, each has one.
                pdf(tmp_path, name, count=page if len(files) == 1 else 1)
            else:
                picture(tmp_path, name, ppi=30)
    table = find_pages(job_in(tmp_path, *(pattern for pattern, _ in inks)))
    for ink, (_, files) in zip(table.inks, inks, strict=True):
        found = {art.source.shown: page for (page, of), art in table.cells.items() if of == ink}
        assert found == {name: page for name, page in files.items() if page is not None}


@pytest.mark.parametrize("names", [["A.png", "B.png"], ["IMG_2041.png", "IMG_2042.png"]])
def test_pages_that_follow_from_the_order_alone_are_said_to(tmp_path, names):
    for name in names:
        picture(tmp_path, name, ppi=60)
    findings = find_pages(job_in(tmp_path, "*.png")).findings
    assert [(finding.rule, finding.level) for finding in findings] == [("page-order", "note")]


@pytest.mark.parametrize(("names", "question"), ASKED.values(), ids=ASKED)
def test_a_pattern_that_cannot_be_told_is_asked(tmp_path, names, question):
    for name in names:
        picture(tmp_path, name, ppi=30)
    (fault,) = faults_of(job_in(tmp_path, "*"))
    assert fault.startswith(f"JOB/job.toml: ink[1].pages: {question}")


def test_a_list_puts_a_cover_where_it_stands(tmp_path):
    for name in ("front.png", "middle.png", "back.png"):
        picture(tmp_path, name, ppi=30)
    table = find_pages(job_in(tmp_path, ["front.png", "back.png"]))
    assert [art.source.shown for art in table.cells.values()] == ["front.png", "back.png"]
    assert table.pages == 2


def spreads_in(folder, *names, single=()):
    for name in names:
        picture(folder, name, size=(200, 150), ppi=60)
    for name in single:
        picture(folder, name, ppi=60)
    job = job_in(folder, "*.png")
    return dataclasses.replace(job, inks=tuple(dataclasses.replace(ink, lay="spreads") for ink in job.inks))


@pytest.mark.parametrize(
    ("spreads", "single", "pages"),
    [
        (["02-03_blue.png", "04-05_blue.png"], [], [2, 3, 4, 5]),
        (["p2_3.png", "p6_7.png"], ["p1.png"], [1, 2, 3, 6, 7]),
        (["spread1.png", "spread2.png"], ["spread0.png"], [1, 2, 3, 4, 5]),
    ],
)
def test_spreads_are_split_into_the_pages_they_state_or_in_order(tmp_path, spreads, single, pages):
    table = find_pages(spreads_in(tmp_path, *spreads, single=single))
    assert [page for page, _ in table.cells] == pages


def test_a_spread_that_states_one_page_is_asked(tmp_path):
    with pytest.raises(ImposerError) as caught:
        find_pages(spreads_in(tmp_path, "02-03.png", "04.png"))
    assert str(caught.value) == "04.png: is two pages wide, but its name says 4; name it after the pages it holds"


def test_spreads_are_never_taken_for_pages(tmp_path):
    picture(tmp_path, "02-03_blue.png", size=(200, 150), ppi=60)
    (fault,) = faults_of(job_in(tmp_path, "*.png"))
    assert "it seems to be a spread of two pages" in fault


ZIP = b"PK\x03\x04\x14\x00"
#: First bytes, by name of the file; what it is called, and the way out.
FORMATS = [
    ("a.gif", b"GIF89a", "a picture (GIF)", "save it as PNG or TIFF, at the size of the page"),
    ("a.bmp", b"BM\x36\x00", "a picture (BMP)", "save it as PNG or TIFF, at the size of the page"),
    ("a.webp", b"RIFF\0\0\0\0WEBPVP8 ", "a picture (WEBP)", "save it as PNG or TIFF, at the size of the page"),
    ("a.heic", b"\0\0\0\x18ftypheic", "a picture (HEIC)", "save it as PNG or TIFF, at the size of the page"),
    ("a.avif", b"\0\0\0\x18ftypavif", "a picture (AVIF)", "save it as PNG or TIFF, at the size of the page"),
    ("a.jp2", b"\0\0\0\x0cjP  ", "a picture (JP2)", "save it as PNG or TIFF, at the size of the page"),
    ("a.png", b"GIF87a", "a picture (GIF)", "save it as PNG or TIFF, at the size of the page"),
    ("a.psd", b"8BPS\0\x01", "a layered picture (PSD)", "export the layer of each ink as a gray PNG or TIFF"),
    ("a.xcf", b"layers", "a layered picture (XCF)", "export the layer of each ink as a gray PNG or TIFF"),
    ("a.ora", ZIP, "a layered picture (ORA)", "export the layer of each ink as a gray PNG or TIFF"),
    ("a.eps", b"%!PS-Adobe-3.0 EPSF-3.0", "a drawing (EPS)", "export it as PDF, a page"),
    ("a.ai", b"%!PS-Adobe-3.0", "a drawing (AI)", "export it as PDF, a page"),
    (
        "a.svg",
        b"<?xml version='1.0'?><svg>",
        "a drawing (SVG)",
        "export it as PDF, a page",
    ),
    (
        "a.docx",
        ZIP,
        "an office document (DOCX)",
        "export it as PDF, and look",
    ),
    ("a.odt", ZIP, "an office document (ODT)", "export it as PDF, and look"),
    ("a.doc", b"\xd0\xcf\x11\xe0", "an office document (DOC)", "export it as PDF, and look"),
    (
        "a.indd",
        b"\x06\x06\xed\xf5",
        "a layout document (INDD)",
        "export it as PDF, a page",
    ),
    ("a.dng", b"\0\0\0\0", "a raw photograph (DNG)", "save it as PNG or TIFF, at the size of the page"),
    ("a.zip", ZIP, "an archive (ZIP)", "unpack it, and name the files in it"),
    ("a.html", b"<!doctype html>", "a text for screens (HTML)", "print it to PDF"),
]


@pytest.mark.parametrize(("name", "data", "what", "mend"), FORMATS, ids=[f"{n} {what}" for n, _, what, _ in FORMATS])
def test_another_format_is_refused_by_name_with_the_way_out(tmp_path, name, data, what, mend):
    (tmp_path / name).write_bytes(data + b"\0" * 64)
    (fault,) = faults_of(job_in(tmp_path, name))
    assert fault.startswith(f"{name}: is {what}, which is not read here; {mend}")


def test_a_drawing_that_is_a_pdf_inside_is_read_whatever_it_is_called(tmp_path):
    pdf(tmp_path, "moth.ai")
    assert find_pages(job_in(tmp_path, "moth.ai")).pages == 1
