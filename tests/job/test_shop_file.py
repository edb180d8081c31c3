"""What a studio has: the machine, the papers and the inks of a shop.toml."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from imposer.data.paper_weights import grams
from imposer.geometry import Size
from imposer.ink.colour import lab_from_rec2020, rec2020_from_srgb8
from imposer.job import load_shop
from imposer.job.model import Drift, Ink, JobInk, Machine, Margins, Overprint, Overs, Paper, Stock
from imposer.limits import LIMITS, ranges
from imposer.pages.tone_survey import differences, machine_drift
from tests.job.files import SHOP, changed, faults_of
from tests.jobs import a_job

SMALL = """\
[machine]
largest_sheet = "A3"
[[paper]]
name = "cream 90"
weight = 90
sizes = { A3 = 0.06 }
[[ink]]
name = "lamp black"
colour = "#2a2a2e"
"""


def shop_of(folder, content=SHOP):
    file = folder / "shop.toml"
    file.write_text(content, encoding="utf-8")
    return load_shop(file)


def faults(folder, content):
    return faults_of(folder, lambda: shop_of(folder, content))


# ---------------------------------------------------------------- what is read


def test_the_shop_of_the_contract_is_read_whole(tmp_path):
    shop = shop_of(tmp_path)
    assert shop.file == tmp_path / "shop.toml"
    assert shop.machine == Machine(
        drums=2,
        largest_sheet=Size(297, 420),
        margins=Margins(lead=5, tail=2, sides=3),
        careful=10,
        roller_track=60,
        drift=Drift(same_pass=0.5, between_passes=1, sides=2),
        overs=Overs(),
    )
    assert shop.papers == (
        Paper(
            name="cream 90",
            weight=90,
            caliper=0.11,
            colour="#f4ecd8",
            stocks=(
                Stock(name="A3", size=Size(297, 420), price=0.06, lead="short edge"),
                Stock(name="A4", size=Size(210, 297), price=0.03, lead="short edge"),
            ),
        ),
    )
    assert shop.inks == (
        Ink(name="lamp black", also=("black", "k"), colour="#2a2a2e"),
        Ink(name="marigold", colour="#eba52c"),
    )


def test_a_turn_of_passes_is_read_and_reaches_the_trials_as_half_of_it_in_radians(tmp_path):
    """The shop states two standard deviations, mm in 100 mm."""
    written = "drift = { same_pass = 0.5, between_passes = 1.0, sides = 2.0 }"
    text = SHOP.replace(written, written.replace(" }", ", turn = 0.4 }"))
    shop = shop_of(tmp_path, text)
    assert shop.machine.drift == Drift(same_pass=0.5, between_passes=1, sides=2, turn=0.4)
    drift = machine_drift(replace(a_job(), shop=shop))
    assert (drift.same_pass, drift.between_passes, drift.turn) == (0.25, 0.5, pytest.approx(0.002))


def test_what_is_left_out_has_its_default(tmp_path):
    shop = shop_of(tmp_path, SMALL)
    assert shop.machine == Machine(largest_sheet=Size(297, 420))
    (paper,) = shop.papers
    # Common practice, no source: 1.25 µm for every g/m².
    assert (paper.caliper, paper.colour) == (pytest.approx(0.1125), "#ffffff")
    assert shop.inks[0].also == ()


def test_margins_may_be_stated_in_part(tmp_path):
    margins = shop_of(
        tmp_path, changed(SHOP, ("{ lead = 5, tail = 2, sides = 3 }", '{ tail = "0.25 in" }'))
    ).machine.margins
    assert margins == Margins(lead=5, tail=6.35, sides=3)


def test_overs_are_percentages_and_sheets(tmp_path):
    overs = shop_of(
        tmp_path, SHOP + '[machine.overs]\nrun = "2.5 %"\neach_pass = 4\nleast = 0\nscrap = 5\n'
    ).machine.overs
    assert overs == Overs(run=2.5, each_pass=4, least=0, scrap=5)


def test_caliper_may_be_stated_by_bulk(tmp_path):
    # Worked: 90 g/m² at 1.3 cm³/g is 117 µm.
    (paper,) = shop_of(tmp_path, changed(SHOP, ("caliper = 0.11", "bulk = 1.3"))).papers
    assert paper.caliper == pytest.approx(0.117)


def test_weight_may_be_stated_in_pounds(tmp_path):
    (paper,) = shop_of(tmp_path, changed(SHOP, ("weight = 90", 'weight = "60 lb text"'))).papers
    assert paper.weight == grams(60, "text")


def test_sheets_are_kept_standing_and_called_as_written(tmp_path):
    sizes = 'sizes = { ledger = 1, "320 x 225 mm" = 2, " half  letter" = 3 }'
    (paper,) = shop_of(tmp_path, changed(SHOP, ("sizes = { A3 = 0.06, A4 = 0.03 }", sizes))).papers
    assert [(stock.name, stock.size.width, stock.size.height, stock.price) for stock in paper.stocks] == [
        ("ledger", 279.4, 431.8, 1),
        ("320 x 225 mm", 225, 320, 2),
        ("half letter", 139.7, 215.9, 3),
    ]


def test_the_leading_edge_may_differ_by_size(tmp_path):
    lead = 'lead = { "297 x 210 mm" = "long edge", default = "short edge" }'
    (paper,) = shop_of(tmp_path, changed(SHOP, ('lead = "short edge"', lead))).papers
    assert [stock.lead for stock in paper.stocks] == ["short edge", "long edge"]


def test_every_other_size_leads_with_the_default_edge(tmp_path):
    lead = 'lead = { A4 = "short edge", default = "long edge" }'
    (paper,) = shop_of(tmp_path, changed(SHOP, ('lead = "short edge"', lead))).papers
    assert [stock.lead for stock in paper.stocks] == ["long edge", "short edge"]


def test_costs_are_let_pass_unread(tmp_path):
    assert shop_of(tmp_path, SHOP + "master = 0.4\npaper_cut = { each = 2 }\n")


def test_measured_overprints_are_read_under_the_shops_own_names(tmp_path):
    text = '[[overprint]]\ninks = ["Marigold", "K"]\ncolour = "#3a2a1e"\nlab = [20, 5, 10.5]\n'
    assert shop_of(tmp_path, SHOP + text).overprints == (
        Overprint(inks=("marigold", "lamp black"), colour="#3a2a1e", lab=(20.0, 5.0, 10.5)),
    )
    only = shop_of(tmp_path, SHOP + text.replace('colour = "#3a2a1e"\n', "")).overprints
    assert [each.lab for each in only] == [(20.0, 5.0, 10.5)]
    assert shop_of(tmp_path, SHOP).overprints == ()


def test_a_measured_overprint_reaches_the_trials_of_drift(tmp_path):
    """An overprint that looks just like one of its inks: whether the other lies there makes no difference in colour."""
    job = a_job(inks=("rose", "marigold"))
    colours = [Ink(name="rose", colour="#dd6d8b"), Ink(name="marigold", colour="#eba52c")]
    job = replace(job, inks=tuple(JobInk(ink=ink, pages=("*.png",)) for ink in colours))
    paper = replace(job.sheet.paper, colour="#ffffff")
    job = replace(job, sheet=replace(job.sheet, paper=paper))
    names = ("rose", "marigold")
    assert differences(job, names)[0b11, 0b01] > 5
    measured = (Overprint(inks=names, colour="#dd6d8b"),)
    assert differences(replace(job, shop=replace(job.shop, overprints=measured)), names)[0b11, 0b01] < 0.01


# ---------------------------------------------------------------- faults

BOTH = '[[overprint]]\ninks = ["lamp black", "marigold"]\ncolour = "#3a2a1e"\n'
OVERPRINT_MEND = 'name two or more inks of this shop, such as ["marigold", "rose"]'
OVERPRINT_FAULTS = {
    "an unknown ink": (
        BOTH.replace("marigold", "marigild"),
        'overprint[1].inks: "marigild" is not an ink of this shop; did you mean "marigold"?',
    ),
    "an ink like none": (
        BOTH.replace("marigold", "teal"),
        'overprint[1].inks: "teal" is not an ink of this shop; the inks of this shop are lamp black, marigold',
    ),
    "the same inks twice": (
        BOTH + BOTH.replace('"lamp black", "marigold"', '"marigold", "k"'),
        "overprint[2].inks: overprint[1] has these inks already; keep one of them",
    ),
    "one ink": (
        BOTH.replace('"lamp black", ', ""),
        'overprint[1].inks: names "marigold" alone; {MEND}; the colour of one alone stands under its [[ink]]',
    ),
    "no ink": (
        BOTH.replace('"lamp black", "marigold"', ""),
        "overprint[1].inks: names no ink; {MEND}; the colour of one alone stands under its [[ink]]",
    ),
    "one ink under two names": (
        BOTH.replace("marigold", "black"),
        'overprint[1].inks: ["lamp black", "black"] names an ink twice; name each once',
    ),
    "inks in words": (
        BOTH.replace('["lamp black", "marigold"]', '"marigold"'),
        'overprint[1].inks: "marigold" is not a list of inks; {MEND}',
    ),
    "inks left out": (BOTH.replace('inks = ["lamp black", "marigold"]\n', ""), "overprint[1].inks: missing; {MEND}"),
    "no colour": (
        BOTH.replace('colour = "#3a2a1e"\n', ""),
        'overprint[1].colour: missing; give full tone on white paper, such as "#c8553a", or lab as measured',
    ),
    "a colour by name": (
        BOTH.replace("#3a2a1e", "brown"),
        'overprint[1].colour: "brown" is not a colour; write # and six digits of 0-9 a-f, such as "#2a2a2e"',
    ),
    "a lab of two": (
        BOTH + "lab = [20, 5]\n",
        "overprint[1].lab: [20, 5] is not a measured colour; give L*, a* and b* (D50), such as [52.1, 60.0, 8.5]",
    ),
    "a key unknown": (
        BOTH + "paper = 1\n",
        "overprint[1].paper: unknown key; the keys known here are inks, colour, lab",
    ),
    "single brackets": (
        BOTH.replace("[[overprint]]", "[overprint]"),
        "overprint: this is one table, not a list of tables; write [[overprint]] with two brackets",
    ),
}


@pytest.mark.parametrize(("text", "line"), OVERPRINT_FAULTS.values(), ids=OVERPRINT_FAULTS)
def test_a_fault_of_an_overprint_is_one_plain_line(tmp_path, text, line):
    assert faults(tmp_path, SHOP + text) == ["shop.toml: " + line.replace("{MEND}", OVERPRINT_MEND)]


def test_an_overprint_of_an_ink_without_name_is_not_told_twice(tmp_path):
    told = faults(tmp_path, changed(SHOP, ('name = "marigold"\n', "")) + BOTH)
    assert told == ["shop.toml: ink[2].name: missing; every ink needs a name of its own"]


FAULTS = {
    "a number of drums": (("drums = 2", "drums = 0"), "machine.drums: 0 is too small: the least is 1"),
    "no largest sheet": (
        ('largest_sheet = "A3"\n', ""),
        'machine.largest_sheet: missing; give a size such as "A3"',
    ),
    "an unknown largest sheet": (
        ('largest_sheet = "A3"', 'largest_sheet = "A33"'),
        'machine.largest_sheet: "A33" is not a size known here; did you mean "A3"?',
    ),
    "an unknown edge": (
        ('lead = "short edge"', 'lead = "shrt edge"'),
        'machine.lead: "shrt edge" is none of "short edge", "long edge"; did you mean "short edge"?',
    ),
    "an edge that is no word": (
        ('lead = "short edge"', "lead = 1"),
        'machine.lead: 1 is none of "short edge", "long edge"; write one of them, in quotes',
    ),
    "a misspelt default edge": (
        ('lead = "short edge"', 'lead = { defualt = "long edge" }'),
        'machine.lead.defualt: "defualt" is not a size known here; did you mean "default"?',
    ),
    "two edges for one size": (
        ('lead = "short edge"', 'lead = { A4 = "long edge", "297 x 210" = "short edge" }'),
        'machine.lead."297 x 210": the same size as "A4"; keep one of them',
    ),
    "a wrong edge of a size": (
        ('lead = "short edge"', 'lead = { A4 = "long" }'),
        'machine.lead.A4: "long" is none of "short edge", "long edge"; write one of them',
    ),
    "a negative margin": (("tail = 2", "tail = -2"), "machine.margins.tail: -2 mm is too small: the least is 0 mm"),
    "a wide margin": (("tail = 2", 'tail = "5 in"'), 'machine.margins.tail: "5 in" is too large: the most is 50 mm'),
    "an unknown margin": (
        ("tail = 2", "tial = 2"),
        'machine.margins.tial: unknown key; did you mean "tail"?',
    ),
    "margins that are no table": (
        ("{ lead = 5, tail = 2, sides = 3 }", "5"),
        "machine.margins: 5 is not a table; write it under [machine.margins]",
    ),
    "a careful band": (("careful = 10", 'careful = "wide"'), 'machine.careful: "wide" is not a length; {LENGTH}'),
    "an endless track": (
        ("roller_track = 60", "roller_track = inf"),
        "machine.roller_track: inf is not a number that can be measured; {LENGTH}",
    ),
    "a drift": (
        ("between_passes = 1.0", "between_passes = true"),
        "machine.drift.between_passes: true is not a number; {LENGTH}",
    ),
    "an unknown key of the machine": (
        ("careful = 10", "carefull = 10"),
        'machine.carefull: unknown key; did you mean "careful"?',
    ),
    "no name of a paper": (('name = "cream 90"\n', ""), "paper[1].name: missing; every paper needs a name of its own"),
    "a paper without weight": (
        ("weight = 90\n", ""),
        'paper[1].weight: missing; give g/m², or pounds such as "60 lb text"',
    ),
    "a weight without grade": (
        ("weight = 90", 'weight = "60 lb"'),
        'paper[1].weight: "60 lb" is not a weight; {WEIGHT}',
    ),
    "a caliper in micrometres": (
        ("caliper = 0.11", "caliper = 110"),
        "paper[1].caliper: 110 mm is too large: the most is 2 mm",
    ),
    "caliper and bulk": (
        ("caliper = 0.11", "caliper = 0.11\nbulk = 1.3"),
        "paper[1].bulk: the paper states both caliper and bulk; keep one; caliper is what was measured",
    ),
    "a bulk of volume": (
        ("caliper = 0.11", "bulk = 15"),
        "paper[1].bulk: 15 is too large: the most is 3 cm³/g",
    ),
    "a colour by name": (
        ("#f4ecd8", "cream"),
        'paper[1].colour: "cream" is not a colour; write # and six digits of 0-9 a-f, such as "#2a2a2e"',
    ),
    "no sizes": (
        ("sizes = { A3 = 0.06, A4 = 0.03 }\n", ""),
        "paper[1].sizes: missing; give the price of a sheet of each size, such as {{ A3 = 0.06 }}",
    ),
    "empty sizes": (
        ("{ A3 = 0.06, A4 = 0.03 }", "{}"),
        "paper[1].sizes: missing; give the price of a sheet of each size, such as {{ A3 = 0.06 }}",
    ),
    "sizes that are a list": (
        ("{ A3 = 0.06, A4 = 0.03 }", '["A3", "A4"]'),
        'paper[1].sizes: ["A3", "A4"] is not a table; write it under [paper[1].sizes]',
    ),
    "an unknown size": (
        ("A4 = 0.03", "tabliod = 0.03"),
        'paper[1].sizes.tabliod: "tabliod" is not a size known here; did you mean "tabloid"?',
    ),
    "a size twice": (
        ("A4 = 0.03", '"420 x 297 mm" = 0.05'),
        'paper[1].sizes."420 x 297 mm": the same size as "A3"; keep one of them',
    ),
    "a small sheet": (
        ("A4 = 0.03", "A8 = 0.01"),
        'paper[1].sizes.A8: 52 mm of "A8" is too small: the least is 70 mm; a size without a unit is in mm',
    ),
    "a negative price": (("A4 = 0.03", "A4 = -0.03"), "paper[1].sizes.A4: -0.03 is too small: the least is 0"),
    "a price in words": (
        ("A4 = 0.03", 'A4 = "cheap"'),
        'paper[1].sizes.A4: "cheap" is not a number; give a number, without quotes',
    ),
    "no name of an ink": (('name = "marigold"\n', ""), "ink[2].name: missing; every ink needs a name of its own"),
    "no colour of an ink": (
        ('colour = "#eba52c"\n', ""),
        'ink[2].colour: missing; give full tone on white paper, such as "#2a2a2e"',
    ),
    "other names in words": (
        ('["black", "k"]', '"black"'),
        'ink[1].also: "black" is not a list of names; write it as ["black", "k"]',
    ),
    "other names of numbers": (('["black", "k"]', "[1]"), "ink[1].also: 1 is not text; put text in quotes"),
    "a name twice": (
        ('name = "marigold"', 'name = "Lamp  Black"'),
        'ink[2].name: "Lamp  Black" is a name of ink[1] already; give each a name of its own',
    ),
    "another ink's other name": (
        ('name = "marigold"', 'name = "marigold"\nalso = ["K"]'),
        'ink[2].also: "K" is a name of ink[1] already; give each a name of its own',
    ),
    "a paper twice": (
        ('[[ink]]\nname = "lamp', '[[paper]]\nname = "CREAM 90"\nweight = 80\nsizes.A4 = 1\n[[ink]]\nname = "lamp'),
        'paper[2].name: "CREAM 90" is a name of paper[1] already; give each a name of its own',
    ),
    "one ink in single brackets": (
        ('[[ink]]\nname = "lamp black"', '[[inks]]\nname = "lamp black"'),
        'inks: unknown key; did you mean "ink"?',
    ),
    "a limit of nothing": (("[costs]", "[limits]\npages = 0"), "limits.pages: 0 is too small: the least is 1"),
    "a limit beyond what the library holds": (
        ("[costs]", "[limits]\nstream_bytes = 9_000_000_000"),
        "limits.stream_bytes: 9000000000 is too large: the most is 4294967295",
    ),
    "a limit in words": (
        ("[costs]", '[limits]\nimage_pixels = "400 million"'),
        'limits.image_pixels: "400 million" is not a whole number; give one from 10000 to 4000000000, without quotes',
    ),
    "an unknown limit": (
        ("[costs]", "[limits]\nimage_pixel = 400_000_000"),
        'limits.image_pixel: unknown key; did you mean "image_pixels"?',
    ),
    "a least side above the most": (
        ("[costs]", "[limits]\npage_side_least = 500\npage_side_most = 100"),
        "limits.page_side_least: 500 is more than page_side_most, 100; make it less",
    ),
    "an unknown table": (
        ("[costs]", "[machines]"),
        'machines: unknown key; did you mean "machine"?',
    ),
}
WEIGHT = 'give g/m², or pounds with the grade such as "60 lb text", "20 lb bond", "80 lb cover"'
LENGTH = 'give mm, or a number with its unit such as "3 mm", "0.125 in" or "9 pt"'


@pytest.mark.parametrize(("change", "line"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_one_plain_line(tmp_path, change, line):
    assert faults(tmp_path, changed(SHOP, change)) == ["shop.toml: " + line.format(LENGTH=LENGTH, WEIGHT=WEIGHT)]


def test_margins_leave_room_to_print(tmp_path):
    small = changed(
        SHOP, ('largest_sheet = "A3"', 'largest_sheet = "74 x 105 mm"'), ("lead = 5, tail = 2", "lead = 40, tail = 34")
    )
    assert faults(tmp_path, small) == [
        "shop.toml: machine.margins: lead and tail together are 74 mm, of a sheet of 74 mm; leave room to print on"
    ]


def test_an_empty_file_says_all_that_a_shop_needs(tmp_path):
    assert faults(tmp_path, "") == [
        "shop.toml: paper: missing; give at least one [[paper]] with its name, weight and sizes",
        "shop.toml: ink: missing; give at least one [[ink]] with its name and colour",
        'shop.toml: machine.largest_sheet: missing; give a size such as "A3"',
    ]


def test_all_faults_are_told_together(tmp_path):
    lines = faults(
        tmp_path, changed(SHOP, ("drums = 2", "drums = 99"), ("weight = 90", "weight = 9"), ("#eba52c", "gold"))
    )
    assert [line.split(": ")[1] for line in lines] == ["machine.drums", "paper[1].weight", "ink[2].colour"]


# ---------------------------------------------------------------- the example


def test_every_limit_may_be_stated(tmp_path):
    for name, (least, most) in ranges().items():
        assert least <= getattr(LIMITS, name) <= most
        for value in (least, most):
            text = f"[limits]\n{name} = {value}\n"
            if name == "page_side_least":
                text += "page_side_most = 14_400\n"
            if name == "page_side_most":
                text += "page_side_least = 3\n"
            assert getattr(shop_of(tmp_path, SHOP + text).limits, name) == value


def test_limits_left_out_are_the_usual_ones(tmp_path):
    assert shop_of(tmp_path, SHOP).limits == LIMITS
    assert shop_of(tmp_path, SHOP + "[limits]\npages = 64\n").limits == replace(LIMITS, pages=64)


def test_the_example_shop_states_every_limit_as_it_is():
    """They stand there as remarks: what is read if they are made keys is what holds without them."""
    text = (Path(__file__).parents[2] / "templates" / "shop.toml").read_text(encoding="utf-8")
    table = text[text.index("# [limits]") :]
    stated = tomllib.loads("\n".join(line.removeprefix("# ") for line in table.splitlines()))["limits"]
    assert stated == {name: getattr(LIMITS, name) for name in ranges()}


def test_the_example_shops_remark_on_overprints_is_a_sound_table(tmp_path):
    text = (Path(__file__).parents[2] / "templates" / "shop.toml").read_text(encoding="utf-8")
    remark = text[text.index("# [[overprint]]") : text.index("[approval]")]
    keys = "\n".join(line.removeprefix("# ") for line in remark.splitlines())
    (found,) = shop_of(tmp_path, text + "\n" + keys).overprints
    assert (found.inks, found.colour) == (("marigold", "rose"), "#c8553a")
    # The lab of the remark is the same colour, to what a colour code tells.
    assert np.abs(lab_from_rec2020(rec2020_from_srgb8([0xC8, 0x55, 0x3A])) - [51.4, 45.6, 39.2]).max() < 1


def test_the_example_shop_is_sound():
    shop = load_shop()
    assert shop.file == Path(__file__).parents[2] / "templates" / "shop.toml"
    assert shop.machine.drums == 2
    assert shop.machine.margins == Margins(lead=5, tail=2, sides=3)
    assert shop.machine.overs == Overs()
    assert [paper.name for paper in shop.papers] == ["white 80", "cream 90", "grey 100", "straw cover 160"]
    assert 6 <= len(shop.inks) <= 8


def test_every_sheet_of_the_example_shop_goes_into_its_machine():
    shop = load_shop()
    largest = shop.machine.largest_sheet
    names = set()
    for paper in shop.papers:
        for stock in paper.stocks:
            assert stock.size.width <= largest.width
            assert stock.size.height <= largest.height
            names.add(stock.name)
    assert names == {"A3", "A4", "tabloid", "letter"}


def test_the_example_shop_explains_every_table():
    lines = (Path(__file__).parents[2] / "templates" / "shop.toml").read_text(encoding="utf-8").splitlines()
    for heading in ("[machine]", "[machine.overs]", "[[paper]]", "[[ink]]"):
        above = lines[: lines.index(heading)]
        while above and not above[-1]:
            above.pop()
        assert above[-1].startswith("#"), heading
    assert not [line for line in lines if re.search(r"\s$", line) or len(line) > 120]
