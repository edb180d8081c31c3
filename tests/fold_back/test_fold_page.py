"""`fold.html` and `imposer fold`: what they show, and that nothing of a file becomes markup or a request."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pikepdf
import pytest
from click.testing import CliRunner

from imposer.cli import imposer
from tests.fold_back.masters import FRONT_BLACK, built, copied


@pytest.fixture(scope="module")
def original(tmp_path_factory):
    return built(tmp_path_factory.mktemp("job"), pages=8, ppi=72)


def run(*args):
    return CliRunner().invoke(imposer, ["fold", *map(str, args)], standalone_mode=False)


class Elements(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.found, self.words = [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.words.append(data)


def test_the_page_shows_every_side_and_every_page(original):
    page = Elements((original / "fold.html").read_text(encoding="utf-8"))
    assert "Small <b>job</b> & co, folded back" in page.words
    assert "It reads 1 … 8, every page head up." in page.words
    assert sum(tag == "img" for tag, _ in page.found) == 8
    assert sum(tag == "image" for tag, _ in page.found) == 2
    badges = [attrs for tag, attrs in page.found if attrs.get("class") == "badge"]
    # Two copies of two pieces lie on the sheet, each with one crease that is seen on both sides.
    assert len(badges) == 8
    labels = {attrs.get("aria-label", "") for tag, attrs in page.found if tag == "svg"}
    assert {"the front as printed", "the back as printed"} <= labels


def test_the_page_asks_for_nothing_and_runs_nothing(original):
    text = (original / "fold.html").read_text(encoding="utf-8")
    page = Elements(text)
    assert not {tag for tag, _ in page.found} & {"script", "link", "iframe", "object", "base"}
    for _, attrs in page.found:
        for name, value in attrs.items():
            assert not name.startswith("on")
            if name in ("src", "href"):
                assert value.startswith("data:image/jpeg;base64,")
    assert not re.search(r"url\(|@import|http://|https://", text)


def test_the_command_prints_the_booklet_and_leaves_with_0(original, tmp_path):
    out = copied(original, tmp_path)
    (out / "fold.html").unlink()
    told = run(out)
    assert told.return_value == 0
    lines = told.output.splitlines()
    assert lines[0] == "Small <b>job</b> & co: 8 pages"
    pages = [line.split()[1] for line in lines if re.match(r"  \d", line)]
    assert pages == [str(page) for page in range(1, 9)]
    assert "It reads 1 … 8, every page head up." in lines
    assert (out / "fold.html").read_bytes() == (original / "fold.html").read_bytes()


def test_the_folder_of_masters_alone_is_enough(original, tmp_path):
    out = copied(original, tmp_path)
    for file in out.iterdir():
        if file.is_file():
            file.unlink()
    assert run(out / "masters").return_value == 0
    assert (out / "fold.html").is_file()


def test_wrong_masters_are_named_and_the_command_leaves_with_1(original, tmp_path):
    out = copied(original, tmp_path)
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        page = pdf.pages[0]
        page.Contents.write(page.Contents.read_bytes().replace(b"/P8 Do\n", b""))
        pdf.save(out / FRONT_BLACK)
    told = run(out)
    assert told.return_value == 1
    assert f"{FRONT_BLACK}: sheet 1 front, lamp black: page 8 is missing: its place is bare" in told.stderr
    page = Elements((out / "fold.html").read_text(encoding="utf-8"))
    assert "It does not read as it should. Do not print from these masters." in page.words


def test_the_artwork_of_a_job_tells_more(original, tmp_path):
    """A number of a few millimetres on one page: too small for a sketch to tell, not for pixels."""
    job = original.parent
    assert run(original, "--job", job).return_value == 0
    out = copied(original, tmp_path)
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        panel = re.search(rb"([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re W n", pdf.pages[0].Contents.read_bytes())
        x, y, wide, high = map(float, panel.groups())
        pdf.pages[0].contents_add(f"q 0 g {x + wide / 2:.2f} {y + high / 2:.2f} 2.5 2.5 re f Q".encode())
        pdf.save(out / FRONT_BLACK)
    told = run(out, "--job", job)
    assert told.return_value == 1
    assert re.search(r"page \d differs from its artwork [\d.]+ mm from the left and [\d.]+ mm up", told.stderr)


@pytest.mark.parametrize(
    ("what", "why"), [("nowhere", "is not a folder"), (".", "holds no masters (no PDF file)")], ids=["nowhere", "empty"]
)
def test_a_folder_without_masters(what, why, tmp_path):
    told = run(tmp_path / what)
    assert told.exception.exit_code == 2
    assert why in str(told.exception)


def test_a_slit_is_shown_and_its_folds_are_told(tmp_path):
    out = built(tmp_path / "job", pages=8, ppi=72, binding='style = "mini"')
    page = Elements((out / "fold.html").read_text(encoding="utf-8"))
    slits = [attrs for tag, attrs in page.found if attrs.get("class") == "slit"]
    assert slits
    # Half the length of the piece, level or upright as the piece lies.
    assert all((a["x1"] == a["x2"]) != (a["y1"] == a["y2"]) for a in slits)
    assert any("slit along the thick line" in words for words in page.words)
    assert "It reads 1 … 8, every page head up." in page.words
