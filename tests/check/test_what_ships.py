"""A clean job gives no warning: the demo's art, and the templates that jobs start from."""

from __future__ import annotations

from pathlib import Path

import pytest

from imposer.main_job import prepare

ROOT = Path(__file__).parents[2]
CLEAN = ["demo_zine", *(f"templates/{folder.name}" for folder in sorted((ROOT / "templates").glob("*/")))]


@pytest.mark.parametrize("folder", CLEAN)
def test_nothing_but_notes(folder):
    told = [finding for finding in prepare(ROOT / folder).findings if finding.level != "note"]
    assert [(one.rule, one.where(), one.message) for one in told] == []
