"""The report and the artist's page: what was found, where, with the spot marked; words from files stay text."""

from __future__ import annotations

import base64
import io
import re
from dataclasses import replace
from html import unescape

import numpy as np
import pytest
from PIL import Image, ImageDraw

from imposer.check import rules
from imposer.cli import imposer as command_line
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.main_job import prepare
from imposer.write.page_colours import preview_in_colour, trim_of
from imposer.write.report import write_report
from imposer.write.report.close_ups import close_ups
from imposer.write.report.pictures import spot_of_page
from imposer.write.report.spots import pictures_of
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
    (shown,) = pictures_of(prepared, on_sheet, {})
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
    large = replace(thin, rule="large-solid", box=Box(10, 10, 40, 40))
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
    assert _pixels(pictures_of(prepared, thin, {})[0]).min() > 128


@pytest.mark.parametrize(
    ("ends", "box"),
    [
        # A level hairline; a slanted one, the middle of whose box it does not cross.
        (((10, 30), (50, 30)), Box(10, 30, 50, 30)),
        (((10, 10), (50, 50)), Box(10, 10, 50, 62)),
    ],
)
def test_a_hairline_is_shown_close_up_however_far_it_runs(tmp_path, ends, box):
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=100)
    per_mm = 600 / 25.4
    art = Image.new("L", (round(TRIM[0] * per_mm), round(TRIM[1] * per_mm)), 255)
    ImageDraw.Draw(art).line([(x * per_mm, art.height - y * per_mm) for x, y in ends], fill=0, width=2)
    write_png(folder / "black" / "2.png", np.asarray(art), 600)
    prepared = prepare(folder)
    thin = Finding(rule="thin-lines", level="warning", message="", page=2, ink="lamp black", box=box)
    (near,) = close_ups(prepared, [thin]).values()
    # As fine as the art, and the line goes through what is marked.
    assert near.width == pytest.approx(1.6 * 8 * per_mm, abs=2)
    left, top, wide, high = (share * near.width for share in near.spot)
    dark = _pixels(near)[round(top) : round(top + high), round(left) : round(left + wide)] < 128
    assert dark.any(axis=0).mean() > 0.9


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


@pytest.mark.parametrize("corner", ["lower left", "upper left", "lower right", "middle"])
def test_the_number_of_a_spot_is_seen_whole_on_its_sheet(prepared, tmp_path, corner):
    frame = prepared.parts[0].frames[1, "back"]
    wide, high = frame.size.width, frame.size.height
    box = {
        "lower left": Box(0, 0, 20, 3),
        "upper left": Box(0, high - 5, 20, high),
        "lower right": Box(wide - 2, 0, wide, 30),
        "middle": Box(100, 90, 120, 110),
    }[corner]
    found = Finding(rule="outside-printable", level="warning", message="lost", sheet=1, side="back", box=box)
    write_report(tmp_path, replace(prepared, findings=(found,)))
    (badge,) = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"/>', _text(tmp_path))
    x, y, r = map(float, badge)
    assert r <= x <= wide - r
    assert r <= y <= high - r
    if corner == "middle":
        assert (x, y) == (100, high - 110)


def test_numbers_on_a_sheet_hide_no_other_and_say_which_page_and_ink_they_are_of(prepared, tmp_path):
    """Two edges of a page that begin in one corner, each in two inks."""
    edges = (Box(40, 40, 45, 120), Box(40, 115, 100, 120))
    found = tuple(
        Finding(rule="outside-printable", level="warning", message=f"lost {edge.x1:g}", page=2, ink=ink,
                sheet=1, side="back", box=edge)
        for ink in ("lamp black", "marigold")
        for edge in edges
    )  # fmt: skip
    write_report(tmp_path, replace(prepared, findings=found))
    sheets = _text(tmp_path).partition('id="sheets"')[2]
    badges = [tuple(map(float, badge)) for badge in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="7"/>', sheets)]
    assert len(badges) == 2
    (left, top), (right, below) = badges
    assert max(abs(left - right), abs(top - below)) >= 14
    notes = re.findall(r"<li>(.*?)</li>", sheets)
    assert notes == [
        f"page 2, lamp black: lost {edge.x1:g}<br>page 2, marigold: lost {edge.x1:g}" for edge in edges
    ]  # fmt: skip


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


def test_a_clean_job_can_be_printed(prepared, tmp_path):
    write_report(tmp_path, replace(prepared, findings=()))
    assert "Masters can be cut." in _text(tmp_path)


def test_what_is_accepted_is_counted_and_shown_in_a_place_of_its_own(prepared, tmp_path):
    """Two to mend, one accepted warning of the same rule, one accepted error, one note."""
    solid = Finding(rule="large-solid", level="warning", message="a solid", page=2, ink="lamp black", box=None)
    findings = (
        Finding(rule="outside-printable", level="error", message="it is lost", page=1, accepted="a rim may go"),
        solid,
        replace(solid, page=3, message="another solid"),
        replace(solid, page=4, message="a night", accepted="the night is meant to be black"),
        Finding(rule="page-count", level="note", message="blanks at the end"),
    )
    write_report(tmp_path, replace(prepared, findings=findings))
    text = _text(tmp_path)
    assert "Masters can be cut; 2 should be mended first." in text
    chips = re.findall(r'<a class="(\w+)" href="#\w+">(\w+) (\d+)</a>', text)
    assert chips == [
        ("error", "Reject", "0"), ("warning", "Mend", "2"), ("accepted", "Accepted", "2"), ("note", "Know", "1")
    ]  # fmt: skip
    sections = dict(re.findall(r'<section id="(\w+)" class="group [^>]*>(.*?)</section>', text, re.DOTALL))
    for name, _, count in chips:
        assert sections[name].count("<article") == int(count)
    assert sections["warning"].count("<details") == 1
    assert "a night" not in sections["warning"]
    for words in ("a night", "the night is meant to be black", "it is lost", "a rim may go"):
        assert words in sections["accepted"]
    row = re.search(r"large-solid</th><td class='found'>(.*?)</td>", text)[1]
    assert row == "<b>3</b>, 1 accepted"


def test_a_misplaced_layer_is_shown_over_the_one_it_was_held_against(tmp_path):
    """Marigold at the left, black at the right, rose at the foot: rose is neither, and is not in the picture."""
    wide, high = (round(side * PPI / 25.4) for side in TRIM)
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=PPI)
    inks = ""
    for ink, rows, columns in (
        ("black", slice(40, 200), slice(wide // 2 + 20, wide - 20)),
        ("marigold", slice(40, 200), slice(20, wide // 2 - 20)),
        ("rose", slice(high - 120, high - 40), slice(20, wide - 20)),
    ):
        tones = np.full((high, wide), 255, np.uint8)
        tones[rows, columns] = 0
        for page in range(1, 5):
            write_png(folder / ink / f"{page}.png", tones, PPI)
        if ink != "black":
            inks += f'[[ink]]\nname = "{ink}"\npages = "{ink}/*.png"\n'
    file = folder / "job.toml"
    file.write_text(file.read_text(encoding="utf-8") + inks, encoding="utf-8")
    prepared = prepare(folder)
    found = Finding(
        rule="misplaced-layer", level="warning", message="it is turned", page=1, ink="marigold", other_ink="lamp black"
    )
    (shown,) = pictures_of(prepared, found, {})
    with Image.open(io.BytesIO(base64.b64decode(shown.uri.partition(",")[2]))) as image:
        pixels = np.asarray(image.convert("RGB")).astype(int)
    rows, columns = pixels.shape[:2]
    up, down = round(120 / high * rows), round((high - 80) / high * rows)
    left, right = pixels[up, columns // 4], pixels[up, columns * 3 // 4]
    assert right.max() < 90
    assert left[0] - left[2] > 60, "marigold is yellow"
    assert pixels[down, columns // 2].min() > 200, "rose was left out"
    write_report(tmp_path / "out", replace(prepared, findings=(found,)))
    for name in ("report.html", "for-the-artist.html"):
        text = _text(tmp_path / "out", name)
        assert shown.uri in text
        assert "arigold and lamp black over each other" in text


@pytest.mark.parametrize(
    ("count", "told"), [(60, None), (61, "pictures of 1 finding."), (70, "pictures of 10 findings.")]
)
def test_pictures_that_are_left_out_are_told(prepared, tmp_path, count, told):
    spots = tuple(
        Finding(rule="large-solid", level="note", message=f"spot {n}", page=2, ink="lamp black", box=Box(5, 5, 40, 60))
        for n in range(count)
    )
    write_report(tmp_path, replace(prepared, findings=spots))
    text = _text(tmp_path, "report.html")
    assert text.count('<figure class="spot">') == min(count, 60)
    assert ("Left out" in text) == (told is not None)
    assert told is None or told in text


def test_a_job_that_is_refused_still_gets_its_report(tmp_path, capsys):
    folder = job_folder(tmp_path / "job", pages=4, ppi=PPI)
    command_line.main(["check", str(folder), "--report", str(tmp_path / "report"), "-q"], standalone_mode=False)
    capsys.readouterr()
    assert sorted(p.name for p in (tmp_path / "report").iterdir()) == ["for-the-artist.html", "report.html"]
