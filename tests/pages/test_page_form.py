"""Every trap that foreign PDFs set for whoever places their pages, compared by pixels with what a viewer shows."""

from __future__ import annotations

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.pages import pdfs
from tests.oracle import SHARE, matches
from tests.pages.traps import TRAPS, new, written
from tests.pages.viewer import as_viewed, placed


@pytest.mark.parametrize("turn", [0, 90])
@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_is_placed_as_a_viewer_shows_it(name, turn, tmp_path):
    file = tmp_path / f"{name}.pdf"
    viewed = TRAPS[name](file)
    source = pdfs.survey(file, file.name)[viewed.index]
    due = as_viewed(file, viewed.index, viewed.unit)
    assert due.any() or name == "contents_missing", "the trap shows nothing, so it proves nothing"
    assert matches(due, placed(source, turn)) < SHARE


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_has_the_tones_a_viewer_shows(name, tmp_path):
    file = tmp_path / f"{name}.pdf"
    viewed = TRAPS[name](file)
    source = pdfs.survey(file, file.name)[viewed.index]
    due = as_viewed(file, viewed.index, viewed.unit, ppi=300)
    assert matches(due, pdfs.tones(source, source.size, 300)) < SHARE
