"""PDFs in process and spot colours whose plates stand for inks: each plate alone, as vectors, becomes the ink."""

from __future__ import annotations

import io
import shutil
import subprocess

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer.errors import ImposerError
from imposer.geometry import Transform
from imposer.pages import pdfs
from imposer.pages.pdf_source import close_sources
from tests.artwork import not_gray
from tests.pages.plate_cells import CELLS, PLATES, SIDE, SQUARE, image, page_of
from tests.pages.rendered import placed_pdf, tones_of

#: A tone may be off by this much, of 255: the renderer's rounding.
CLOSE = 1.5


def saved(folder, cell):
    file = folder / "zine.pdf"
    with page_of(cell.drawing, cell.things) as pdf:
        pdf.save(file)
    return file


def refused(folder, drawing, things=None, plate="black"):
    with page_of(drawing, things) as pdf:
        pdf.save(folder / "zine.pdf")
    with pytest.raises(ImposerError) as caught:
        pdfs.survey(folder / "zine.pdf", "zine.pdf", plate=plate)
    return str(caught.value)


class TestTones:
    """Drawings of known tones, plate by plate."""

    @pytest.mark.parametrize("cell", CELLS, ids=lambda cell: cell.name)
    def test_each_plate_has_its_tone_and_no_other(self, tmp_path, cell):
        file = saved(tmp_path, cell)
        found = {}
        for plate in PLATES:
            (source,) = pdfs.survey(file, "zine.pdf", plate=plate)
            assert [finding.rule for finding in source.findings if finding.rule != "pdf-transparency"] == []
            measured = pdfs.tones(source, source.size, 144)
            master = placed_pdf(pdfs, [(source, source.size)], page=(SIDE, SIDE))
            (tmp_path / "master.pdf").write_bytes(master)
            assert not_gray(tmp_path / "master.pdf") == []
            placed = tones_of(master, (2 * SIDE, 2 * SIDE))
            assert np.abs(measured.astype(int) - placed).max() <= 3
            found[plate] = float(placed[SIDE - 6 : SIDE + 6, SIDE - 6 : SIDE + 6].mean())
        wanted = {plate: cell.tones.get(plate, 0) * 2.55 for plate in PLATES}
        assert found == pytest.approx(wanted, abs=CLOSE)

    @pytest.mark.parametrize("cell", CELLS, ids=lambda cell: cell.name)
    def test_no_more_plates_are_named_than_can_be_inked(self, tmp_path, cell):
        (source,) = pdfs.survey(saved(tmp_path, cell), "zine.pdf", plate="black")
        named = pdfs.plates(source)
        assert {plate for plate in cell.tones if cell.name != "all"} <= set(named)
        inked = {plate for plate, tone in cell.tones.items() if tone and cell.name != "all"}
        printing = set(pdfs.printing_plates(source, source.size, named))
        assert inked <= printing <= set(named)


#: Colours to stack: how each is chosen, and what it is on each plate; a plate left out has no part in it.
TENTH = st.integers(0, 10).map(lambda tenths: tenths / 10)
PROCESS = st.tuples(TENTH, TENTH, TENTH, TENTH).map(
    lambda k: ("process", "{} {} {} {} k".format(*k), dict(zip(PLATES, k, strict=False)))
)
SPOT = st.tuples(st.sampled_from(("Coral", "Teal")), TENTH).map(
    lambda spot: ("spot", f"/{spot[0]} cs {spot[1]} scn", {spot[0]: spot[1]})
)
TWO = st.tuples(TENTH, TENTH).map(lambda k: ("spot", f"/Two cs {k[0]} {k[1]} scn", {"Coral": k[0], "Teal": k[1]}))
GRAY = TENTH.map(lambda gray: ("gray", f"{gray} g", {"cyan": 0, "magenta": 0, "yellow": 0, "black": 1 - gray}))


@given(stack=st.lists(st.tuples(st.one_of(PROCESS, SPOT, TWO, GRAY), st.sampled_from(("Not", "Over", "Over1")))))
@settings(max_examples=60, deadline=None)
def test_any_colours_on_top_of_one_another(tmp_path_factory, stack):
    """Against the table of overprinting, colour by colour (ISO 32000-1, Table 149)."""
    drawing, wanted = "", dict.fromkeys(PLATES, 0.0)
    for (kind, chosen, parts), state in stack:
        drawing += f"q /{state} gs {chosen} {SQUARE} Q "
        for plate in PLATES:
            if plate in parts:
                if not (kind == "process" and state == "Over1" and parts[plate] == 0):
                    wanted[plate] = parts[plate]
            elif state == "Not":
                wanted[plate] = 0.0
    file = tmp_path_factory.mktemp("stack") / "zine.pdf"
    with page_of(drawing) as pdf:
        pdf.save(file)
    for plate, tone in wanted.items():
        (source,) = pdfs.survey(file, "zine.pdf", plate=plate)
        assert pdfs.tones(source, source.size, 72)[SIDE // 2, SIDE // 2] == pytest.approx(255 * tone, abs=CLOSE)


#: What this version of the other separator is known to draw otherwise, and why.
OTHERWISE = {
    "neutral light": "it makes black out of all four process colours",
    "soft mask": "it takes a gray's luminance, 0.4 ** 2.2, for its luminosity",
}


@pytest.mark.skipif(shutil.which("gs") is None, reason="Ghostscript is not installed")
def test_another_separator_finds_the_same_plates(tmp_path):
    """Every drawing on a page of one file, against Ghostscript's device `tiffsep`, which writes an image a plate."""
    cells = [cell for cell in CELLS if cell.name not in OTHERWISE]
    with pikepdf.new() as joined:
        for cell in cells:
            one = page_of(cell.drawing, cell.things)
            joined.pages.extend(one.pages)
        joined.save(tmp_path / "zine.pdf")
    command = "gs -q -dBATCH -dNOPAUSE -sDEVICE=tiffsep -r144 -dOverprint=/enable -dMaxSpots=8 -o p%03d.tif zine.pdf"
    subprocess.run(command.split(), cwd=tmp_path, check=True, capture_output=True, timeout=300)
    wrong = []
    for number, cell in enumerate(cells, start=1):
        for plate in PLATES:
            name = plate.title() if plate.islower() else plate
            (file,) = list(tmp_path.glob(f"p{number:03d}(*{name}).tif")) or [None]
            found = 0.0
            if file is not None:
                with Image.open(file) as picture:
                    found = 255 - float(
                        np.asarray(picture.convert("L"))[SIDE - 6 : SIDE + 6, SIDE - 6 : SIDE + 6].mean()
                    )
            if abs(found - cell.tones.get(plate, 0) * 2.55) > 3:
                wrong.append(f"{cell.name}, {plate}: {found / 2.55:.0f} % and not {cell.tones.get(plate, 0):.0f} %")
    assert "\n".join(wrong) == ""


class TestRefused:
    """What is on no plate, or cannot be told apart, is refused in one line."""

    def test_colours_of_light(self, tmp_path):
        assert refused(tmp_path, f"1 0 0 rg {SQUARE}", plate="Coral") == (
            "zine.pdf: page 1: has red, green and blue in it, which are on no plate; export it in CMYK or spot "
            "colours, or leave plate out and take its lightness"
        )

    def test_a_picture_of_light(self, tmp_path):
        def things(pdf, resources):
            resources.XObject.I = image(pdf, [[[200, 30, 30]]], pikepdf.Name.DeviceRGB)

        for plate in ("black", "cyan", "Coral"):
            assert "which are on no plate" in refused(tmp_path, "40 0 0 40 0 0 cm /I Do", things, plate)
            close_sources()

    def test_a_picture_that_cannot_be_decoded(self, tmp_path):
        def things(pdf, resources):
            resources.XObject.I = image(pdf, [[[1, 2, 3, 4]]], pikepdf.Name.DeviceCMYK)
            resources.XObject.I.BitsPerComponent = 7

        assert refused(tmp_path, "40 0 0 40 0 0 cm /I Do", things, "cyan").startswith(
            "zine.pdf: page 1: has an image that cannot be taken apart into plates; export it"
        )

    def test_blending_that_takes_the_plates_together(self, tmp_path):
        def things(_pdf, resources):
            resources.ExtGState.Hue = pikepdf.Dictionary(BM=pikepdf.Name.Hue)

        drawing = f"1 0 0 0 k 0 0 40 40 re f /Hue gs 0 1 0 0 k {SQUARE}"
        assert refused(tmp_path, drawing, things, "cyan") == (
            "zine.pdf: page 1: cannot be taken apart into plates: it blends by hue, which mixes plates; "
            "export a gray file for each ink"
        )


class TestVectors:
    def test_vectors_stay_vectors(self, tmp_path):
        (source,) = pdfs.survey(saved(tmp_path, CELLS[0]), "zine.pdf", plate="magenta")
        with pikepdf.open(io.BytesIO(placed_pdf(pdfs, [(source, source.size)]))) as pdf:
            art = pdf.pages[0].Resources.XObject.Art
            assert art.Subtype == pikepdf.Name.Form
            assert art.read_bytes() == b"1 g\n1 G\n0.8 g\n10 10 20 20 re\nf"

    def test_a_gray_file_is_its_own_black_plate_untouched(self, tmp_path):
        drawing = f"0.25 g {SQUARE}"
        with page_of(drawing) as pdf:
            del pdf.pages[0].Resources["/ColorSpace"]
            pdf.save(tmp_path / "zine.pdf")
        (source,) = pdfs.survey(tmp_path / "zine.pdf", "zine.pdf", plate="Black")
        with pikepdf.open(io.BytesIO(placed_pdf(pdfs, [(source, source.size)]))) as pdf:
            assert pdf.pages[0].Resources.XObject.Art.read_bytes() == drawing.encode()

    def test_type_is_told_of_on_its_own_plate_alone(self, tmp_path):
        def things(_pdf, resources):
            resources.Font.F = pikepdf.Dictionary(
                Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
            )

        drawing = "BT /F 6 Tf 5 20 Td /Coral cs 1 scn (small) Tj 0 -10 Td /Teal cs 0.5 scn (tint) Tj ET"
        with page_of(drawing, things) as pdf:
            pdf.save(tmp_path / "zine.pdf")
        told = {}
        for plate in ("Coral", "Teal", "black"):
            (source,) = pdfs.survey(tmp_path / "zine.pdf", "zine.pdf", plate=plate)
            drawn = pdfs.drawn(source, Transform(1, 0, 0, 1, 0, 0))
            assert drawn.whole
            assert drawn.smallest_reversed is None
            told[plate] = [round(words.tone, 3) for words in drawn.words]
        assert told == {"Coral": [1.0], "Teal": [0.5], "black": []}


def test_a_coloured_layer_is_told_that_its_plates_may_be_inks_if_it_has_any(tmp_path):
    found = {}
    for drawing in (f"/Coral cs 0.7 scn {SQUARE}", f"0 1 0 0 k {SQUARE}", f"1 0 0 rg {SQUARE}"):
        with page_of(drawing) as pdf:
            pdf.save(tmp_path / "zine.pdf")
        close_sources()
        (source,) = pdfs.survey(tmp_path / "zine.pdf", "zine.pdf")
        (finding,) = (finding for finding in source.findings if finding.rule == "coloured-layer")
        found[drawing] = finding.mend.endswith("if its plates stand for inks, name the plate of each ink in the job")
    assert list(found.values()) == [True, True, False]
