"""`imposer count`: page counts against signatures."""

import json

import pytest
from click.testing import CliRunner

from imposer.cli.count import command
from imposer.fold.count import alternatives, count_pages


def run(*arguments):
    return CliRunner().invoke(command, arguments)


@pytest.mark.parametrize(("pages", "bound"), [(13, 16), (16, 16), (17, 20), (30, 32), (1, 4)])
def test_pages_are_padded_to_fours(pages, bound):
    """N = 4 · ceil(n / 4): worked rows 13 → 16, 16 → 16, 17 → 20, 30 → 32."""
    assert count_pages(pages).bound_pages == bound


def test_blanks_are_named():
    result = run("14")
    assert result.exit_code == 0
    assert result.output.splitlines()[0] == "14 pages, saddle: 2 blanks: pages 15–16"


def test_alternatives_say_what_each_wastes():
    by_choice = {count.choice: count for count in alternatives(10, pieces_per_side=2)}
    fewer, more = by_choice["2 pages fewer"], by_choice["2 pages more"]
    assert (fewer.pages, fewer.dropped, fewer.blanks, fewer.empty_places) == (8, 2, (), 0)
    assert (more.pages, more.dropped, more.blanks, more.empty_places) == (12, 0, (), 1)
    assert "gathered, 2 pieces a signature" in by_choice


def test_no_alternative_is_offered_twice_or_is_what_was_asked():
    for pages in range(1, 70):
        for style, per_signature in (("saddle", None), ("gathered", 1), ("gathered", 3)):
            asked = count_pages(pages, style=style, pieces_per_signature=per_signature, pieces_per_side=2)
            found = alternatives(pages, style=style, pieces_per_signature=per_signature, pieces_per_side=2)
            keys = [(c.pages, c.style, c.signatures) for c in (asked, *found)]
            assert len(keys) == len(set(keys))
            assert all(c.pages > 0 for c in found)


def test_json_gives_the_same_facts():
    facts = json.loads(run("14", "--json").output)
    assert facts["asked"]["blanks"] == [15, 16]
    assert facts["alternatives"][0]["choice"] == "2 pages fewer"


def test_nesting_is_for_gathered_only():
    result = run("16", "--pieces-per-signature", "2")
    assert result.exit_code == 2
    assert "goes with --style gathered" in result.output


def test_a_full_count_has_no_blanks():
    assert run("16").output.startswith("16 pages, saddle: no blanks\n")


@pytest.mark.parametrize(
    ("arguments", "first"),
    [
        (("8", "--style", "mini"), "8 pages, mini: no blanks"),
        (("7", "--style", "mini"), "7 pages, mini: 1 blank: page 8"),
        (("9", "--style", "mini", "--poster"), "9 pages, mini: no blanks"),
        (("9", "--style", "accordion"), "9 pages, accordion: 1 blank: page 10"),
        (("5", "--style", "accordion", "--sides", "1"), "5 pages, accordion: no blanks"),
        (("5", "--style", "accordion", "--panels", "4"), "5 pages, accordion: 3 blanks: pages 6–8"),
        (("5", "--style", "letter"), "5 pages, letter: 1 blank: page 6"),
        (("5", "--style", "flat"), "5 pages, flat: 1 blank: page 6"),
    ],
)
def test_leaflets_and_cards_are_counted_out(arguments, first):
    result = run(*arguments)
    assert result.exit_code == 0
    assert result.output.splitlines()[0] == first


def test_other_leaflets_for_the_same_pages_are_offered():
    facts = json.loads(run("8", "--style", "mini", "--json").output)
    offered = [(count["style"], len(count["blanks"])) for count in facts["alternatives"]]
    assert ("accordion", 0) in offered
    assert ("saddle", 0) in offered
    assert not {"letter", "gate", "french", "mini"} & {style for style, _ in offered}
    assert [blanks for _, blanks in offered] == sorted(blanks for _, blanks in offered)


def test_cards_share_sheets():
    """Ten sides on five cards, three a side: two sheets, one place empty."""
    facts = json.loads(run("10", "--style", "flat", "--pieces", "3", "--json").output)["asked"]
    assert (facts["pieces"], facts["sheets"], facts["empty_places"]) == (5, 2, 1)


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("10", "--style", "mini"), "a mini zine has 8 pages, one on each of its 8 panels"),
        (("8", "--style", "mini", "--poster"), "page 9 is the poster"),
        (("8", "--panels", "4"), "go with leaflets"),
        (("8", "--style", "letter", "--pieces-per-signature", "2"), "a leaflet or card nests nothing"),
    ],
)
def test_what_a_form_has_no_room_or_use_for_is_told(arguments, why):
    result = run(*arguments)
    assert result.exit_code == 2
    assert why in " ".join(result.output.split())
