import numpy as np
import pytest

from imposer.geometry import Box
from imposer.tones.content import describe_content
from tests.tones.drawings import blank, compressed, fill, photo, plane, stroke, typed


@pytest.mark.parametrize(
    "tones",
    [typed(1200, 1200, size=50), typed(1200, 1200, size=50, grey=False), stroke(7, 30), 255 - typed(900, 900, size=40)],
    ids=["type", "bilevel type", "stroke", "reversed type"],
)
def test_type_and_drawings_are_line_art(tones):
    content = describe_content(plane(tones, 600))
    assert content.kind == "line"
    assert content.picture < 0.005


@pytest.mark.parametrize("quality", [None, 85, 40])
def test_a_photograph_is_tone(quality):
    tones = photo(900, 900) if quality is None else compressed(photo(900, 900), quality)
    assert describe_content(plane(tones, 300)).kind == "tone"


def test_a_photograph_beside_type_is_mixed():
    tones = typed(1200, 1200, size=60).copy()
    tones[800:, :] = 0
    tones[850:1050, 100:700] = photo(600, 200)
    assert describe_content(plane(tones, 300)).kind == "mixed"


def test_an_even_tint_is_no_picture():
    tones = blank(60, 60, 600)
    drawn = fill(tones, 600, Box(10, 10, 50, 50), 0.4)
    content = describe_content(plane(tones, 600))
    assert content.kind == "line"
    assert content.tint > 0.95
    assert content.inked == pytest.approx(drawn.width * drawn.height / 3600, rel=0.02)


def test_a_ramp_of_tones_is_a_picture():
    ramp = np.tile(np.linspace(20, 235, 900).astype(np.uint8), (900, 1))
    assert describe_content(plane(ramp, 600)).kind == "tone"


def test_shares_are_those_drawn():
    tones = blank(100, 50, 600)
    fill(tones, 600, Box(0, 0, 50, 50))
    fill(tones, 600, Box(50, 0, 75, 50), 0.5)
    content = describe_content(plane(tones, 600))
    assert content.inked == pytest.approx(0.75, abs=0.01)
    assert content.solid == pytest.approx(2 / 3, abs=0.01)
    assert content.tint == pytest.approx(1 / 3, abs=0.01)
    assert content.solid + content.tint + content.picture + content.edge == pytest.approx(1)


def test_bare_paper_is_blank():
    assert describe_content(plane(blank(30, 30))).kind == "blank"
