"""Every setting that prints or changes the simulated colours is part of what is approved, and named when it changes."""

from __future__ import annotations

import json

import pytest

from imposer import prepare
from imposer.approval.digests import digests_of
from imposer.approval.record import approval_file
from imposer.cli import imposer as command_line
from imposer.job.templates import templates_folder
from tests.folders import job_folder, page_tones, write_png

MARIGOLD = 'colour = "#eba52c"'
ANA = "approved with {} by Ana Prado on "


@pytest.fixture
def job(tmp_path):
    """Four pages in two inks with a shop beside them; approved."""
    folder = job_folder(tmp_path / "job", pages=4, ppi=100, extra="[marks]\ntone = true\n")
    (folder / "shop.toml").write_text((templates_folder() / "shop.toml").read_text(encoding="utf-8"), encoding="utf-8")
    change(folder, "job.toml", "copies = 25", 'copies = 25\nshop = "shop.toml"')
    approve(folder)
    return folder


def change(folder, file, old, new):
    text = (folder / file).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")


def approve(folder):
    code = digests_of(prepare(folder)).code
    command_line.main(["approve", str(folder), code, "--by", "Ana Prado", "-q"], standalone_mode=False)
    return code


def said(folder):
    return [finding.message for finding in prepare(folder).findings if finding.rule == "approval"]


CHANGES = {
    "an ink's colour": (
        ("shop.toml", MARIGOLD, 'colour = "#ebb52c"'),
        "ink marigold: colour has changed: #ebb52c, " + ANA.format("#eba52c"),
    ),
    "an ink's colour as measured": (
        ("shop.toml", MARIGOLD, f"{MARIGOLD}\nlab = [70.5, 20, 60]"),
        "ink marigold: colour has changed: lab 70.5 20 60, " + ANA.format("#eba52c"),
    ),
    "an ink's gain": (
        ("shop.toml", MARIGOLD, f"{MARIGOLD}\ngain = 0.2"),
        "ink marigold: gain has changed: 20 %, " + ANA.format("12 %"),
    ),
    "an ink's opacity": (
        ("shop.toml", MARIGOLD, f"{MARIGOLD}\nopacity = 0.35"),
        "ink marigold: opacity has changed: 35 %, " + ANA.format("0 %"),
    ),
    "a mark": (
        ("job.toml", "tone = true", "tone = false"),
        "marks have changed: tone off, " + ANA.format("tone on"),
    ),
    "the paper's colour": (
        ("shop.toml", "#fbfaf6", "#ffffff"),
        "sheet.paper has changed: #ffffff, " + ANA.format("#fbfaf6"),
    ),
    "creep": (
        ("job.toml", "[binding]\n", '[binding]\ncreep = "none"\n'),
        "binding has changed: creep none, " + ANA.format("creep flat"),
    ),
    "the title": (
        ("job.toml", "Small <b>job</b> & co", "Small job"),
        'title has changed: "Small job", ' + ANA.format('"Small <b>job</b> & co"'),
    ),
}


@pytest.mark.parametrize(("edit", "words"), CHANGES.values(), ids=CHANGES)
def test_a_setting_that_prints_or_colours_is_named_with_what_it_was(job, edit, words):
    before = digests_of(prepare(job)).code
    assert said(job) == []
    change(job, *edit)
    assert any(message.startswith(words) for message in said(job)), said(job)
    assert digests_of(prepare(job)).code != before


@pytest.mark.parametrize(
    "edit",
    [
        ("shop.toml", MARIGOLD, f"{MARIGOLD}\ngain = 0.12\nopacity = 0"),
        ("shop.toml", 'colour = "#4f8a4c"', 'colour = "#4f8a4c"\nlab = [50, -30, 20]\ngain = 0.3'),
        ("shop.toml", "run = 2 ", "run = 3 "),
        ("job.toml", "tone = true", ""),
    ],
    ids=["the default stated", "an ink of no page", "overs", "a mark left to be as usual"],
)
def test_what_changes_no_print_and_no_colour_is_no_change(job, edit):
    before = digests_of(prepare(job)).code
    change(job, *edit)
    assert said(job) == []
    assert digests_of(prepare(job)).code == before


def test_the_colour_code_of_an_ink_that_was_measured_changes_nothing(job):
    change(job, "shop.toml", MARIGOLD, f"{MARIGOLD}\nlab = [70.5, 20, 60]")
    code = approve(job)
    change(job, "shop.toml", MARIGOLD, 'colour = "#123456"')
    assert said(job) == []
    assert digests_of(prepare(job)).code == code


def test_how_a_booklet_is_held_is_told(job):
    change(job, "job.toml", "[binding]\n", '[binding]\nstyle = "gathered"\nstitch = "side"\n')
    approve(job)
    change(job, "job.toml", 'stitch = "side"', 'stitch = "stab"\nholes = 5')
    assert any(
        message.startswith("binding.stitch has changed: stab, holes 5, approved with side") for message in said(job)
    )


def test_one_change_is_told_once(job):
    change(job, "shop.toml", MARIGOLD, 'colour = "#ebb52c"')
    assert len(said(job)) == 1


def test_an_ink_that_is_gone_and_the_order_of_inks_are_told(job):
    text = (job / "job.toml").read_text(encoding="utf-8")
    black, marigold = (f'[[ink]]\nname = "{name}"\npages = "{art}"\n' for name, art in (
        ("k", "black/*.png"), ("marigold", "marigold.pdf"),
    ))  # fmt: skip
    (job / "job.toml").write_text(text.replace(black + marigold, marigold + black), encoding="utf-8")
    assert [message.split(" by ")[0] for message in said(job)] == [
        "inks have changed: marigold, lamp black, approved with lamp black, marigold"
    ]
    (job / "job.toml").write_text(text.replace(marigold, ""), encoding="utf-8")
    told = said(job)
    assert told[0].startswith("inks have changed: lamp black, approved with lamp black, marigold by")
    assert all("art is gone" in message for message in told[1:])


def test_words_too_long_for_a_line_stand_beside_the_message(job):
    long = "A title " + "of many words " * 6
    change(job, "job.toml", "Small <b>job</b> & co", long.strip())
    (found,) = (finding for finding in prepare(job).findings if finding.rule == "approval")
    assert found.message.startswith("title has changed since Ana Prado approved the proof on 20")
    assert (found.measured, found.limit) == (f'"{long.strip()}"', '"Small <b>job</b> & co"')


def test_a_job_that_is_printed_in_parts_now_is_told(job):
    change(job, "job.toml", "[marks]", '[[part]]\nname = "cover"\npages = "outer 4"\n[marks]')
    assert said(job)[0].startswith("parts have changed: cover, approved with none by Ana Prado on ")


def test_a_part_is_named_with_its_setting_and_what_holds_for_all_is_told_once(job):
    parts = """[[part]]
name = "cover"
pages = "outer 4"
[part.sheet]
paper = "white 80"
[[part]]
name = "body"
pages = "rest"
[marks]"""
    for page in range(5, 9):
        write_png(job / "black" / f"{page}.png", page_tones(page, ppi=100), 100)
    change(job, "job.toml", "[marks]", parts)
    approve(job)
    change(job, "job.toml", 'paper = "white 80"', 'paper = "cream 90"')
    change(job, "job.toml", "copies = 25", "copies = 30")
    told = [message.split(" by ")[0] for message in said(job)]
    assert "copies have changed: 30, approved with 25" in told
    assert [message for message in told if "copies" in message or "paper" in message] == [
        "copies have changed: 30, approved with 25",
        "cover: sheet.paper has changed: cream 90, 90 g/m², #f4ecd8, approved with white 80, 80 g/m², #fbfaf6",
    ]


OVERPRINT = '[[overprint]]\ninks = ["marigold", "k"]\ncolour = "#3a2a1e"\n[approval]'


def test_an_overprint_that_comes_changes_or_goes_is_told(job):
    change(job, "shop.toml", "[approval]", OVERPRINT)
    assert [message.split(" by ")[0] for message in said(job)] == [
        "overprints have changed: lamp black + marigold, approved with none"
    ]
    approve(job)
    assert said(job) == []
    change(job, "shop.toml", '["marigold", "k"]\n', '["lamp black", "marigold"]\n')
    assert said(job) == []
    change(job, "shop.toml", 'colour = "#3a2a1e"\n', "lab = [20, 5, 10.5]\n")
    assert [message.split(" by ")[0] for message in said(job)] == [
        "overprint lamp black + marigold: colour has changed: lab 20 5 10.5, approved with #3a2a1e"
    ]
    change(job, "shop.toml", '"marigold"]\n', '"fern"]\n')
    assert [message.split(" by ")[0] for message in said(job)] == [
        "overprints have changed: none, approved with lamp black + marigold"
    ]


def test_an_overprint_of_other_inks_is_no_change(job):
    before = digests_of(prepare(job)).code
    change(job, "shop.toml", "[approval]", OVERPRINT.replace('"k"', '"rose"'))
    assert said(job) == []
    assert digests_of(prepare(job)).code == before


class TestRecordsWrittenBefore:
    """What was approved before inks' looks and marks were recorded; the words are those of such a record."""

    @pytest.fixture
    def old(self, job):
        data = json.loads(approval_file(job).read_text(encoding="utf-8"))
        settings = data["settings"]
        kept = {
            name: settings[name]
            for name in (
                "title", "copies", "page.trim", "page.bleed", "page.fit", "binding.style", "binding.reading", "binding",
                "sheet.paper", "sheet.size", "sheet.turn", "pages", "places",
            )
        }  # fmt: skip
        data["settings"] = kept | {"inks": "lamp black #2a2a2e, marigold #eba52c"}
        approval_file(job).write_text(json.dumps(data), encoding="utf-8")
        return job

    def test_nothing_is_said_of_what_it_leaves_out(self, old):
        assert said(old) == []
        change(old, "job.toml", "tone = true", "tone = false")
        change(old, "shop.toml", MARIGOLD, f"{MARIGOLD}\ngain = 0.2")
        assert said(old) == []

    def test_what_it_holds_is_still_held_against(self, old):
        change(old, "shop.toml", MARIGOLD, 'colour = "#ebb52c"')
        change(old, "job.toml", "copies = 25", "copies = 30")
        assert [message.split(" by ")[0] for message in said(old)] == [
            "copies have changed: 30, approved with 25",
            "inks have changed: marigold #ebb52c, approved with marigold #eba52c",
        ]
