"""The file itself: one piece, in room, in the same bytes, with nothing that words of the job could break."""

from __future__ import annotations

import html
import json
import re
from html.parser import HTMLParser

import pytest

from imposer.main_job import prepare
from imposer.write.proof import write_proof
from imposer.write.proof.document import SCRIPTS, STYLES, job_data
from imposer.write.proof.openings import openings
from tests.folders import job_folder
from tests.write.proof.jobs import bare, grain, job_of, kiss_fit, proof_of


class Elements(HTMLParser):
    """Every element with its text; scripts are read as a browser reads them."""

    def __init__(self, text):
        super().__init__()
        self.found = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs), ""))

    def handle_data(self, data):
        if self.found:
            tag, attrs, text = self.found[-1]
            self.found[-1] = (tag, attrs, text + data)


@pytest.fixture
def written(tmp_path):
    field, square = kiss_fit()
    return proof_of(tmp_path, {"k": [square, None, bare(), grain(1)], "marigold": [field, square]})


def test_words_of_the_job_stay_words(written):
    _, file = written
    text = file.read_text(encoding="utf-8")
    elements = Elements(text).found
    job = json.loads(next(text for tag, attrs, text in elements if attrs.get("id") == "job"))
    assert job["title"] == "Kiss </script> & fit"
    assert f"<h1>{html.escape('Kiss </script> & fit')}</h1>" in text
    layers = [attrs["id"] for tag, attrs, _ in elements if tag == "script" and attrs.get("id", "").startswith("layer")]
    # The cover's layers come first, so that it can be shown while the rest is read; blank pages have none.
    assert layers == ["layer-1-0", "layer-1-1", "layer-2-1", "layer-4-0"]
    script = text.index('<script>\n"use strict";')
    assert text.index('id="layer-1-1"') < script < text.index('id="layer-2-1"')


def test_nothing_in_it_points_outside(written):
    _, file = written
    text = file.read_text(encoding="utf-8")
    attributes = [attrs for _, attrs, _ in Elements(text).found]
    links = [attrs[key] for attrs in attributes for key in ("src", "href") if key in attrs]
    assert all(link.startswith(("data:image/jpeg;base64,", "#")) for link in links)
    addresses = set(re.findall(r"https?://[^\s\"'`)]+", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}, "the name of SVG is not an address that is asked"


def test_the_same_job_gives_the_same_bytes(written, tmp_path):
    prepared, file = written
    again = tmp_path / "again.html"
    write_proof(again, prepared)
    assert again.read_bytes() == file.read_bytes()


def test_every_file_of_the_page_is_used():
    from importlib.resources import files

    there = {entry.name for entry in (files("imposer.write.proof") / "page").iterdir()}
    assert there == {*SCRIPTS, *STYLES, "proof.html"}


@pytest.mark.parametrize(
    ("pages", "binding", "expected"),
    [
        (8, "", [(None, 1), (2, 3), (4, 5), (6, 7), (8, None)]),
        (8, 'reading = "right-to-left"', [(1, None), (3, 2), (5, 4), (7, 6), (None, 8)]),
        (5, "", [(None, 1), (2, 3), (4, 5), (6, 7), (8, None)]),
    ],
)
def test_pages_lie_as_the_reader_meets_them(pages, binding, expected, tmp_path):
    prepared = prepare(job_folder(tmp_path / "job", pages=pages, second=False, binding=binding, ppi=75))
    assert list(openings(prepared)) == expected


def test_what_the_page_knows_of_sheets_is_what_the_plan_says(tmp_path):
    prepared = prepare(job_of(tmp_path, {"k": [grain(1)] * 8, "marigold": [kiss_fit()[0]] * 4 + [None] * 4}))
    (part,) = prepared.parts
    data = job_data(prepared)
    for sheet, known in zip(part.imposition.sheets, data["sheets"], strict=True):
        for side in ("front", "back"):
            art = {tuple(box) for _, box, _, _ in known[side]["art"]}
            assert art == {
                tuple(round(v, 3) for v in (p.trim.x0, p.trim.y0, p.trim.x1, p.trim.y1))
                for p in sheet.face(side).panels
            }
            masters = {
                (run.number, master.drum, part.job.ink_names.index(master.ink))
                for run in part.plan.passes
                if run.side == side
                for master in run.masters
                if sheet.number in master.sheets
            }
            assert {tuple(print_) for print_ in known[side]["prints"]} == masters
    assert {slot["piece"] for sheet in data["sheets"] for slot in sheet["pieces"]} == {1, 2}
