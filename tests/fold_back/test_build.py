"""Fold-back as part of a build: what does not read through is not delivered."""

from __future__ import annotations

import json

import pikepdf
import pytest

from imposer import build, main_job
from imposer.errors import ImposerError
from tests.fold_back.masters import FRONT_BLACK, pages_read, told
from tests.folders import job_folder


def test_a_build_that_does_not_read_through_delivers_nothing(tmp_path, monkeypatch):
    """As if the writer laid pages 1 and 8 in each other's place and the numbers were not held against the plan."""
    folder = job_folder(tmp_path / "job", ppi=72, sheet='size = "A4"\npieces = 1')
    out = build(folder).folder
    before = (out / "plan.json").read_bytes()
    write = main_job.write_masters

    def written_wrongly(aside, *args, **kwargs):
        spaces = write(aside, *args, **kwargs)
        with pikepdf.open(aside / FRONT_BLACK, allow_overwriting_input=True) as pdf:
            contents = pdf.pages[0].Contents
            drawing = contents.read_bytes().replace(b"/P1 Do", b"/Px Do").replace(b"/P8 Do", b"/P1 Do")
            contents.write(drawing.replace(b"/Px Do", b"/P8 Do"))
            pdf.save(aside / FRONT_BLACK)
        return spaces

    monkeypatch.setattr(main_job, "write_masters", written_wrongly)
    monkeypatch.setattr(main_job, "read_back", lambda *args: None)
    (folder / "job.toml").write_text(
        (folder / "job.toml").read_text(encoding="utf-8").replace("copies = 25", "copies = 26"), encoding="utf-8"
    )
    with pytest.raises(ImposerError, match="page 8 lies where page 1 belongs") as caught:
        build(folder)
    assert caught.value.exit_code == 2
    assert (out / "plan.json").read_bytes() == before
    assert json.loads(before)["copies"] == 25


def test_several_copies_on_a_sheet_are_each_folded_back(tmp_path):
    out = build(job_folder(tmp_path / "job", pages=4, ppi=72, sheet='size = "A4"\npieces = 4')).folder
    assert told(out) == []
    assert pages_read(out) == [1, 2, 3, 4]
    with pikepdf.open(out / FRONT_BLACK, allow_overwriting_input=True) as pdf:
        contents = pdf.pages[0].Contents
        # The art of the last panel alone, which is not of the first copy.
        contents.write(b"/Pnone Do\n".join(contents.read_bytes().rsplit(b"/P1 Do\n", 1)))
        pdf.save(out / FRONT_BLACK)
    assert any(problem.endswith("page 1 is missing: its place is bare") for problem in told(out))
    assert any(": copy 4, page 1 of the booklet: does not read" in problem for problem in told(out))
    assert pages_read(out) == [1, 2, 3, 4]


def test_blank_pages_are_bare_paper_in_their_place(tmp_path):
    """Six pages of art in eight: the last two print nothing, and the sides' other pages are still where they belong."""
    out = build(job_folder(tmp_path / "job", pages=6, ppi=72, sheet='size = "A4"\npieces = 1')).folder
    assert told(out) == []
    assert pages_read(out) == [1, 2, 3, 4, 5, 6, None, None]


@pytest.mark.parametrize(("reading", "turn"), [("right-to-left", "turn"), ("left-to-right", "tumble")])
def test_right_angle_signatures_in_every_direction(reading, turn, tmp_path):
    binding = f'style = "gathered"\npieces_per_signature = 2\nfold = "F8-7"\nreading = "{reading}"'
    out = build(
        job_folder(tmp_path / "job", pages=24, ppi=72, binding=binding, sheet=f'size = "A4"\nturn = "{turn}"')
    ).folder
    assert told(out) == []
    assert pages_read(out) == list(range(1, 25))


def test_a_cover_apart_is_folded_back_beside_its_body(tmp_path):
    folder = job_folder(tmp_path / "job", pages=12, ppi=72, second=False)
    job = (folder / "job.toml").read_text(encoding="utf-8")
    parts = '[[part]]\nname = "cover"\npages = "outer 4"\n[[part]]\nname = "body"\npages = "rest"\n'
    (folder / "job.toml").write_text(f"{job}\n{parts}", encoding="utf-8")
    out = build(folder).folder
    assert told(out) == []
    names = {file: part_name(file) for file in (out / "masters").iterdir()}
    assert set(names.values()) == {"cover", "body"}
    for file, name in names.items():
        if name == "cover":
            file.unlink()
    assert told(out) == ["Small <b>job</b> & co: : part 1 of 2 is missing: no master of it is here"]


def part_name(file):
    with pikepdf.open(file) as pdf:
        (name,) = {json.loads(str(page.PieceInfo.Imposer.Private.Record))["part"]["name"] for page in pdf.pages}
    return name
