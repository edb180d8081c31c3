"""`imposer page-guide` as a person runs it."""

from __future__ import annotations

from tests.cli.test_commands import imposer
from tests.folders import job_folder


def test_guides_stand_beside_the_job_and_are_never_taken_for_artwork(tmp_path):
    folder = job_folder(tmp_path / "job", pages=4, second=False)
    toml = folder / "job.toml"
    toml.write_text(toml.read_text(encoding="utf-8").replace("black/*.png", "**/*.p??"), encoding="utf-8")
    done = imposer("page-guide", folder)
    assert str(folder / "page-guides") in done.stdout
    assert (folder / "page-guides" / "what-to-send.txt").read_text(encoding="utf-8").startswith("Small <b>job</b> & co")
    imposer("dummy", folder)
    # Both lie in the job's folder now, and the pattern would match them.
    assert "4 pages" in imposer("plan", folder).stdout


def test_guides_before_there_is_artwork(tmp_path):
    folder = job_folder(tmp_path / "job", pages=1, second=False)
    (folder / "black" / "1.png").unlink()
    assert "give --pages N" in imposer("page-guide", folder, expect=2).stderr
    assert not (folder / "page-guides").exists()
    imposer("page-guide", folder, "--pages", 8, "-o", tmp_path / "for the artist", "--quiet")
    assert (tmp_path / "for the artist" / "page-guides.json").is_file()


def test_a_folder_of_somebody_else_is_left_alone(tmp_path):
    folder = job_folder(tmp_path / "job", pages=4, second=False)
    done = imposer("page-guide", folder, "-o", folder / "black", expect=2)
    assert "black" in done.stderr
    assert len(list((folder / "black").iterdir())) == 4
