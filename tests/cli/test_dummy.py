"""`imposer dummy` as a person runs it."""

from __future__ import annotations

import pytest

from tests.cli.test_commands import imposer
from tests.folders import job_folder
from tests.write.dummies import numbers_on, pages_of


def test_a_dummy_of_a_job_stands_beside_it(tmp_path):
    folder = job_folder(tmp_path / "job", pages=7, second=False)
    before = sorted(path.name for path in folder.iterdir())
    done = imposer("dummy", folder)
    assert str(folder / "dummy.pdf") in done.stdout
    assert sorted(path.name for path in folder.iterdir()) == sorted([*before, "dummy.pdf"])
    # Seven pages of art: the eighth is named as blank.
    assert any("blank" in page.extract_text() for page in pages_of((folder / "dummy.pdf").read_bytes()))


def test_with_a_page_count_no_artwork_is_needed(tmp_path):
    folder = job_folder(tmp_path / "job", pages=1, second=False)
    (folder / "black" / "1.png").unlink()
    refused = imposer("dummy", folder, expect=2)
    assert "before there is art, give --pages N" in refused.stderr
    imposer("dummy", folder, "--pages", 12)
    numbers = [int(n.text) for page in pages_of((folder / "dummy.pdf").read_bytes()) for n in numbers_on(page)]
    assert set(numbers) == set(range(1, 13))


def test_a_dummy_without_a_job(tmp_path):
    options = ("--pages", 16, "--trim", "A6", "--style", "saddle", "--paper", "letter", "-o", "try/it.pdf")
    done = imposer("dummy", *options, cwd=tmp_path)
    assert done.stdout.startswith("try/it.pdf: ")
    assert len(pages_of((tmp_path / "try" / "it.pdf").read_bytes())) % 2 == 0


def test_a_mini_zine_without_a_job(tmp_path):
    options = ("--pages", 9, "--trim", "74.25 x 105 mm", "--style", "mini", "--sheet", "A4", "--untrimmed", "--poster")
    imposer("dummy", *options, cwd=tmp_path)
    front, back = pages_of((tmp_path / "dummy.pdf").read_bytes())
    assert len(numbers_on(front)) == 8
    assert [n.text for n in numbers_on(back)] == ["9"]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--pages", 4), '--trim "A6"'),
        (("--trim", "A6"), "needs --pages"),
        (("--pages", 4, "--trim", "A66"), "--trim: "),
        (("--pages", 4, "--trim", "A6", "--style", "sadle"), '--style: "sadle"'),
        (("--pages", 4, "--trim", "A3", "--sheet", "A4"), "--trim: one piece of"),
        (("--pages", 4, "--trim", "A6", "--paper", "A55"), "--paper"),
        (("--pages", 16, "--trim", "A6", "--fold", "F99-1"), "--fold: "),
        (("--pages", 4, "--trim", "A6", "--shop", "none.toml"), "none.toml"),
    ],
)
def test_faults_name_the_option(tmp_path, options, said):
    done = imposer("dummy", *options, cwd=tmp_path, expect=2)
    assert said in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_options_of_a_job_do_not_go_with_a_job(tmp_path):
    folder = job_folder(tmp_path / "job", pages=1, second=False)
    assert "--trim is for a dummy without a job" in imposer("dummy", folder, "--trim", "A6", expect=2).stderr


def test_a_cover_apart_is_drawn_and_named_and_all_sheets_are_counted_through(tmp_path):
    part = '[[part]]\nname = "cover"\npages = "outer 4"\n[[part]]\nname = "body"\npages = "rest"\n'
    folder = job_folder(tmp_path / "job", pages=1, second=False, extra=part)
    imposer("dummy", folder, "--pages", 12)
    texts = [page.extract_text() for page in pages_of((folder / "dummy.pdf").read_bytes())]
    assert "cover · sheet 1 of 2 · front" in texts[0]
    assert "body · sheet 2 of 2 · back" in texts[3]
    cover = pages_of((folder / "dummy.pdf").read_bytes())[:2]
    assert {int(n.text) for page in cover for n in numbers_on(page)} == {1, 2, 11, 12}
