"""A shop.toml in, the studio's machine, papers and inks out; or all its faults together."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any, get_args

from imposer.data.paper_weights import USUAL_BULK, caliper
from imposer.data.papers import NAMED_WITHIN
from imposer.data.templates import templates_folder
from imposer.errors import Fault, ImposerError
from imposer.geometry import Size
from imposer.job.check_file import read_limits
from imposer.job.measured_overprints import read_overprints
from imposer.job.model import Drift, Grain, Ink, LeadEdge, Machine, Margins, Overs, Paper, Shop, Stock
from imposer.job.toml_file import read_toml
from imposer.job.toml_reader import TomlTable
from imposer.job.values import (
    LONGEST_NAME,
    BadValue,
    colour,
    flag,
    lab,
    length,
    number,
    one_of,
    percent,
    shown,
    size,
    text,
    weight,
    whole,
)
from imposer.limits import LIMITS, Limits, ranges
from imposer.nearest import did_you_mean, plain
from imposer.units import show

#: What a sheet may measure, mm: from A7 class, smaller than any machine feeds, to a large poster.
SHEET_LIMITS = (70.0, 1500.0)

_LEAD = one_of(get_args(LeadEdge))
_NAME = text(LONGEST_NAME)


def load_shop(path: str | Path | None = None) -> Shop:
    """Read a shop file; left out, the example shop that ships with the program.

    Raises:
        ImposerError: the file cannot be read, or has faults; all of them together.
    """
    shop, faults = read_shop(example_shop() if path is None else Path(path))
    if faults:
        raise ImposerError(faults)
    return shop


def example_shop() -> Path:
    """Return the shop file that ships with the program, which a job has that names none."""
    return templates_folder() / "shop.toml"


def read_shop(file: Path) -> tuple[Shop, list[Fault]]:
    """Return the shop as far as it can be read, and its faults; what is at fault has a stand-in or is left out.

    A name that cannot be read is "", so that whoever looks a name up can tell "not there" from "perhaps there".

    Raises:
        ImposerError: the file cannot be read at all.
    """
    root = TomlTable(read_toml(file), file=file)
    machine_table = root.table("machine")
    machine = _machine(machine_table)
    leads = _leads(machine_table)
    papers = _papers(root.tables("paper", "give at least one [[paper]] with its name, weight and sizes"), leads)
    inks = _inks(root.tables("ink", "give at least one [[ink]] with its name and colour"))
    overprints = read_overprints(root, inks)
    # Prices of masters and work are read by the quote alone; until then whatever stands here is let pass unread.
    root.table("costs").names()
    check = read_limits(root.table("check"))
    approval = root.table("approval").get("required", flag, False)
    limits = _limits(root.table("limits"))
    _refuse_no_room(machine_table, machine)
    root.done()
    return (
        Shop(
            file=file,
            machine=machine,
            papers=papers,
            inks=inks,
            overprints=overprints,
            check=check,
            limits=limits,
            approval_required=approval,
        ),
        root.faults,
    )


def _machine(table: TomlTable) -> Machine:
    largest = table.need("largest_sheet", size(*SHEET_LIMITS), Size(297, 420), 'give a size such as "A3"')
    usual = Machine(largest_sheet=largest)
    return Machine(
        drums=table.get("drums", whole(1, 8), usual.drums),
        largest_sheet=_portrait(largest),
        margins=_margins(table.table("margins")),
        careful=table.get("careful", length(0, 100), usual.careful),
        roller_track=table.get("roller_track", length(0, 500), usual.roller_track),
        drift=_drift(table.table("drift")),
        overs=_overs(table.table("overs")),
    )


def _drift(table: TomlTable) -> Drift:
    wander, usual = length(0, 20), Drift()
    return Drift(
        same_pass=table.get("same_pass", wander, usual.same_pass),
        between_passes=table.get("between_passes", wander, usual.between_passes),
        sides=table.get("sides", wander, usual.sides),
        turn=table.get("turn", length(0, 10), usual.turn),
    )


def _margins(table: TomlTable) -> Margins:
    edge, usual = length(0, 50), Margins()
    return Margins(
        lead=table.get("lead", edge, usual.lead),
        tail=table.get("tail", edge, usual.tail),
        sides=table.get("sides", edge, usual.sides),
    )


def _overs(table: TomlTable) -> Overs:
    sheets, usual = whole(0, 10_000), Overs()
    return Overs(
        run=table.get("run", percent, usual.run),
        each_pass=table.get("each_pass", percent, usual.each_pass),
        finishing=table.get("finishing", percent, usual.finishing),
        finishing_least=table.get("finishing_least", sheets, usual.finishing_least),
        least=table.get("least", sheets, usual.least),
        scrap=table.get("scrap", sheets, usual.scrap),
    )


def _limits(table: TomlTable) -> Limits:
    """Return what artwork may cost; every figure may be stated, each within a range of its own."""
    found: dict[str, Any] = {}
    for name, (least, most) in ranges().items():
        usual = getattr(LIMITS, name)
        parse = whole(int(least), int(most)) if isinstance(usual, int) else number(least, most)
        found[name] = table.get(name, parse, usual)
    limits = Limits(**found)
    if limits.page_side_least > limits.page_side_most:
        problem = f"{limits.page_side_least:g} is more than page_side_most, {limits.page_side_most:g}"
        table.fault("page_side_least", problem, "make it less")
    return limits


def _leads(machine: TomlTable) -> list[tuple[Size | None, LeadEdge]]:
    """Return which edge leads for each size; None stands for every other size and comes last."""
    if not isinstance(machine.raw("lead"), dict):
        return [(None, machine.get("lead", _LEAD, "short edge"))]
    table = machine.table("lead")
    default: LeadEdge = table.get("default", _LEAD, "short edge")
    leads = [(named, table.get(key, _LEAD, default)) for key, named in _sizes(table, "default").items()]
    return [*leads, (None, default)]


def _papers(tables: tuple[TomlTable, ...], leads: list[tuple[Size | None, LeadEdge]]) -> tuple[Paper, ...]:
    papers = tuple(_paper(table, leads) for table in tables)
    taken: dict[str, str] = {}
    for table, paper in zip(tables, papers, strict=True):
        _take(taken, table, "name", [paper.name])
    return papers


def _inks(tables: tuple[TomlTable, ...]) -> tuple[Ink, ...]:
    inks = tuple(_ink(table) for table in tables)
    taken: dict[str, str] = {}
    for table, ink in zip(tables, inks, strict=True):
        _take(taken, table, "name", [ink.name])
        _take(taken, table, "also", ink.also)
    return inks


def _paper(table: TomlTable, leads: list[tuple[Size | None, LeadEdge]]) -> Paper:
    grammage = table.need("weight", weight, 80.0, 'give g/m², or pounds such as "60 lb text"')
    return Paper(
        name=table.need("name", _NAME, "", "every paper needs a name of its own"),
        weight=grammage,
        caliper=_caliper(table, grammage),
        colour=table.get("colour", colour, "#ffffff"),
        stocks=_stocks(table, leads),
        grain=table.get("grain", one_of(get_args(Grain)), None),
    )


def _caliper(table: TomlTable, grammage: float) -> float:
    measured = table.get("caliper", length(0.02, 2), None)
    bulk = table.get("bulk", number(0.5, 3, "cm³/g"), USUAL_BULK)
    if table.has("caliper") and table.has("bulk"):
        table.fault("bulk", "the paper states both caliper and bulk", "keep one; caliper is what was measured")
    return caliper(grammage, bulk) if measured is None else measured


def _stocks(paper: TomlTable, leads: list[tuple[Size | None, LeadEdge]]) -> tuple[Stock, ...]:
    table = paper.table("sizes")
    if paper.raw("sizes") in (None, {}):
        paper.fault("sizes", "missing", "give the price of a sheet of each size, such as { A3 = 0.06 }")
    price = number(0, 10_000)
    return tuple(
        Stock(
            name=" ".join(key.split()), size=measured, price=table.get(key, price, 0.0), lead=_lead_of(measured, leads)
        )
        for key, measured in _sizes(table).items()
    )


def _ink(table: TomlTable) -> Ink:
    return Ink(
        name=table.need("name", _NAME, "", "every ink needs a name of its own"),
        also=table.get("also", _names, ()),
        colour=table.need("colour", colour, "#000000", 'give full tone on white paper, such as "#2a2a2e"'),
        lab=table.get("lab", lab, None),
        gain=table.get("gain", number(-0.5, 0.5), None),
        opacity=table.get("opacity", number(0, 1), None),
    )


def _names(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise BadValue(f"{shown(value)} is not a list of names", 'write it as ["black", "k"]')
    return tuple(map(_NAME, value))


def _sizes(table: TomlTable, *others: str) -> dict[str, Size]:
    """Return the portrait sizes that a table's keys name, by key; no size twice. `others` are keys that name none."""
    found: dict[str, Size] = {}
    for key in table.names():
        if key in others:
            continue
        try:
            measured = _portrait(size(*SHEET_LIMITS)(key))
        except BadValue as bad:
            table.fault(key, bad.problem, did_you_mean(key, others, bad.mend))
            continue
        twin = next((name for name, other in found.items() if other.close_to(measured, NAMED_WITHIN)), None)
        if twin:
            table.fault(key, f"the same size as {shown(twin)}", "keep one of them")
        else:
            found[key] = measured
    return found


def _portrait(measured: Size) -> Size:
    return measured.landscape.turned


def _lead_of(measured: Size, leads: list[tuple[Size | None, LeadEdge]]) -> LeadEdge:
    return next(lead for named, lead in leads if named is None or named.close_to(measured, NAMED_WITHIN))


def _take(taken: dict[str, str], table: TomlTable, key: str, names: Iterable[str]) -> None:
    """Note down a paper's or an ink's names; one that an earlier table bears is a fault."""
    for name in names:
        first = taken.setdefault(plain(name), table.path)
        if name and first != table.path:
            table.fault(key, f"{shown(name)} is a name of {first} already", "give each a name of its own")


def _refuse_no_room(table: TomlTable, machine: Machine) -> None:
    margins, room = machine.margins, machine.largest_sheet.width
    for together, words in ((margins.lead + margins.tail, "lead and tail"), (2 * margins.sides, "both sides")):
        if together >= room:
            table.fault(
                "margins",
                f"{words} together are {show(together)} mm, of a sheet of {show(room)} mm",
                "leave room to print on",
            )
