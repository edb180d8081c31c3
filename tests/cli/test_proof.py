"""`imposer proof`: the page alone, beside whatever was there."""

from __future__ import annotations

import numpy as np
import pytest
from click.testing import CliRunner

from imposer.cli import imposer
from imposer.cli.build import command as build_command
from imposer.cli.proof import command
from imposer.errors import ImposerError
from imposer.job.templates import templates_folder
from imposer.main_job import build, prove
from tests.folders import job_folder, page_tones, write_png


def test_it_writes_the_proof_and_leaves_the_rest(tmp_path):
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=150)
    out = tmp_path / "out"
    result = CliRunner().invoke(command, [str(folder), "-o", str(out)], standalone_mode=False)
    assert result.return_value == 0
    assert result.output.splitlines()[0] == f"proof.html and proof.pdf are in {out}"
    assert sorted(file.name for file in out.iterdir()) == ["proof.html", "proof.pdf"]
    # A build takes the place of a folder that holds our proofs alone, and a proof leaves a build as it is.
    assert build(folder, out).folder == out
    there = sorted(file.name for file in out.iterdir())
    written = (out / "proof.html").read_bytes()
    prove(folder, out)
    assert sorted(file.name for file in out.iterdir()) == there
    assert (out / "proof.html").read_bytes() == written


def test_it_does_not_write_into_a_folder_of_somebody_elses(tmp_path):
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=150)
    out = tmp_path / "out"
    out.mkdir()
    (out / "proof.html").write_text("<title>another's</title>", encoding="utf-8")
    with pytest.raises(ImposerError, match="somebody else"):
        prove(folder, out)
    assert (out / "proof.html").read_text(encoding="utf-8") == "<title>another's</title>"


def _run(made, *words):
    return CliRunner().invoke(made, list(words), standalone_mode=False)


@pytest.fixture
def asking(tmp_path):
    """A job of a shop that cuts no master without approval."""
    folder = job_folder(tmp_path / "job", pages=4, second=False, ppi=150)
    shop = (templates_folder() / "shop.toml").read_text(encoding="utf-8")
    (folder / "shop.toml").write_text(shop.replace("required = false", "required = true"), encoding="utf-8")
    text = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(f'shop = "shop.toml"\n{text}', encoding="utf-8")
    return folder


def test_the_proof_that_is_to_be_approved_is_no_error(asking):
    proved = _run(command, str(asking))
    assert proved.return_value == 0
    assert "nobody has approved the proof" in proved.output
    assert "have this proof approved" in proved.output
    assert "make the proof" not in proved.output
    assert "make the proof and" not in (asking / "out" / "proof.html").read_text(encoding="utf-8")
    built = _run(build_command, str(asking))
    assert built.return_value == 1
    assert "make the proof and have it approved" in built.output


def test_a_proof_made_again_after_a_change_is_no_error_and_says_what_changed(asking):
    code = prove(asking).code
    approved = CliRunner().invoke(imposer, ["approve", str(asking), code, "--by", "Ana"], standalone_mode=False)
    assert approved.exit_code == 0
    write_png(asking / "black" / "2.png", page_tones(2, ppi=150, salt=4), 150)
    assert _run(build_command, str(asking)).return_value == 1
    proved = _run(command, str(asking))
    assert proved.return_value == 0
    assert "page 2, lamp black: its art has changed since Ana approved the proof" in proved.output


def test_other_errors_are_still_told_and_leave_with_1(asking):
    for page in range(1, 5):
        write_png(asking / "black" / f"{page}.png", np.full_like(page_tones(page, ppi=150), 255), 150)
    proved = _run(command, str(asking))
    assert proved.return_value == 1
    assert "nobody has approved the proof" in proved.output
    (line,) = (line for line in proved.output.splitlines() if line.startswith("error"))
    assert "approved" not in line
