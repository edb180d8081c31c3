"""Jobs whose inks are plates of the same files, the whole way: masters, the table of pages, approval, what is told."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from imposer import build, prepare
from imposer.approval.digests import digests_of
from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from tests.artwork import not_gray
from tests.pages.plate_cells import page_of

TRIM = (60, 80)


def page(number, ppi=100):
    """Process colours on a page of 60 × 80 mm: a square of black, one of cyan, a ramp of magenta that overlaps both."""
    wide, high = (round(side * ppi / 25.4) for side in TRIM)
    art = np.zeros((high, wide, 4), np.uint8)
    art[60:120, 60:120, 3] = 255
    art[140 : 150 + 5 * number, 60:180, 0] = 160
    art[80:200, 100:170, 1] = np.linspace(60, 150, 70).astype(np.uint8)
    return art


def plates_job(folder, *inks, pages=8, kind="tif"):
    folder.mkdir()
    for number in range(1, pages + 1):
        picture = Image.fromarray(page(number), "CMYK")
        picture.save(folder / f"zine {number}.{kind}", dpi=(100, 100))
    named = "".join(f'[[ink]]\nname = "{name}"\npages = "*.{kind}"\nplate = "{plate}"\n' for name, plate in inks)
    (folder / "job.toml").write_text(
        f'title = "Plates"\ncopies = 20\n[page]\ntrim = [{TRIM[0]}, {TRIM[1]}]\n[sheet]\nsize = "A4"\n{named}',
        encoding="utf-8",
    )
    return folder


ALL = (("black", "black"), ("harbour", "cyan"), ("rose", "magenta"))


def spots_job(folder, pages=8):
    """A PDF in black and two spot colours, one of them over the other."""
    folder.mkdir()
    wide, high = (side * 72 / 25.4 for side in TRIM)
    with page_of("") as pdf:
        first = pdf.pages[0]
        first.MediaBox = [0, 0, wide, high]
        for number in range(1, pages + 1):
            drawing = (
                f"/Teal cs 0.5 scn 40 60 90 60 re f /Over gs /Coral cs 0.8 scn 60 80 30 {20 + 5 * number} re f "
                f"/Not gs 0 0 0 1 k 50 70 30 5 re f"
            )
            page = first if number == 1 else pdf.pages.append(first) or pdf.pages[-1]
            page.Contents = pdf.make_stream(drawing.encode())
        pdf.save(folder / "zine.pdf")
    inks = (("black", "black"), ("harbour", "teal"), ("rose", "coral"))
    named = "".join(f'[[ink]]\nname = "{ink}"\npages = "zine.pdf"\nplate = "{plate}"\n' for ink, plate in inks)
    (folder / "job.toml").write_text(
        f'title = "Spots"\ncopies = 20\n[page]\ntrim = [{TRIM[0]}, {TRIM[1]}]\n[sheet]\nsize = "A4"\n{named}',
        encoding="utf-8",
    )
    return folder


class TestPdfs:
    def test_each_spot_colour_becomes_a_gray_master_of_its_ink_and_folds_back(self, tmp_path):
        built = build(spots_job(tmp_path / "job"))
        assert built.folder is not None
        assert [f.rule for f in built.prepared.findings if f.rule in ("coloured-layer", "unprinted-plate")] == []
        for file in sorted((built.folder / "masters").glob("*.pdf")):
            assert not_gray(file) == []
        (part,) = built.prepared.parts
        page, points = TRIM[0] * TRIM[1], (25.4 / 72) ** 2
        # Coral overprints teal; black, drawn last, knocks both out where it lies on them.
        under, over, black = 90 * 60, 30 * 25, 30 * 5
        wanted = {
            "lamp black": black * points / page,
            "harbour": (under - black) * 0.5 * points / page,
            "rose": over * 0.8 * points / page,
        }
        inked = {ink: part.measured[1, ink].coverage for ink in wanted}
        assert inked == pytest.approx(wanted, rel=0.03)

    def test_a_plate_that_nobody_prints_is_told(self, tmp_path):
        folder = spots_job(tmp_path / "job")
        text = (folder / "job.toml").read_text(encoding="utf-8")
        (folder / "job.toml").write_text(text[: text.index('[[ink]]\nname = "rose"')], encoding="utf-8")
        (found,) = [f for f in prepare(folder).findings if f.rule == "unprinted-plate"]
        assert found.mend == 'give an ink plate = "Coral", or make sure that it is not wanted'
        assert "(pages 1–8)" in found.message

    def test_a_name_that_is_nearly_a_plate_is_asked_back(self, tmp_path):
        folder = spots_job(tmp_path / "job")
        text = (folder / "job.toml").read_text(encoding="utf-8")
        (folder / "job.toml").write_text(text.replace('"coral"', '"corall"'), encoding="utf-8")
        with pytest.raises(ImposerError, match=r'has a plate “corall”; did you mean "Coral"\?'):
            prepare(folder)


class TestImages:
    def test_each_plate_becomes_a_gray_master_of_its_ink(self, tmp_path):
        built = build(plates_job(tmp_path / "job", *ALL))
        assert built.folder is not None
        assert [f.rule for f in built.prepared.findings if f.rule in ("coloured-layer", "unprinted-plate")] == []
        (part,) = built.prepared.parts
        files = sorted((built.folder / "masters").glob("*.pdf"))
        assert files
        for file in files:
            assert not_gray(file) == []
        inked = {ink: part.measured[1, ink].coverage for ink in ("lamp black", "harbour", "rose")}
        wanted = dict(zip(inked, (page(1)[..., plate].mean() / 255 for plate in (3, 0, 1)), strict=True))
        assert inked == pytest.approx(wanted, abs=0.002)

    def test_the_table_of_pages_names_the_plate(self, tmp_path, capsys):
        command_line.main(["plan", str(plates_job(tmp_path / "job", *ALL)), "--pages", "-q"], standalone_mode=False)
        said = capsys.readouterr().out
        assert "zine 3.tif, plate cyan" in said
        assert "zine 8.tif, plate magenta" in said

    def test_a_plate_that_nobody_prints_is_told(self, tmp_path):
        (found,) = [f for f in prepare(plates_job(tmp_path / "job", *ALL[:2])).findings if f.rule == "unprinted-plate"]
        assert found.level == "warning"
        assert found.mend == 'give an ink plate = "magenta", or make sure that it is not wanted'

    def test_the_proof_code_holds_the_plate(self, tmp_path):
        folder = plates_job(tmp_path / "job", ("black", "black"))
        before = digests_of(prepare(folder))
        text = (folder / "job.toml").read_text(encoding="utf-8")
        (folder / "job.toml").write_text(text.replace('plate = "black"', 'plate = "cyan"'), encoding="utf-8")
        after = digests_of(prepare(folder))
        assert before.settings["ink lamp black: plate"] == "black"
        assert after.settings["ink lamp black: plate"] == "cyan"
        assert before.cells["1/lamp black"] != after.cells["1/lamp black"]
        assert before.code != after.code
