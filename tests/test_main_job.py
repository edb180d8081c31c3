"""The main job end to end: what a build leaves behind, read by other libraries than those that wrote it."""

from __future__ import annotations

import json

import numpy as np
import pypdf
import pytest

from imposer import build, load_job, plan_passes, prepare
from imposer.errors import ImposerError
from tests.folders import TRIM, job_folder, page_tones, write_png
from tests.sheets import MM, outside, panels, render, upright


def test_the_library_offers_what_the_command_line_does(tmp_path):
    folder = job_folder(tmp_path / "job")
    assert load_job(folder).title == "Small <b>job</b> & co"
    assert callable(plan_passes)
    assert prepare(folder).parts[0].plan.counts.passes == 2
    assert not (folder / "out").exists()


@pytest.mark.parametrize("dark", [0, 1])
def test_a_job_of_white_pages_is_refused_and_one_dot_is_enough(tmp_path, dark):
    folder = job_folder(tmp_path / "job", second=False, ppi=72)
    for page in range(1, 9):
        tones = np.full((round(TRIM[1] * 72 / 25.4), round(TRIM[0] * 72 / 25.4)), 255, np.uint8)
        tones[100:110, 80 : 80 + (10 * dark if page == 3 else 0)] = 0
        write_png(folder / "black" / f"{page}.png", tones, 72)
    built = build(folder)
    found = [f for f in built.prepared.findings if f.rule == "nothing-prints"]
    assert [(f.level, f.measured) for f in found] == ([] if dark else [("error", "0 passes")])
    assert (folder / "out").exists() == bool(dark)


def test_a_build_leaves_masters_plan_and_guide(tmp_path):
    folder = job_folder(tmp_path / "job")
    built = build(folder)
    assert built.folder == folder / "out"
    files = sorted(str(p.relative_to(built.folder)) for p in built.folder.rglob("*") if p.is_file())
    assert files == [
        "fold.html",
        "for-the-artist.html",
        "guide.pdf",
        "masters/pass-1-front-drum-1-lamp-black.pdf",
        "masters/pass-1-front-drum-2-marigold.pdf",
        "masters/pass-2-back-drum-1-lamp-black.pdf",
        "masters/pass-2-back-drum-2-marigold.pdf",
        "plan.json",
        "proof.html",
        "proof.pdf",
        "report.html",
    ]
    plan = json.loads((built.folder / "plan.json").read_text(encoding="utf-8"))
    assert (plan["format"], plan["version"], plan["pages"], plan["blanks"]) == ("imposer-plan", 1, 8, [])
    assert plan["sheet"]["lead"] == "left"
    assert plan["passes"][0]["drums"] == {"1": "lamp black", "2": "marigold"}
    for run in plan["passes"]:
        for master in run["masters"]:
            reader = pypdf.PdfReader(built.folder / master["file"])
            assert len(reader.pages) == len(master["sheets"])
            assert [round(float(v) / 72 * 25.4, 3) for v in reader.pages[0].mediabox[2:]] == [297.0, 210.0]


@pytest.mark.parametrize("turn", ["turn", "tumble"])
@pytest.mark.parametrize(("sheet", "reading"), [("A4", "left-to-right"), ("A3", "right-to-left")])
def test_images_come_back_bit_for_bit_and_vectors_within_their_neighbours(turn, sheet, reading, tmp_path):
    """Rendered by pdfium, which wrote none of it; each panel cut out where plan.json says, and turned back."""
    folder = job_folder(
        tmp_path / "job", pages=12, sheet=f'size = "{sheet}"\nturn = "{turn}"', binding=f'reading = "{reading}"'
    )
    out = build(folder).folder
    shape = page_tones(1).shape
    found = 0
    for (page, ink), placed in panels(out, 300, shape):
        if ink == "lamp black":
            # All but the outermost pixels, through which the trim cuts: the image is up to half a pixel larger.
            assert np.array_equal((255 - page_tones(page))[1:-1, 1:-1], placed[1:-1, 1:-1]), f"page {page}"
        elif page % 3:
            source = render(folder / "marigold.pdf", page - 1, 300, TRIM)
            assert outside(source, placed) < 1e-3
            other = render(folder / "marigold.pdf", page % 12, 300, TRIM)
            assert not other.any() or outside(other, placed) > 5e-3
        else:
            assert not placed[4:-4, 4:-4].any()
        found += 1
    assert found >= 12


def test_creep_moves_art_toward_the_spine_by_as_much_as_the_plan_says(tmp_path):
    """Flat model, 90 g/m² cream of 0.11 mm: the innermost of four leaves moves 0.33 mm (3 × caliper)."""
    folder = job_folder(tmp_path / "job", pages=16, second=False, sheet='size = "A3"\npaper = "cream 90"\npieces = 1')
    plan = json.loads((build(folder).folder / "plan.json").read_text(encoding="utf-8"))
    assert plan["creep"] == pytest.approx(0.33)
    widths = {}
    for sheet in plan["sheets"]:
        boxes = {p["page"]: p["trim"] for p in sheet["front"]}
        (a, b) = sorted(boxes.values())
        along = 0 if abs(a[0] - b[0]) > 1 else 1
        widths[sheet["number"]] = a[along + 2] - b[along]
    assert [round(widths[n], 3) for n in (1, 2, 3, 4)] == [0.0, 0.22, 0.44, 0.66]


def test_the_same_input_gives_the_same_bytes(tmp_path):
    one, two = (build(job_folder(tmp_path / name)).folder for name in ("one", "two"))
    for file in sorted(p.relative_to(one) for p in one.rglob("*") if p.is_file()):
        assert (one / file).read_bytes() == (two / file).read_bytes(), file


def test_a_second_build_replaces_the_first_as_a_whole(tmp_path):
    folder = job_folder(tmp_path / "job")
    out = build(folder).folder
    (out / "masters" / "left over.pdf").write_bytes(b"old")
    (folder / "marigold.pdf").unlink()
    job = (folder / "job.toml").read_text(encoding="utf-8").partition('[[ink]]\nname = "marigold"')[0]
    (folder / "job.toml").write_text(job, encoding="utf-8")
    build(folder)
    assert sorted(p.name for p in (out / "masters").iterdir()) == [
        "pass-1-front-drum-1-lamp-black.pdf",
        "pass-2-back-drum-1-lamp-black.pdf",
    ]
    assert sorted(p.name for p in folder.iterdir()) == ["black", "job.toml", "out"]


def test_a_failed_build_leaves_the_old_output_alone(tmp_path):
    folder = job_folder(tmp_path / "job")
    out = build(folder).folder
    before = (out / "plan.json").read_bytes()
    write_png(folder / "black" / "3.png", page_tones(3, trim=(50, 80)))
    with pytest.raises(ImposerError, match=r"black/3\.png"):
        build(folder)
    assert (out / "plan.json").read_bytes() == before
    assert sorted(p.name for p in folder.iterdir()) == ["black", "job.toml", "marigold.pdf", "out"]


def test_marks_lie_outside_the_pages_in_the_rendered_sheet(tmp_path):
    """A job of white pages with one dot: what is printed beyond the dot is marks, and none lies on a page."""
    folder = job_folder(tmp_path / "job", pages=4, second=False, sheet='size = "A4"\npieces = 2')
    blank = np.full_like(page_tones(1), 255)
    for page in range(1, 5):
        dotted = blank.copy()
        dotted[100:104, 100:104] = 0
        write_png(folder / "black" / f"{page}.png", dotted)
    out = build(folder).folder
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    tones = render(out / plan["passes"][0]["masters"][0]["file"], 0, 300, (297, 210))
    for panel in plan["sheets"][0]["front"]:
        assert (upright(tones, panel, 300, 210) > 0).sum() <= 36
    x0, y0, x1, y1 = plan["sheet"]["safe"]
    rows, columns = np.nonzero(tones)
    assert columns.min() >= x0 / MM * 300 - 1
    assert columns.max() <= x1 / MM * 300 + 1
    assert rows.min() >= (210 - y1) / MM * 300 - 1
    assert rows.max() <= (210 - y0) / MM * 300 + 1
