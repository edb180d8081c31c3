"""The check's settings: a shop's limits and a job's acceptances, as people write them."""

from __future__ import annotations

import tomllib
from dataclasses import fields

import pytest

from imposer.errors import ImposerError
from imposer.job import load_job
from imposer.job.check_limits import USUAL_LIMITS, Acceptance, CheckLimits
from imposer.job.shop_file import example_shop, read_shop
from tests.folders import job_folder

SHOP = """[machine]
largest_sheet = "A3"
[[paper]]
name = "cream"
weight = 90
sizes = { A3 = 0.06 }
grain = "long edge"
[[ink]]
name = "lamp black"
also = ["k"]
colour = "#2a2a2e"
"""


def shop_with(folder, check):
    file = folder / "shop.toml"
    file.write_text(SHOP + check, encoding="utf-8")
    return read_shop(file)


def test_a_shop_without_limits_has_the_usual_ones(tmp_path):
    shop, faults = shop_with(tmp_path, "")
    assert (shop.check, faults) == (USUAL_LIMITS, [])
    assert shop.papers[0].grain == "long edge"


def test_limits_are_read_with_their_units(tmp_path):
    shop, faults = shop_with(tmp_path, '[check]\nline = "1 pt"\nsolid_tone = "80 %"\nline_ppi = 400\nregister = 0.5\n')
    assert faults == []
    assert shop.check.line == pytest.approx(25.4 / 72)
    assert (shop.check.solid_tone, shop.check.line_ppi, shop.check.register) == (80, 400, 0.5)
    assert shop.check.gap == USUAL_LIMITS.gap


def test_an_unknown_limit_names_the_nearest(tmp_path):
    _, faults = shop_with(tmp_path, "[check]\nsolid_ton = 80\n")
    assert [str(f).split("shop.toml: ")[1] for f in faults] == [
        'check.solid_ton: unknown key; did you mean "solid_tone"?'
    ]


@pytest.mark.parametrize("limit", [one.name for one in fields(CheckLimits)])
def test_every_default_lies_in_its_own_range(limit):
    (one,) = (field for field in fields(CheckLimits) if field.name == limit)
    assert one.metadata["least"] <= one.default <= one.metadata["most"]


def test_a_limit_beyond_sense_is_a_fault(tmp_path):
    _, faults = shop_with(tmp_path, "[check]\nlightest = 90\n")
    assert "check.lightest: 90 is too large: the most is 50 %" in str(faults[0])


def test_a_job_accepts_findings_with_a_reason(tmp_path):
    accept = '[[check.accept]]\nrule = "large-solid"\npage = 3\nink = "k"\nreason = "the night is meant to be black"\n'
    folder = job_folder(tmp_path, pages=4, second=False, extra=accept)
    assert load_job(folder).accepted == (
        Acceptance(rule="large-solid", page=3, ink="lamp black", reason="the night is meant to be black"),
    )


def test_an_acceptance_can_stand_in_one_line(tmp_path):
    folder = job_folder(
        tmp_path, pages=4, second=False, extra='[check]\naccept = [{ rule = "thin-lines", reason = "hatching" }]\n'
    )
    assert load_job(folder).accepted == (Acceptance(rule="thin-lines", reason="hatching"),)


def test_no_finding_is_accepted_without_a_reason(tmp_path):
    folder = job_folder(tmp_path, pages=4, second=False, extra='[[check.accept]]\nrule = "large-solid"\n')
    with pytest.raises(ImposerError) as caught:
        load_job(folder)
    assert "check.accept[1].reason: missing; write why this is meant or can be borne" in str(caught.value)


def test_a_job_sets_no_limits_of_its_own(tmp_path):
    folder = job_folder(tmp_path, pages=4, second=False, extra="[check]\nsolid_tone = 100\n")
    with pytest.raises(ImposerError, match=r"check\.solid_tone: unknown key"):
        load_job(folder)


def test_the_example_shop_lists_every_limit_as_it_holds():
    """Its list is switched off by "# "; switched on, it changes nothing."""
    text = example_shop().read_text(encoding="utf-8")
    listed = text[text.index("\n# [check]\n") :].strip().split("\n\n")[0]
    switched_on = "\n".join(line.removeprefix("# ") for line in listed.splitlines())
    stated = tomllib.loads(switched_on)["check"]
    assert stated == {one.name: getattr(USUAL_LIMITS, one.name) for one in fields(CheckLimits)}
