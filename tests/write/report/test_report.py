"""The report and the artist's page: what was found, where, with the spot marked; words from files stay text."""

from __future__ import annotations

import base64
import io
import re
import shutil
import subprocess
from dataclasses import replace
from html import unescape

import numpy as np
import pypdf
import pytest
from PIL import Image

from imposer.check import rules
from imposer.cli import imposer as command_line
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.main_job import prepare
from imposer.write.page_colours import preview_in_colour, trim_of
from imposer.write.report import write_report
from imposer.write.report.close_ups import close_ups
from imposer.write.report.pictures import spot_of_page
from imposer.write.report.plain_words import MEANS
from imposer.write.report.spots import picture_of
from tests.folders import TRIM, job_folder, write_png

PPI = 150


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """A job with a solid over the limit on page 2 and a title that is not mark-up."""
    folder = job_folder(tmp_path_factory.mktemp("report") / "job", pages=4, ppi=PPI)
    tones = np.full((round(TRIM[1] * PPI / 25.4), round(TRIM[0] * PPI / 25.4)), 255, np.uint8)
    tones[120:380, 60:300] = 0
    write_png(folder / "black" / "2.png", tones, PPI)
    return prepare(folder)


@pytest.fixture(scope="module")
def folder(prepared, tmp_path_factory):
    out = tmp_path_factory.mktemp("pages")
    write_report(out, prepared)
    return out


def _text(folder, name="report.html"):
    return (folder / name).read_text(encoding="utf-8")


def test_every_finding_and_every_rule_is_told(prepared, folder):
    text = _text(folder)
    assert prepared.findings
    for finding in prepared.findings:
        assert finding.message in unescape(text)
    rows = re.findall(r"<th scope='row'>([^<]+)</th>", text)
    assert rows == [rule.name for rule in rules()]


def test_words_from_files_are_text(folder):
    for name in ("report.html", "for-the-artist.html"):
        assert "Small &lt;b&gt;job&lt;/b&gt; &amp; co" in _text(folder, name)
        assert "<b>job</b>" not in _text(folder, name)


def test_nothing_is_asked_from_outside_and_no_script_runs(folder):
    for name in ("report.html", "for-the-artist.html"):
        text = _text(folder, name)
        assert "default-src 'none'" in text
        assert "<script" not in text
        assert not re.search(r"(?:src|href)=[\"'](?!data:|#)", text)
        assert "url(" not in text


def _pixels(picture):
    with Image.open(io.BytesIO(base64.b64decode(picture.uri.partition(",")[2]))) as image:
        return np.asarray(image.convert("L"))


def test_the_spot_of_a_finding_is_marked_where_the_art_is(prepared):
    """A solid drawn at 120 … 380 px from the top, 60 … 300 from the left, at 150 ppi."""
    per_mm = PPI / 25.4
    box = Box(60 / per_mm, TRIM[1] - 380 / per_mm, 300 / per_mm, TRIM[1] - 120 / per_mm)
    picture = spot_of_page(prepared.parts[0], 2, "lamp black", box)
    with Image.open(io.BytesIO(base64.b64decode(picture.uri.partition(",")[2]))) as image:
        pixels = np.asarray(image.convert("L"))
    left, top, width, height = picture.spot
    rows = slice(round(top * pixels.shape[0]) + 2, round((top + height) * pixels.shape[0]) - 2)
    columns = slice(round(left * pixels.shape[1]) + 2, round((left + width) * pixels.shape[1]) - 2)
    assert pixels[rows, columns].max() < 60
    inside = np.zeros(pixels.shape, bool)
    inside[rows.start - 4 : rows.stop + 4, columns.start - 4 : columns.stop + 4] = True
    assert pixels[~inside].min() > 200


def test_a_spot_on_a_press_sheet_is_shown_on_the_page_that_lies_there(prepared):
    """The plan says where page 2 lies and how it is turned; the spot is the same whichever way it is told."""
    part = prepared.parts[0]
    panel, sheet, side = next(
        (panel, sheet.number, side)
        for sheet in part.imposition.sheets
        for side in ("front", "back")
        for panel in sheet.face(side).panels
        if panel.page == 2
    )
    # A strip 10 mm wide along what is the page's left edge once it is turned upright, drawn on the sheet.
    trim = panel.trim
    strip = {
        0: Box(trim.x0, trim.y0, trim.x0 + 10, trim.y1),
        90: Box(trim.x0, trim.y0, trim.x1, trim.y0 + 10),
        180: Box(trim.x1 - 10, trim.y0, trim.x1, trim.y1),
        270: Box(trim.x0, trim.y1 - 10, trim.x1, trim.y1),
    }[panel.rotation]
    on_sheet = Finding(
        rule="careful-margin", level="warning", message="", page=2, ink="lamp black", sheet=sheet, side=side, box=strip
    )
    shown = picture_of(prepared, on_sheet, {})
    assert shown.uri == spot_of_page(part, 2, "lamp black", Box(0, 0, 10, TRIM[1])).uri
    assert shown.spot == pytest.approx((0, 0, 10 / TRIM[0], 1), abs=1e-6)


def test_a_small_spot_is_shown_close_up_from_the_arts_own_pixels(tmp_path):
    """Two hairlines, a pixel each at 600 ppi with one between, 20 mm from the left: at 100 ppi they are a blur."""
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=100)
    per_mm = 600 / 25.4
    tones = np.full((round(TRIM[1] * per_mm), round(TRIM[0] * per_mm)), 255, np.uint8)
    left, top = round(20 * per_mm), round(30 * per_mm)
    for column in (left, left + 2):
        tones[top : top + 100, column] = 0
    write_png(folder / "black" / "2.png", tones, 600)
    prepared = prepare(folder)
    box = Box(20, TRIM[1] - 34, 20.2, TRIM[1] - 30)
    thin = Finding(rule="thin-lines", level="warning", message="", page=2, ink="lamp black", box=box)
    large = replace(thin, box=Box(10, 10, 40, 40))
    (near,) = close_ups(prepared, [thin, large]).items()
    assert near[0] == thin
    pixels = _pixels(near[1])
    assert near[1].width == near[1].height == pytest.approx(12 * per_mm, abs=1)
    middle = pixels[near[1].height // 2].astype(int)
    dark = np.flatnonzero(middle < 128)
    assert len(dark) == 2
    assert dark[1] - dark[0] == 2
    from_left, _, width, _ = near[1].spot
    assert abs(dark.mean() - (from_left + width / 2) * near[1].width) < 3
    assert _pixels(picture_of(prepared, thin, {})).min() > 128


def test_no_more_pages_are_decoded_again_than_the_report_has_time_for(prepared):
    box = Box(5, 5, 6, 6)
    asked = [
        Finding(rule="thin-lines", level="warning", message=f"{n}", page=page, ink="lamp black", box=box)
        for page in (1, 2, 3, 4)
        for n in range(3)
    ]
    assert len(close_ups(prepared, asked)) == len(asked)
    assert {finding.page for finding in close_ups(prepared, asked, most_pages=2)} == {1, 2}


def test_a_spot_of_no_page_is_marked_on_its_sheet(prepared, tmp_path):
    frame = prepared.parts[0].frames[1, "back"]
    box = Box(30, 40, 130, 60)
    found = Finding(rule="roller-track", level="warning", message="wet ink", sheet=1, side="back", box=box)
    write_report(tmp_path, replace(prepared, findings=(found,)))
    article = re.search(r"<article.*?</article>", _text(tmp_path))[0]
    spot = f'<rect class="spot" x="30" y="{frame.size.height - 60:g}" width="100" height="20"/>'
    assert spot in article
    assert all(f'href="#page-{art.page}"' in article for art in frame.art)


def test_a_poster_is_shown_whole_in_its_own_size(tmp_path):
    """A mini zine's back, 4 × 2 pages as one: solid art covers its picture, and a spot lies by its own measure."""
    folder = job_folder(tmp_path / "job", pages=8, second=False, ppi=72, binding='style = "mini"\nposter = true')
    write_png(folder / "black" / "9.png", np.zeros((454, 680), np.uint8), 72)
    part = prepare(folder).parts[0]
    trim = trim_of(part, 9)
    assert (trim.width, trim.height) == pytest.approx((240, 160))
    assert preview_in_colour(part, 9).max() < 120
    assert preview_in_colour(part, 1).max() > 200
    picture = spot_of_page(part, 9, "lamp black", Box(200, 100, 220, 120))
    left, top, width, height = picture.spot
    # 20 mm in a window of 32 mm (1.6 times the spot), all inside the poster.
    assert (left, top, width, height) == pytest.approx((6 / 32, 6 / 32, 20 / 32, 20 / 32))


def test_the_artist_is_told_in_plain_words_without_the_studios_own(prepared, folder):
    text = unescape(_text(folder, "for-the-artist.html"))
    asked = [f for f in prepared.findings if f.level != "note" and f.rule in MEANS]
    assert asked
    for finding in asked:
        assert MEANS[finding.rule] in text
    assert "Page 2" in text
    for word in ("0.04", "overs", "drum change", "sheets of"):
        assert word not in text


def test_plain_words_are_of_rules_that_there_are():
    assert set(MEANS) <= {rule.name for rule in rules()}


def test_a_clean_job_thanks_the_artist(prepared, tmp_path):
    write_report(tmp_path, replace(prepared, findings=()))
    assert "ready to print as they are" in _text(tmp_path, "for-the-artist.html")
    assert "Masters can be cut." in _text(tmp_path)


def test_a_job_that_is_refused_still_gets_its_report(tmp_path, capsys):
    folder = job_folder(tmp_path / "job", pages=4, ppi=PPI)
    command_line.main(["check", str(folder), "--report", str(tmp_path / "report"), "-q"], standalone_mode=False)
    capsys.readouterr()
    assert sorted(p.name for p in (tmp_path / "report").iterdir()) == ["for-the-artist.html", "report.html"]


@pytest.mark.skipif(shutil.which("chromium") is None, reason="chromium is not installed")
def test_a_browser_prints_the_report(folder, tmp_path):
    out = tmp_path / "report.pdf"
    done = subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--print-to-pdf={out}",
         (folder / "report.html").as_uri()],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert out.is_file(), done.stderr
    text = "".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
    assert "Every rule" in text
    assert "Small <b>job</b> & co" in text
