"""The artist's page: every rule is told or is the studio's own, in plain words; nothing false is said of the rest."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from html import unescape
from pathlib import Path
from string import Formatter

import numpy as np
import pytest

import imposer
from imposer.check import rules
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.main_job import prepare
from imposer.write.report import ARTIST_FILE, write_report
from imposer.write.report.plain_words import ONLY_NOTES, STUDIO, WORDS
from tests.folders import TRIM, job_folder, write_png

PPI = 150
NAMES = [rule.name for rule in rules()]

#: What an artist need not know: the trade's words, the shop's tasks, the job's keys, units nobody draws in, prices.
JARGON = re.compile(
    r"mm²|ΔE|\[\w+\]|\blimit\b|\btones?\b|\bmasters?\b|\bdrums?\b|\bpass(es)?\b|\btrim\b|\bbleed\b|\bset off\b"
    r"|\bsolids?\b|\bscreened\b|\bdrift\b|\blead edge\b|\bpieces? a side\b|\bwaste\b|\blow stacks\b|\baccept\b"
    r"|\bcorrelation\b|\bsafe area\b|\bprintable area\b|\bsignatures?\b|\bovers\b|\bjob file\b|\bcosts?\b|\bimposer\b"
    r"|\b\w+ = |\bstaple|\bdry (in|longer)\b|\bsheet \d"
)


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    return prepare(job_folder(tmp_path_factory.mktemp("artist") / "job", pages=4, ppi=PPI))


def _told(prepared, findings, folder):
    """What the artist reads, alternative texts of pictures too, without the style."""
    write_report(folder, replace(prepared, findings=tuple(findings)))
    text = (folder / ARTIST_FILE).read_text(encoding="utf-8").partition("<header>")[2]
    said = re.findall(r'alt="([^"]*)"', text)
    text = re.sub(r"</?(b|code)>", "", text)
    return " ".join(unescape(" ".join([re.sub(r"<[^>]+>", " ", text), *said])).split())


def _warning(rule, **more):
    return Finding(rule=rule, level="warning", message="the operator's line", mend="set [page] bleed", **more)


def test_every_rule_is_told_to_artists_or_is_the_studios_own_with_a_reason():
    assert sorted([*WORDS, *STUDIO]) == NAMES
    assert all(len(reason) > 10 for reason in STUDIO.values())


def test_a_rule_that_is_never_more_than_a_note_is_none():
    levels = {}
    for file in Path(imposer.__file__).parent.rglob("*.py"):
        own = file.stem.replace("_", "-")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding":
                keys = {keyword.arg: keyword.value for keyword in node.keywords}
                rule = keys["rule"].value if isinstance(keys["rule"], ast.Constant) else own
                said = {each.value for each in ast.walk(keys["level"]) if isinstance(each, ast.Constant)}
                levels.setdefault(rule, set()).update(said)
    assert levels["thin-lines"] == {"warning", "note"}, "levels are seen"
    only_notes = [rule for rule, reason in STUDIO.items() if reason.startswith(ONLY_NOTES)]
    assert len(only_notes) > 10
    for rule in only_notes:
        assert levels.get(rule, {"note"}) == {"note"}, rule


@pytest.mark.parametrize("rule", WORDS)
def test_a_warning_of_every_rule_is_told_with_what_can_be_done_and_without_the_operators_words(
    prepared, rule, tmp_path
):
    words = WORDS[rule]
    box = Box(5, 5, 20, 15)
    found = _warning(rule, page=2, ink="lamp black", other_ink="marigold", box=box, measured="4 mm", limit="7 mm")
    text = _told(prepared, [found], tmp_path)
    assert words.means in text
    assert "Page 2" in text
    for part, name, _, _ in Formatter().parse(words.do):
        assert part in text
        # A figure for all findings: the shop's, never one that a finding may lack.
        assert name is None or name.partition(".")[0] in ("limits", "drift", "beyond")
    assert "set [page] bleed" not in text
    if "{message}" not in words.much:
        assert "operator" not in text
    if "{measured}" in words.much:
        assert "4 mm" in text
    assert "{" not in text
    assert not JARGON.search(text), JARGON.search(text)
    assert "Nothing else has to be changed" in text
    assert "ready to print" not in text


def test_on_every_page_what_has_to_be_changed_comes_first(prepared, tmp_path):
    must = replace(_warning("outside-printable", page=2, ink="lamp black"), level="error")
    found = (_warning("large-solid", page=2, ink="lamp black"), _warning("large-solid", page=1, ink="lamp black"), must)
    text = _told(prepared, found, tmp_path)
    assert text.index("Page 1") < text.index("Page 2") < text.index(WORDS["outside-printable"].means)
    assert text.index("This has to be changed") < text.index(WORDS["large-solid"].means, text.index("Page 2"))


def test_a_figure_that_a_finding_lacks_is_left_out(prepared, tmp_path):
    text = _told(prepared, [_warning("small-type", page=1, ink="lamp black")], tmp_path)
    assert WORDS["small-type"].means in text
    assert "None" not in text
    assert "They are set in" not in text


@pytest.mark.parametrize("rule", [rule for rule in STUDIO if not STUDIO[rule].startswith(ONLY_NOTES)])
def test_what_the_studio_settles_is_not_told_and_not_called_fine(prepared, rule, tmp_path):
    alone = _told(prepared, [_warning(rule)], tmp_path)
    assert "The studio has something of its own to settle" in alone
    with_more = _told(prepared, [_warning(rule), _warning("small-type", page=1, ink="lamp black")], tmp_path)
    assert "The studio looks after the rest." in with_more
    for text in (alone, with_more):
        assert "operator" not in text
        assert "ready to print" not in text
        assert "Nothing else" not in text
        assert "is fine" not in text


def test_a_job_setting_that_only_the_studio_can_change_is_not_the_artists(prepared, tmp_path):
    """A margin wider than half the page is of the job, and one that a page reaches into is of the page."""
    text = _told(prepared, [replace(_warning("binding-margin"), level="error")], tmp_path)
    assert "The studio has something of its own to settle" in text
    assert WORDS["binding-margin"].means not in text


def test_notes_and_accepted_findings_ask_nothing(prepared, tmp_path):
    note = replace(_warning("thin-lines", page=1, ink="lamp black"), level="note")
    accepted = replace(_warning("large-solid", page=1, ink="lamp black"), accepted="meant so")
    for findings in ((), (note, accepted)):
        text = _told(prepared, findings, tmp_path)
        assert "Thank you: your pages are ready to print as they are." in text
        assert "meant so" not in text


def test_the_file_is_named_even_where_the_finding_does_not(prepared, tmp_path):
    text = _told(prepared, [_warning("coloured-layer", page=2, ink="lamp black")], tmp_path)
    assert "lamp black, black/2.png: This file has colours in it." in text


def test_an_error_says_that_it_must_be_changed(prepared, tmp_path):
    warning = _warning("outside-printable", page=1, ink="lamp black", measured="4 mm")
    must = "This has to be changed before your pages can be printed."
    assert must not in _told(prepared, [warning], tmp_path)
    assert must in _told(prepared, [replace(warning, level="error")], tmp_path)


def _panel(prepared, page):
    """A page's place on its sheet, by the frames: sheet, side, trim."""
    (part,) = prepared.parts
    return next((*key, art.trim) for key, frame in part.frames.items() for art in frame.art if art.page == page)


def test_a_place_on_a_press_sheet_is_told_of_the_page_that_lies_there(prepared, tmp_path):
    sheet, side, trim = _panel(prepared, 3)
    box = Box(trim.x0 + 2, trim.y0 + 2, trim.x0 + 22, trim.y0 + 22)
    found = _warning(
        "lead-edge", ink="lamp black", sheet=sheet, side=side, box=box, measured="60 %", limit="40 %"
    )  # fmt: skip
    text = _told(prepared, [found], tmp_path)
    assert "Page 3" in text
    assert "The whole edge is 60 % dark; up to 40 % is safe." in text
    assert not JARGON.search(text)


def test_what_a_whole_side_of_a_sheet_carries_names_its_pages(prepared, tmp_path):
    sheet, side, _ = _panel(prepared, 1)
    (part,) = prepared.parts
    here = sorted({art.page for art in part.frames[sheet, side].art})
    assert len(here) > 1
    box = part.imposition.layout.safe
    found = _warning(
        "master-coverage", ink="lamp black", sheet=sheet, side=side, box=box, measured="70 %", limit="60 %"
    )  # fmt: skip
    text = _told(prepared, [found], tmp_path)
    assert "All pages together" in text
    assert re.search(rf"Pages {here[0]}\D.*{here[-1]} in lamp black: ", text)


def test_a_spots_place_is_told_and_every_spot_has_its_picture(prepared, tmp_path):
    """Pages are 60 × 80 mm: corners of 5 mm, a strip along the foot, a spot in the middle, and two more than shown."""
    spots = (
        (Box(2, 70, 7, 75), "At the top left."),
        (Box(50, 3, 55, 8), "At the bottom right."),
        (Box(1, 1, 59, 4), "At the bottom."),
        (Box(28, 38, 32, 42), "In the middle."),
        (Box(3, 3, 5, 5), ""),
        (Box(3, 9, 5, 11), ""),
    )
    found = [
        _warning("near-edge", page=1, ink="lamp black", box=box, measured=f"{n} mm", limit="9 mm")
        for n, (box, _) in enumerate(spots)
    ]
    text = _told(prepared, found, tmp_path)
    for n, (_, place) in enumerate(spots[:4]):
        assert f"{place} It is {n} mm away; at 9 mm it is safe." in text
    assert "There are 2 more like it on this page." in text
    page = (tmp_path / ARTIST_FILE).read_text(encoding="utf-8")
    assert page.count("<img") == page.count("<i style") == 4


def test_the_page_of_a_job_with_many_faults_is_plain(tmp_path):
    """Solids, hairlines, type at the edge, a gray ground, a missing page: what the rules themselves say of them."""
    folder = job_folder(tmp_path / "job", pages=8, ppi=PPI)
    wide, high = (round(side * PPI / 25.4) for side in TRIM)
    solid = np.zeros((high, wide), np.uint8)
    solid[high // 2 :] = 255
    lines = np.full((high, wide), 255, np.uint8)
    lines[20:-20:6, 10:-10] = 0
    ground = np.full((high, wide), 235, np.uint8)
    ground[100:140, 100:140] = 0
    detail = np.full((high, wide), 255, np.uint8)
    detail[4:16:4, 6:60] = 0
    for page, tones in ((2, solid), (3, lines), (4, ground), (5, detail)):
        write_png(folder / "black" / f"{page}.png", tones, PPI)
    (folder / "black" / "7.png").unlink()
    prepared = prepare(folder)
    serious = {f.rule for f in prepared.findings if f.level != "note" and f.accepted is None}
    assert {"large-solid", "no-bleed", "dirty-ground", "near-edge", "resolution"} <= serious
    text = _told(prepared, prepared.findings, tmp_path / "out")
    for rule in serious & set(WORDS):
        assert WORDS[rule].means in text
    assert not JARGON.search(text), JARGON.search(text)
    for finding in prepared.findings:
        if finding.mend:
            assert finding.mend not in text
    assert "None" not in text
    assert not re.search(r": look|: make|: draw|: export", text), "no sentence begins twice"
