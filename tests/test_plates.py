"""Jobs whose inks are plates of the same files, the whole way: masters, the table of pages, approval, what is told."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from imposer import build, prepare
from imposer.approval.digests import digests_of
from imposer.cli import imposer as command_line
from tests.artwork import not_gray

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
        assert before.settings["inks"].endswith("plate black")
        assert after.settings["inks"].endswith("plate cyan")
        assert before.cells["1/lamp black"] != after.cells["1/lamp black"]
        assert before.code != after.code
