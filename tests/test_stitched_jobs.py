"""Sewn, stapled and stab-bound jobs the whole way: masters folded back, the plan's holes, the check's words."""

from __future__ import annotations

import json

import pytest

from imposer import build
from tests.folders import job_folder

#: [binding] of each job, and what its plan says of the stitch on pages of 60 × 80 mm.
JOBS = {
    "sewn": (
        'style = "gathered"\nstitch = "sewn"\npieces_per_signature = 2',
        {"kind": "sewn", "from_head": [10.0, 30.0, 50.0, 70.0], "from_spine": 0.0, "margin": 0.0,
         "pieces_in_signatures": [2, 1, 2]},
    ),
    "side": (
        'style = "gathered"\nstitch = "side"',
        {"kind": "side", "from_head": [20.0, 60.0], "from_spine": 6.0, "margin": 12.0,
         "pieces_in_signatures": [1] * 5},
    ),
    "stab": (
        'style = "gathered"\nstitch = "stab"\nholes = 5\nreading = "right-to-left"',
        {"kind": "stab", "from_head": [7.5, 23.75, 40.0, 56.25, 72.5], "from_spine": 7.5, "margin": 15.0,
         "pieces_in_signatures": [1] * 5},
    ),
    "16-page signatures sewn": (
        'style = "gathered"\nstitch = "sewn"\nfold = "F16-6"',
        {"kind": "sewn", "from_head": [10.0, 30.0, 50.0, 70.0], "from_spine": 0.0, "margin": 0.0,
         "pieces_in_signatures": [1, 1]},
    ),
    "saddle": (
        'style = "saddle"',
        {"kind": "saddle", "from_head": [20.0, 60.0], "from_spine": 0.0, "margin": 0.0, "pieces_in_signatures": [5]},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", JOBS)
def test_job_is_built_and_its_plan_says_where_it_is_held(tmp_path, name):
    """A built job was folded back and reads through: marks on the folds do not pass for art."""
    binding, said = JOBS[name]
    built = build(job_folder(tmp_path / "job", pages=20, second=False, binding=binding, sheet='size = "A3"'))
    assert built.folder is not None, [finding.message for finding in built.prepared.errors]
    plan = json.loads((built.folder / "plan.json").read_text(encoding="utf-8"))
    assert plan["stitching"] == said


def test_art_in_the_margin_is_told_page_by_page(tmp_path):
    """The pages' bars begin 5 mm from their left edge: the spine of the odd pages, the fore edge of others."""
    binding = 'style = "gathered"\nstitch = "side"'
    built = build(job_folder(tmp_path / "job", pages=8, second=False, binding=binding))
    found = [finding for finding in built.prepared.findings if finding.rule == "binding-margin"]
    assert {finding.page for finding in found} >= {1, 3, 5, 7}
    assert {finding.level for finding in found} == {"warning"}
    assert built.folder is not None
