"""`imposer proof`: the page alone, beside whatever was there."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from imposer.cli.proof import command
from imposer.errors import ImposerError
from imposer.main_job import build, prove
from tests.folders import job_folder


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
