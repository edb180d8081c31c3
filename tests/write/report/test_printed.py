"""Both pages as a browser prints them, and on a phone: nothing is lost on paper, no heading stands alone."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from unicodedata import normalize

import pypdf
import pytest

from imposer.check import rules
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.main_job import prepare
from imposer.write.report import write_report
from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.folders import job_folder

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)

#: Rules of either kind: those told at the head of the report, and those in a group that is closed on a screen.
MENDED = ("small-type", "thin-lines", "near-edge", "large-solid", "resolution", "no-bleed", "faint-tones")
KNOWN = ("blank-page", "heavy-place", "page-coverage", "page-count", "scaled", "pdf-notes", "thin-gaps", "small-spot")


def _findings():
    found = []
    for level, names in (("warning", MENDED), ("note", KNOWN)):
        for number, name in enumerate(names):
            for page in range(1, 3 + number % 3):
                box = Box(5, 5, 40, 60)
                message = f"words {len(found)} of {name}"
                found.append(
                    Finding(rule=name, level=level, message=message, page=page, ink="lamp black", box=box)
                )  # fmt: skip
    return tuple(found)


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    prepared = prepare(job_folder(tmp_path_factory.mktemp("printed") / "job", pages=4, second=False, ppi=150))
    return replace(prepared, findings=_findings())


@pytest.fixture(scope="module")
def folder(job, tmp_path_factory):
    out = tmp_path_factory.mktemp("pages")
    write_report(out, job)
    return out


@pytest.fixture(scope="module")
def printed(folder):
    """The words of every sheet of paper, white drawn together and ligatures taken apart, by file."""
    sheets = {}
    for name in ("report", "for-the-artist"):
        out = folder / f"{name}.pdf"
        done = subprocess.run(
            [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
             f"--print-to-pdf={out}", (folder / f"{name}.html").as_uri()],
            capture_output=True, text=True, timeout=120, check=False,
        )  # fmt: skip
        assert out.is_file(), done.stderr
        sheets[name] = [" ".join(normalize("NFKC", page.extract_text()).split()) for page in pypdf.PdfReader(out).pages]
    return sheets


def test_every_finding_is_printed_notes_too(job, printed):
    text = " ".join(printed["report"])
    for finding in job.findings:
        assert finding.message in text
    assert "Small <b>job</b> & co" in text
    assert "Every rule" in text


def test_a_rules_heading_is_printed_on_the_sheet_of_its_first_finding(job, printed):
    looks_for = {rule.name: rule.looks_for for rule in rules()}
    assert len(printed["report"]) > 5
    for name in (*MENDED, *KNOWN):
        first = next(finding for finding in job.findings if finding.rule == name)
        (sheet,) = [text for text in printed["report"] if first.message in text]
        heading = looks_for[name]
        assert f"{heading[0].upper()}{heading[1:]} {name}" in sheet


def test_no_heading_ends_a_sheet_of_paper(printed):
    for text in printed["report"]:
        assert not text.endswith(("to know.", "written reason.", "Press sheets", "Every rule"))
    assert len(printed["for-the-artist"]) > 2
    for text in printed["for-the-artist"]:
        assert text.rsplit(" ", 2)[-2] != "Page", text[-40:]


def test_paper_is_not_wasted_on_notes_and_sheets_and_rule_names_are_not_broken(folder):
    """There are many of them, and each is short: one below the other they fill a stack of paper."""
    with Browser(800, 1100) as browser:
        browser.call("Emulation.setEmulatedMedia", media="print")
        browser.call("Page.navigate", url=(folder / "report.html").as_uri())
        browser.wait("document.readyState == 'complete' && document.querySelector('#rules')")
        first, second = browser.run(
            "[...[...document.querySelectorAll('.group.note details')].find(one => one.querySelectorAll('article')[1])"
            ".querySelectorAll('article')].slice(0, 2).map(one => one.getBoundingClientRect())"
            ".map(box => [box.left, box.top, box.right])"
        )
        assert first[1] == second[1]
        assert first[2] <= second[0]
        # Both sides of a press sheet fit on one sheet of paper, 11 inches high, with their captions.
        highs = browser.run(
            "[...document.querySelectorAll('.sheets svg')].map(one => one.getBoundingClientRect().height)"
        )
        assert highs
        assert max(highs) < 11 * 96 / 2 - 48
        lines = browser.run(
            "[...document.querySelectorAll('#rules th[scope]')].map(cell => {"
            " const words = document.createRange(); words.selectNodeContents(cell);"
            " return words.getClientRects().length})"
        )
        assert set(lines) == {1}


def test_both_pages_ask_for_nothing_and_log_no_fault(folder):
    with Browser(390, 844, True) as browser:
        for name in ("report.html", "for-the-artist.html"):
            browser.events.clear()
            browser.call("Page.navigate", url=(folder / name).as_uri())
            browser.wait("document.readyState == 'complete' && document.querySelector('main')")
            asked = [url for url in browser.requests() if not url.startswith("data:")]
            assert asked == [(folder / name).as_uri()]
            assert browser.troubles() == []


def test_a_phone_shows_what_every_rule_found_without_a_sideways_scroll(folder):
    for mobile, size in ((True, (390, 844)), (False, (1400, 900))):
        with Browser(*size, mobile) as browser:
            browser.call("Page.navigate", url=(folder / "report.html").as_uri())
            browser.wait("document.readyState == 'complete' && document.querySelector('#rules')")
            assert browser.run("document.documentElement.scrollWidth") <= size[0]
            cut = browser.run(
                "[...document.querySelectorAll('#rules th, #rules td')].filter(cell => cell.offsetParent && "
                "(cell.getBoundingClientRect().right > innerWidth || cell.scrollWidth > cell.clientWidth + 1)).length"
            )
            assert cut == 0
            chips = browser.run(
                "[...document.querySelectorAll('.key span')].map(chip => chip.getBoundingClientRect())"
                ".map(box => [box.left, box.top, box.right, box.bottom])"
            )
            assert len(chips) == 3
            for n, one in enumerate(chips):
                for other in chips[n + 1 :]:
                    across = max(one[0], other[0]) - min(one[2], other[2])
                    along = max(one[1], other[1]) - min(one[3], other[3])
                    assert max(across, along) >= 4, "chips touch"
            assert not browser.troubles()
