"""Passes, drums, masters: the facts of the trade, and the sums of the handbook tables."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.plan.counts import drum_changes, overs_of
from imposer.plan.model import Pass
from imposer.plan.passes import inked_sides, master_file, plan_passes
from imposer.sheet.impose import impose
from tests.jobs import a_job


def planned(job, pages, printing):
    imposition = impose(job, pages)
    return plan_passes(job, imposition, inked_sides(imposition, printing))


def everywhere(job, pages):
    return {(page, ink): True for page in range(1, pages + 1) for ink in job.ink_names}


@pytest.mark.parametrize(("inks", "passes"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3)])
def test_two_inks_go_in_one_pass_and_three_or_four_need_two(inks, passes):
    """Common practice, no source: a machine of two drums prints two inks at once."""
    job = a_job(inks=[f"ink {i}" for i in range(inks)])
    plan = planned(job, 8, everywhere(job, 8))
    assert plan.counts.passes == 2 * passes


@pytest.mark.parametrize(
    ("sheets", "inks", "drums", "masters", "passes_a_sheet", "runs"),
    [(4, 1, 2, 8, 2, 8), (4, 2, 2, 16, 2, 8), (4, 3, 2, 24, 4, 16), (8, 4, 2, 64, 4, 32), (4, 2, 1, 16, 4, 16)],
)
def test_masters_are_inks_times_sides_times_sheets(sheets, inks, drums, masters, passes_a_sheet, runs):
    """Worked from masters = inks × sides × sheets, passes a side = inks over drums, rounded up."""
    job = a_job(trim=(195, 275), inks=[f"ink {i}" for i in range(inks)], drums=drums)
    plan = planned(job, 4 * sheets, everywhere(job, 4 * sheets))
    assert plan.counts.masters == masters
    assert plan.counts.passes == passes_a_sheet
    assert sum(len(p.sheets) for p in plan.passes) == runs


def test_an_ink_on_the_outer_spread_alone_takes_one_master():
    """Common practice, no source: 16 pages A5, second ink on pages 1 and 16 only: one master, a dot or a flood."""
    job = a_job(inks=("black", "red"))
    black = {(page, "black"): True for page in range(1, 17)}
    for pages, masters in (((1, 16), 1), ((2, 15), 1), ((1, 2), 2)):
        plan = planned(job, 16, black | {(page, "red"): True for page in pages})
        assert sum(len(m.sheets) for p in plan.passes for m in p.masters if m.ink == "red") == masters


def test_twelve_pages_in_two_inks_take_eight_masters_two_up():
    """Common practice, no source: 12 pages A5, two inks, A3: 3 pieces on 2 sheets."""
    job = a_job(inks=("black", "red"))
    assert planned(job, 12, everywhere(job, 12)).counts.masters == 8


def test_blank_masters_and_empty_passes_are_dropped():
    job = a_job()
    printing = {(1, "lamp black"): True, (2, "marigold"): True, (3, "brick"): False}
    plan = planned(job, 4, printing)
    assert [(p.number, p.side, p.drums) for p in plan.passes] == [
        (1, "front", ((1, "lamp black"),)),
        (2, "back", ((1, "marigold"),)),
    ]
    assert plan.counts.masters == 2


def test_fronts_run_before_backs_and_inks_in_the_jobs_order():
    job = a_job()
    plan = planned(job, 16, everywhere(job, 16))
    assert [(p.side, [ink for _, ink in p.drums]) for p in plan.passes] == [
        ("front", ["lamp black", "marigold"]),
        ("front", ["brick"]),
        ("back", ["lamp black", "marigold"]),
        ("back", ["brick"]),
    ]
    assert [m.file for m in plan.passes[0].masters] == [
        "masters/pass-1-front-drum-1-lamp-black.pdf",
        "masters/pass-1-front-drum-2-marigold.pdf",
    ]


def test_nothing_printed_makes_no_pass():
    plan = planned(a_job(), 8, {})
    assert plan.passes == ()
    assert plan.counts.masters == 0


@pytest.mark.parametrize(
    ("copies", "pages", "sheet", "trim", "good"),
    [
        (100, 16, "A3", (195, 275), 400),  # one a side: 4 sheets a copy
        (100, 16, "A3", (140, 200), 200),  # two a side: 2 sheets a copy
        (75, 24, "A3", (140, 200), 225),
        (101, 4, "A3", (140, 200), 51),  # one piece twice on a sheet: two copies a set
        (100, 4, "A3", (100, 140), 25),
    ],
)
def test_good_sheets_never_mix_copies_and_sheets(copies, pages, sheet, trim, good):
    """Sheets = copies ÷ copies a set × sheets a set; worked by hand."""
    job = a_job(copies=copies, trim=trim, sheet=sheet)
    counts = planned(job, pages, everywhere(job, pages)).counts
    assert counts.good_sheets == good
    assert any(f"= {good} good sheets" in line for line in counts.formula)


@settings(deadline=None, derandomize=True)
@given(
    copies=st.integers(1, 3000), pages=st.integers(1, 80), trim=st.sampled_from([(195, 275), (140, 200), (100, 140)])
)
def test_enough_sheets_are_counted_for_every_copy(copies, pages, trim):
    job = a_job(copies=copies, trim=trim)
    imposition = impose(job, pages)
    counts = planned(job, pages, everywhere(job, pages)).counts
    pieces = [panel.piece for s in imposition.sheets for panel in s.front.panels if panel.piece]
    for piece in set(pieces):
        per_sheet = pieces.count(piece) // 2
        assert counts.good_per_sheet * per_sheet >= copies
        assert (counts.good_per_sheet - 1) * per_sheet < copies
    assert counts.overs == sum(counts.overs_by_sheet.values()) >= 10 * len(imposition.sheets)


def test_overs_follow_the_stated_rule():
    """Of 120 good in 4 passes: 3 running (2 %), 4 for each further pass (3 %), 4 finishing (3 %); never under 10."""
    rule = a_job().shop.machine.overs
    assert overs_of(120, 4, rule) == 3 + 3 * 4 + 4
    assert overs_of(20, 1, rule) == 10


def test_drum_changes_count_what_is_taken_out():
    def run(number, *inks):
        return Pass(number=number, side="front", drums=tuple(enumerate(inks, 1)), masters=())

    assert drum_changes([run(1, "a", "b"), run(2, "c"), run(3, "a", "b")]) == 2
    assert drum_changes([run(1, "a", "b"), run(2, "a", "b")]) == 0


def test_file_names_of_masters_are_safe_anywhere():
    assert master_file(2, "back", 1, "Été nº1 / 🌹") == "masters/pass-2-back-drum-1-été-nº1.pdf"
    assert master_file(2, "back", 1, "🌹") == "masters/pass-2-back-drum-1-ink.pdf"
    assert ".." not in master_file(1, "front", 1, "../../etc")
