"""What the job accepts keeps its place among the findings, says why, and stops nothing."""

from __future__ import annotations

from dataclasses import replace

from imposer.check import accepting
from imposer.cli.words import finding_lines
from imposer.findings import Finding
from imposer.job.check_limits import Acceptance
from imposer.main_job import prepare
from tests.folders import job_folder

SOLID = Finding(rule="large-solid", level="error", message="a solid", page=3, ink="marigold")
OTHER = Finding(rule="large-solid", level="error", message="a solid", page=4, ink="marigold")


def test_an_accepted_error_stops_nothing_and_says_why():
    found = accepting([SOLID, OTHER], [Acceptance(rule="large-solid", page=3, ink="marigold", reason="meant so")])
    assert [(f.page, f.level, f.accepted, f.stops) for f in found] == [
        (3, "error", "meant so", False),
        (4, "error", None, True),
    ]


def test_a_rule_alone_accepts_all_its_findings():
    found = accepting([SOLID, OTHER], [Acceptance(rule="large-solid", reason="a black book")])
    assert [f.accepted for f in found] == ["a black book"] * 2


def test_another_ink_or_rule_is_not_meant():
    accepted = [
        Acceptance(rule="large-solid", page=3, ink="lamp black", reason="x"),
        Acceptance(rule="thin-lines", page=3, reason="y"),
    ]
    found = accepting([SOLID], accepted)
    assert found[0].stops
    assert [f.rule for f in found[1:]] == ["acceptance-unused"] * 2


def test_an_acceptance_that_nothing_answers_is_told():
    (found,) = accepting([], [Acceptance(rule="page-cuont", reason="x")])
    assert (found.rule, found.level) == ("acceptance-unused", "note")
    assert found.mend == 'did you mean "page-count"?'


def test_the_facts_for_other_programs_have_their_keys_and_no_more():
    keys = ["rule", "level", "message", "mend", "page", "ink", "sheet", "side", "box", "measured", "limit", "accepted"]
    assert sorted(SOLID.as_dict()) == sorted(keys)


def test_no_mend_is_null_to_other_programs():
    assert SOLID.mend == ""
    assert SOLID.as_dict()["mend"] is None
    assert replace(SOLID, mend="lighten it").as_dict()["mend"] == "lighten it"


def test_a_job_that_accepts_is_told_so_to_people_and_programs(tmp_path):
    accept = '[[check.accept]]\nrule = "fonts-missing"\nreason = "any sans will do"\n'
    prepared = prepare(job_folder(tmp_path, pages=4, extra=accept, ppi=100))
    missing = [finding for finding in prepared.findings if finding.rule == "fonts-missing"]
    assert [finding.page for finding in missing] == [1, 2, 4]
    assert {finding.as_dict()["accepted"] for finding in missing} == {"any sans will do"}
    assert "         → accepted: any sans will do" in finding_lines(missing)
    assert all(finding.accepted is None for finding in prepared.findings if finding.rule != "fonts-missing")
