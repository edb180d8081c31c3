"""Every form end to end: built, its masters cut out where the plan says, folded back by the build itself."""

from __future__ import annotations

import json

import numpy as np
import pytest

from imposer import build, prepare
from imposer.errors import ImposerError
from imposer.fold_back.folded import fold_back
from imposer.job import load_job
from imposer.job.page_sizes import own_sizes
from tests.folders import page_tones, write_png
from tests.sheets import panels

#: Ten dots a millimetre, so that panels of tenths of a millimetre are whole dots.
PPI = 254

FORMS = {
    "mini": (8, (50, 70), "", ""),
    "mini with a poster": (9, (50, 70), "poster = true", ""),
    "mini from right to left": (8, (70, 50), 'reading = "right-to-left"', 'turn = "tumble"'),
    "accordion": (10, (50, 60), "", ""),
    "accordion on one side": (4, (60, 60), "sides = 1", ""),
    "accordion joined": (10, (80, 60), "glue_flap = 12", ""),
    "roll": (8, (60, 70), "tuck = 2", ""),
    "letter": (6, (80, 60), "tuck = 2", 'turn = "tumble"'),
    "letter with a poster": (4, (80, 60), "tuck = 2\nposter = true", ""),
    "letter from right to left": (6, (80, 60), 'tuck = 2\nreading = "right-to-left"', ""),
    "gate": (6, (120, 60), "tuck = 6", ""),
    "double-gate": (8, (60, 60), "tuck = 4", ""),
    "double-parallel": (8, (60, 60), "tuck = 1", ""),
    "french with a poster": (5, (60, 80), "poster = true", ""),
    "flat": (6, (60, 50), "", ""),
    "flat on one side, repeated": (3, (60, 50), "sides = 1", 'layout = "repeat"'),
}


def form_job(folder, style, pages, trim, binding, sheet, *, size="A4", full=()):
    """A job of one ink with art of each page's own size; pages of `full` are drawn as wide as a full panel."""
    (folder / "black").mkdir(parents=True)
    (folder / "job.toml").write_text(
        f'title = "Form"\ncopies = 25\n[page]\ntrim = [{trim[0]}, {trim[1]}]\n[binding]\nstyle = "{style}"\n{binding}\n'
        f'[sheet]\nsize = "{size}"\n{sheet}\n[[ink]]\nname = "k"\npages = "black/*.png"\n',
        encoding="utf-8",
    )
    job = load_job(folder)
    own = own_sizes(job, pages)
    tones = {}
    for page in range(1, pages + 1):
        spec = own[page].spec if page in own and page not in full else job.page
        tones[page] = page_tones(page, ppi=PPI, trim=(spec.trim.width, spec.trim.height))
        write_png(folder / "black" / f"{page}.png", tones[page], PPI)
    return tones


@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_built_and_reads_one_to_n(name, tmp_path):
    """The build folds its masters back before it delivers them; rendered by pdfium, pages lie where the plan says."""
    pages, trim, binding, sheet = FORMS[name]
    style = name.split()[0].rstrip(",")
    drawn = form_job(tmp_path / "job", style, pages, trim, binding, sheet)
    built = build(tmp_path / "job")
    assert built.folder, [finding.message for finding in built.prepared.errors]
    found = set()
    for (page, _), placed in panels(built.folder, PPI):
        source = 255 - drawn[page]
        assert placed.shape == source.shape, f"page {page}"
        # Half the weight of a slit's mark lies on each page's edge.
        assert np.array_equal(source[3:-3, 3:-3], placed[3:-3, 3:-3]), f"page {page}"
        found.add(page)
    assert found == set(drawn)
    folded = fold_back(built.folder)
    assert folded.faults == ()
    assert [place.face.page for place in folded.parts[0].copies[0]] == list(range(1, pages + 1))
    assert (built.folder / "guide.pdf").read_bytes().startswith(b"%PDF")


def test_the_plan_carries_what_was_decided(tmp_path):
    form_job(tmp_path / "job", "accordion", 10, (80, 60), "glue_flap = 12", "")
    plan = json.loads((build(tmp_path / "job").folder / "plan.json").read_text(encoding="utf-8"))
    form = plan["form"]
    assert (form["style"], form["panels"], form["sides"], form["joined_from"]) == ("accordion", 5, 2, 2)
    assert form["creases"] == ["V1/5U", "V1/5D", "V1/5U", "V1/5D"]
    sizes = {tuple(sorted((round(x1 - x0), round(y1 - y0)))) for x0, y0, x1, y1 in form["flaps"]}
    assert sizes == {(12, 60)}


def test_art_of_the_full_panel_is_cut_at_the_side_that_is_told(tmp_path):
    """A letter fold, 3 mm tucked: page 3 is the flap seen from outside, its free edge at the left."""
    drawn = form_job(tmp_path / "job", "letter", 6, (80, 60), "tuck = 3", "", full=(3, 4))
    built = build(tmp_path / "job")
    told = [finding for finding in built.prepared.findings if finding.rule == "panel-cut"]
    assert [(finding.page, finding.level) for finding in told] == [(3, "warning"), (4, "warning")]
    assert told[0].message == (
        "black/3.png is as wide as a full panel, 80 mm, but its panel is tucked in and 77 mm wide: "
        "3 mm at its left are cut off"
    )
    assert "3 mm at its right are cut off" in told[1].message
    cut = round(3 * PPI / 25.4)
    for (page, _), placed in panels(built.folder, PPI):
        source = 255 - drawn[page]
        kept = {3: source[:, cut:], 4: source[:, :-cut]}.get(page, source)
        assert np.array_equal(kept[1:-1, 1:-1], placed[1:-1, 1:-1]), f"page {page}"


def test_art_that_is_neither_as_wide_as_its_panel_nor_as_a_full_one_is_refused(tmp_path):
    form_job(tmp_path / "job", "letter", 6, (80, 60), "tuck = 4", "")
    write_png(tmp_path / "job" / "black" / "3.png", page_tones(3, ppi=PPI, trim=(78, 60)), PPI)
    with pytest.raises(ImposerError) as caught:
        prepare(tmp_path / "job")
    (line,) = str(caught.value).splitlines()
    assert "is 78 × 60 mm, but a page is 80 × 60 mm, and this one, tucked in, 76 × 60 mm" in line


@pytest.mark.parametrize(
    ("style", "pages", "binding", "says"),
    [
        ("mini", 10, "", "binding.style: a mini zine has 8 pages, one on each of its 8 panels, on the front alone"),
        ("mini", 8, "poster = true", "binding.style: with poster = true page 9 is the poster"),
        ("letter", 8, "", "binding.style: a letter fold has 6 pages, two on each of its 3 panels; there are 8"),
        ("accordion", 9, "panels = 4", "binding.style: an accordion of 4 panels has 8 pages"),
    ],
)
def test_pages_without_room_are_one_plain_line(style, pages, binding, says, tmp_path):
    folder = tmp_path / "job"
    form_job(folder, style, 1 if "poster" not in binding else 9, (50, 60), binding, "")
    for file in (folder / "black").iterdir():
        file.unlink()
    for page in range(1, pages + 1):
        write_png(folder / "black" / f"{page}.png", page_tones(page, ppi=PPI, trim=(50, 60)), PPI)
    with pytest.raises(ImposerError) as caught:
        prepare(folder)
    lines = [line for line in str(caught.value).splitlines() if "binding.style" in line]
    assert len(lines) == 1
    assert says in lines[0]


def test_fewer_pages_are_blank_at_the_end(tmp_path):
    form_job(tmp_path / "job", "mini", 6, (50, 70), "", "")
    built = build(tmp_path / "job")
    assert built.prepared.parts[0].imposition.booklet.blanks == (7, 8)
    assert built.folder


def test_a_leaflet_goes_into_a_booklet_as_an_extra(tmp_path):
    """A stapled zine with a poster fold laid in: each part reads by itself, and the whole is delivered."""
    folder = tmp_path / "job"
    form_job(folder, "saddle", 8, (60, 80), "", "")
    for page in range(1, 5):
        tuck = 2 if page == 2 else 0
        trim = (60 - tuck, 50) if page < 4 else (178, 50)
        write_png(folder / "leaf" / f"{page}.png", page_tones(page + 20, ppi=PPI, trim=trim), PPI)
    with (folder / "job.toml").open("a", encoding="utf-8") as job:
        job.write(
            '[[part]]\nname = "body"\npages = "rest"\n'
            '[[part]]\nname = "leaflet"\npages = "extra"\n[part.page]\ntrim = [60, 50]\n'
            '[part.binding]\nstyle = "letter"\ntuck = 2\nposter = true\n'
            '[[part.ink]]\nname = "k"\npages = "leaf/*.png"\n'
        )
    built = build(folder)
    assert built.folder, [finding.message for finding in built.prepared.errors]
    assert fold_back(built.folder).faults == ()
    leaflet = built.prepared.parts[1].imposition.booklet
    assert leaflet.pieces[0].poster == 12
    plan = json.loads((built.folder / "plan.json").read_text(encoding="utf-8"))
    assert plan["parts"][1]["form"]["style"] == "letter"
