"""A cover apart around gathered leaves: its spine is leaves × caliper, scored, and art stands beside it."""

from __future__ import annotations

import json
import re

import pypdf
import pytest

from imposer import build, prepare
from tests.folders import write_vector_pdf

_JOB = """\
title = "Wrapped"
copies = 30
[page]
trim = [60, 80]
[binding]
style = "{style}"
{more}
[sheet]
size = "A4"
[[ink]]
name = "k"
pages = "black.pdf"
[[part]]
name = "cover"
pages = "outer 4"
{cover}[[part]]
name = "body"
pages = "rest"
"""


#: The cover is as wide over the spine as the block is thick.
_SPINE = '[part.binding]\nspine = "auto"\n'


def folder_of(folder, style="gathered", more="", pages=40):
    folder.mkdir()
    write_vector_pdf(folder / "black.pdf", list(range(1, pages + 1)))
    (folder / "job.toml").write_text(
        _JOB.format(style=style, more=more, cover="" if style == "saddle" else _SPINE), encoding="utf-8"
    )
    return folder


def cover_panels(prepared):
    cover = prepared.parts[0]
    return cover, {p.page: p.trim for p in cover.imposition.sheets[0].front.panels if p.copy == 1}


def test_spine_is_leaves_times_caliper(tmp_path):
    """Thickness of a block pressed flat: its leaves, two pages each, times the caliper (stacking, geometry)."""
    prepared = prepare(folder_of(tmp_path / "job"))
    cover, panels = cover_panels(prepared)
    body = prepared.parts[1]
    spine = 36 / 2 * body.job.sheet.paper.caliper
    assert cover.job.binding.spine == pytest.approx(spine)
    back, front = panels[40], panels[1]
    assert max(front.x0, back.x0) - min(front.x1, back.x1) == pytest.approx(spine)
    # Scored at both edges of the spine, where the pages end.
    scores = {fold.x0 for fold in cover.imposition.sheets[0].front.folds if fold.x0 == fold.x1}
    for edge in (min(front.x1, back.x1), max(front.x0, back.x0)):
        assert any(edge == pytest.approx(score) for score in scores)


def test_a_saddle_stitched_cover_has_none(tmp_path):
    cover, panels = cover_panels(prepare(folder_of(tmp_path / "job", style="saddle")))
    assert cover.job.binding.spine == 0
    assert max(panels[1].x0, panels[40].x0) == pytest.approx(min(panels[1].x1, panels[40].x1))


def test_a_wrapped_cover_does_not_push_the_leaves_out(tmp_path):
    """Gathered leaves lie on one another; what goes round the block moves none of them."""
    body = prepare(folder_of(tmp_path / "job")).parts[1]
    creeps = {p.creep for sheet in body.imposition.sheets for p in (*sheet.front.panels, *sheet.back.panels)}
    assert max(creeps) <= body.job.sheet.paper.caliper + 1e-9


@pytest.mark.parametrize("stitch", ["side", "stab", "sewn"])
def test_built_and_folded_back_with_its_spine_in_plan_and_guide(tmp_path, stitch):
    out = build(folder_of(tmp_path / "job", more=f'stitch = "{stitch}"')).folder
    assert out is not None
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    cover, body = plan["parts"]
    assert cover["spine"] > 1
    assert "spine" not in body
    guide = re.sub(r"\s+", " ", " ".join(p.extract_text() for p in pypdf.PdfReader(out / "guide.pdf").pages))
    assert f"Score twice, {cover['spine']:g} mm apart" in guide
    assert f"Wrap the cover (pages 1, 2, 39, 40) round the block of {cover['spine']:g} mm." in guide
