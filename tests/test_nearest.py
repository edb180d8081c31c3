"""The known name a person probably meant."""

from __future__ import annotations

import pytest

from imposer.nearest import did_you_mean, nearest, plain


@pytest.mark.parametrize(
    ("written", "meant"),
    [("titel", "title"), ("lampblack", "lamp black"), ("LAMP  BLAK", "lamp black"), ("copys", "copies"), ("zzz", None)],
)
def test_the_nearest_name_is_found_in_its_own_spelling(written, meant):
    assert nearest(written, ["title", "copies", "lamp black"]) == meant


def test_names_are_compared_without_case_spaces_and_ways_to_write_an_accent():
    assert plain("Cafe\u0301  NOIR ") == plain("caf\u00e9 noir") == "caf\u00e9 noir"


def test_a_very_long_name_is_like_none():
    assert nearest("title" * 100_000, ["title"]) is None


def test_a_question_or_what_was_given_instead():
    assert did_you_mean("titel", ["title"]) == 'did you mean "title"?'
    assert did_you_mean("zzz", ["title"], "say it again") == "say it again"
    assert did_you_mean("zzz", []) == ""
