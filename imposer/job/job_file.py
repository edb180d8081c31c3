"""A job.toml in, the job resolved against its shop out; or all faults of both files together."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal, TypeVar, get_args

from imposer.data.papers import NAMED_WITHIN
from imposer.errors import Fault, ImposerError, one_line
from imposer.fold.creases import SINGLE_FOLD
from imposer.fold.model import Scheme, Style
from imposer.geometry import Size
from imposer.job.binding import fold_by_creases, fold_by_id
from imposer.job.check_file import read_acceptances
from imposer.job.form_keys import form_spec
from imposer.job.ink_art import read_art, read_plate
from imposer.job.model import (
    MARK_KINDS,
    BindingSpec,
    Fit,
    Flip,
    Ink,
    Job,
    JobInk,
    LeadEdge,
    Machine,
    MarkKind,
    PageSpec,
    Paper,
    Part,
    PartPages,
    Reading,
    SheetLayout,
    SheetSpec,
    Shop,
    Stock,
)
from imposer.job.parts import check_part, part_pages
from imposer.job.shop_file import SHEET_LIMITS, example_shop, read_shop
from imposer.job.stitch_keys import stitch_spec
from imposer.job.toml_file import beside, is_folder, is_missing, read_toml
from imposer.job.toml_reader import TomlTable
from imposer.job.values import LONGEST_NAME, BadValue, creep, flag, length, one_of, shown, size, spine, text, whole
from imposer.nearest import did_you_mean, plain
from imposer.units import fits, show

Thing = TypeVar("Thing", Ink, Paper)

LONGEST_TITLE = 200
#: A trimmed page, mm: from A10 class to a large poster. Less than this is most often inches written without their unit.
TRIM_LIMITS = (25.0, 1500.0)
MOST_COPIES = 1_000_000
MOST_BLEED = 20.0

#: Where a fault of a part stands.
_PART = re.compile(r"part\[\d+\]\.")


def load_job(path: str | Path) -> Job:
    """Read a job, given its job.toml or the folder that holds it, and the shop it names.

    Raises:
        ImposerError: a file cannot be read, or the files have faults; all of both together.
    """
    file = _job_file(Path(path))
    return job_of(read_toml(file), file)


def job_of(tables: Mapping[str, Any], file: Path) -> Job:
    """Resolve a job whose tables were read, or put together, elsewhere; `file` is what its faults name.

    Raises:
        ImposerError: the job or its shop has faults.
    """
    root = TomlTable(tables, file=file)
    shop, shop_faults = _shop(root)
    _open_questions(root)
    job = _job(root, shop)
    root.done()
    if root.faults or shop_faults:
        raise ImposerError([*_told_once(root.faults), *shop_faults])
    return job


def _told_once(faults: list[Fault]) -> list[Fault]:
    """Leave out what a part only takes over from the job, where it is told already."""
    told = {(fault.place, fault.problem) for fault in faults}
    return [
        fault
        for fault in faults
        if not _PART.match(fault.place) or (_PART.sub("", fault.place), fault.problem) not in told
    ]


def _open_questions(root: TomlTable) -> None:
    """Keep what the intake asked and nobody has answered yet: nothing is built on a guess."""
    none: tuple[str, ...] = ()
    for question in root.get("open_questions", _questions, none):
        root.fault("open_questions", question, "answer it in this file, then take it out of the list")


def _questions(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise BadValue(f"{shown(value)} is not a list of questions", "leave it out")
    return tuple(map(one_line, value))


def _job_file(path: Path) -> Path:
    if not is_folder(path):
        return path
    file = path / "job.toml"
    if not is_missing(file):
        return file
    mend = beside(file) or "name a job file, or a folder that holds one"
    raise ImposerError(Fault(file=path, problem="there is no job.toml in this folder", mend=mend))


def _shop(root: TomlTable) -> tuple[Shop, list[Fault]]:
    """Return the job's shop as far as it can be read, and its faults."""
    named = root.get("shop", text(4096), "")
    if not root.has("shop"):
        return read_shop(example_shop())
    file = root.file.parent / named
    nothing = Shop(file=file, machine=Machine(largest_sheet=Size(*SHEET_LIMITS[1:] * 2)), papers=(), inks=())
    if not named:
        return nothing, []
    try:
        return read_shop(file)
    except ImposerError as error:
        if is_missing(file):
            root.fault("shop", f"{shown(named)}: there is no such file", beside(file))
            return nothing, []
        return nothing, list(error.faults)


def _job(root: TomlTable, shop: Shop) -> Job:
    whole = _whole(root, shop)
    return replace(whole, parts=_parts(root, shop, whole)) if root.has("part") else whole


def _whole(root: TomlTable, shop: Shop) -> Job:
    return Job(
        file=root.file,
        title=root.need("title", text(LONGEST_TITLE), "", "give the title in quotes"),
        copies=root.need("copies", whole(1, MOST_COPIES), 1, "say how many copies are wanted"),
        page=_page(root.table("page")),
        binding=_binding(root.table("binding")),
        sheet=_sheet(root.table("sheet"), shop),
        marks=_marks(root.table("marks")),
        # The parts of a job may each bring their own.
        inks=() if root.has("part") and not root.has("ink") else _inks(root, shop),
        shop=shop,
        accepted=read_acceptances(root.table("check"), lambda name: _own_name(name, shop)),
    )


def _parts(root: TomlTable, shop: Shop, given: Job) -> tuple[Part, ...]:
    """Read what is printed apart; keys that a part leaves out are the job's."""
    parts: list[Part] = []
    for table in root.tables("part", "give each part its name and pages"):
        name = table.need("name", text(LONGEST_NAME), "", 'name it, such as "cover"')
        pages = table.need("pages", part_pages, PartPages("rest"), 'say which, such as "outer 4" or "rest"')
        inks = _inks(table, shop, art_given=bool(given.inks)) if table.has("ink") else given.inks
        job = replace(
            given,
            title=f"{given.title} · {name}",
            copies=table.get("copies", whole(1, MOST_COPIES), given.copies),
            page=_page(table.table("page", _written(root, "page"))),
            binding=_binding(table.table("binding", _written(root, "binding"))),
            sheet=_sheet(table.table("sheet", _written(root, "sheet")), shop),
            marks=_marks(table.table("marks", _written(root, "marks"))),
            inks=inks,
        )
        own_art = table.has("ink") and any(ink.has_art for ink in inks)
        part = Part(name=name, pages=pages, job=job, own_art=own_art)
        check_part(table, part, parts, given.inks)
        parts.append(part)
    return tuple(parts)


def _written(root: TomlTable, key: str) -> dict[str, Any]:
    """Return a table of the job as written, nothing if it is left out or no table."""
    value = root.raw(key)
    return value if isinstance(value, dict) else {}


def _page(table: TomlTable) -> PageSpec:
    return PageSpec(
        trim=table.need("trim", size(*TRIM_LIMITS), Size(105, 148), 'give the finished page, such as "A6"'),
        bleed=table.get("bleed", length(0, MOST_BLEED), 0.0),
        fit=table.get("fit", one_of(get_args(Fit)), "exact"),
    )


def _binding(table: TomlTable) -> BindingSpec:
    style: Style | None = table.get("style", one_of(get_args(Style)), None if table.has("style") else "saddle")
    nested = table.get("pieces_per_signature", whole(1, 100), 1)
    if table.has("pieces_per_signature") and style == "saddle":
        table.fault(
            "pieces_per_signature",
            "a saddle-stitched booklet nests all its pieces in one",
            'leave it out, or set style = "gathered"',
        )
    return BindingSpec(
        style=style or "saddle",
        scheme=_scheme(table),
        pieces_per_signature=nested if style == "gathered" else None,
        reading=table.get("reading", one_of(get_args(Reading)), "left-to-right"),
        creep=table.get("creep", creep, "flat"),
        stitching=stitch_spec(table, style or "saddle"),
        form=form_spec(table, style or "saddle"),
        spine=_spine(table),
    )


def _spine(table: TomlTable) -> float | Literal["auto"]:
    """Return the spine of a cover that is wrapped round a block."""
    wide: float | Literal["auto"] = table.get("spine", spine, 0.0)
    if wide and (table.has("fold") or table.has("creases")):
        table.fault("spine", "a cover with a spine is folded at both its edges and nowhere else", "leave the folds out")
    if wide == "auto" and not table.path.startswith("part"):
        table.fault(
            "spine", "there is nothing that it could be as thick as", "give it in mm, or make the cover a [[part]]"
        )
    return wide


def _scheme(table: TomlTable) -> Scheme:
    """Return how one piece is folded: once across, unless the job names a fold or lists creases."""
    fold = table.get("fold", _fold, None)
    creases = table.get("creases", _creases, None)
    if table.has("fold") and table.has("creases"):
        table.fault("creases", "the job names a fold as well", "keep one of the two")
    return creases or fold or SINGLE_FOLD


def _fold(value: object) -> Scheme:
    name = text(LONGEST_NAME)(value)
    try:
        return fold_by_id(name)
    except ValueError as error:
        raise BadValue(str(error), 'give a fold of the catalogue, such as "F16-6"') from error


def _creases(value: object) -> Scheme:
    if not isinstance(value, list) or not value or len(value) > 12:
        raise BadValue(f"{shown(value)} is not a list of creases", 'give it as ["V1/2U", "H1/2U"]')
    try:
        return fold_by_creases(tuple(map(text(LONGEST_NAME), value)))
    except BadValue:
        raise
    except ValueError as error:
        raise BadValue(str(error), 'a crease is axis, part and way, such as "V1/2U" or "H1/4D"') from error


def _marks(table: TomlTable) -> frozenset[MarkKind]:
    return frozenset(kind for kind in MARK_KINDS if table.get(kind, flag, True))


def _sheet(table: TomlTable, shop: Shop) -> SheetSpec:
    named = table.get("paper", text(LONGEST_NAME), None)
    paper = _paper(table, named, shop)
    lead: LeadEdge | None = table.get("lead", one_of(get_args(LeadEdge)), None)
    stocks = _stocks(table, paper, shop.machine)
    return SheetSpec(
        paper=paper,
        stocks=stocks if lead is None else tuple(replace(stock, lead=lead) for stock in stocks),
        turn=table.get("turn", one_of(get_args(Flip)), "turn"),
        pieces=table.get("pieces", whole(1, 64), None),
        layout=table.get("layout", one_of(get_args(SheetLayout)), "cut-and-stack"),
        untrimmed=table.get("untrimmed", flag, False),
    )


def _paper(table: TomlTable, named: str | None, shop: Shop) -> Paper:
    nothing = Paper(name="", weight=0, caliper=0, colour="#ffffff", stocks=())
    if named is None:
        # A paper that was named but cannot be read is at fault already; the shop's first one is not meant then.
        return shop.papers[0] if shop.papers and not table.has("paper") else nothing
    found = _find(named, shop.papers, lambda paper: (paper.name,))
    if not found and _complete(shop.papers):
        names = [paper.name for paper in shop.papers]
        otherwise = f"its papers are {_listed(names)}"
        table.fault("paper", f"{shown(named)} is not a paper of {_called(shop)}", did_you_mean(named, names, otherwise))
    return found or nothing


def _stocks(table: TomlTable, paper: Paper, machine: Machine) -> tuple[Stock, ...]:
    """Return the sizes to try: the one the job names, else all of the paper that the machine takes."""
    wanted = table.get("size", size(*SHEET_LIMITS), None)
    if wanted is None:
        fit = tuple(stock for stock in paper.stocks if _goes_in(stock.size, machine))
        if paper.stocks and not fit and not table.has("size"):
            mend = "name a paper kept in a smaller size"
            table.fault("paper", f"all sizes of {shown(paper.name)} are larger than {_largest(machine)}", mend)
        return fit
    if not _goes_in(wanted, machine):
        problem = f"{shown(table.raw('size'))} ({_measured(wanted)}) is larger than {_largest(machine)}"
        table.fault("size", problem, "name a smaller sheet")
        return ()
    found = tuple(stock for stock in paper.stocks if _same_sheet(stock.size, wanted))
    if paper.stocks and not found:
        names = _listed([stock.name for stock in paper.stocks])
        problem = f"{shown(table.raw('size'))} is no size {shown(paper.name)} is kept in"
        table.fault("size", problem, f"it is kept in {names}")
    return found


def _inks(root: TomlTable, shop: Shop, *, art_given: bool = False) -> tuple[JobInk, ...]:
    """Read the inks of a job or a part; where the job gave art already, a part's ink need not name its own."""
    mend = "give at least one [[ink]] with its name and pages"
    inks: list[JobInk] = []
    first_use: dict[str, str] = {}
    for table in root.tables("ink", mend):
        ink = _ink(table, shop)
        pages, placed, take, lay = read_art(table, needed=not art_given)
        inks.append(JobInk(ink=ink, pages=pages, placed=placed, take=take, lay=lay, plate=read_plate(table)))
        first = first_use.setdefault(ink.name, table.path)
        if ink.name and first != table.path:
            problem = f"{shown(table.raw('name'))} is the shop's {shown(ink.name)}, which {first} prints already"
            table.fault("name", problem, "put the pages of both in one list")
    return tuple(inks)


def _ink(table: TomlTable, shop: Shop) -> Ink:
    nothing = Ink(name="")
    named = table.need("name", text(LONGEST_NAME), "", "name an ink of the shop")
    found = _find(named, shop.inks, lambda ink: (ink.name, *ink.also)) if named else None
    if named and not found and _complete(shop.inks):
        names = [name for ink in shop.inks for name in (ink.name, *ink.also)]
        otherwise = f"its inks are {_listed([ink.name for ink in shop.inks])}"
        table.fault("name", f"{shown(named)} is not an ink of {_called(shop)}", did_you_mean(named, names, otherwise))
    return found or nothing


def _own_name(named: str, shop: Shop) -> str:
    """Return the shop's own name of an ink; a name it does not know as it is."""
    found = _find(named, shop.inks, lambda ink: (ink.name, *ink.also))
    return found.name if found else named


def _find(named: str, things: tuple[Thing, ...], names: Callable[[Thing], tuple[str, ...]]) -> Thing | None:
    return next((thing for thing in things if plain(named) in map(plain, names(thing))), None)


def _complete(things: tuple[Thing, ...]) -> bool:
    """Tell whether every name of the shop's file could be read, so that a name not among them is not there."""
    return bool(things) and all(thing.name for thing in things)


def _called(shop: Shop) -> str:
    """Return what to call the shop's file: a job that names none may not know that it has one."""
    return "the example shop" if shop.file == example_shop() else one_line(str(shop.file))


def _same_sheet(stock: Size, wanted: Size) -> bool:
    return stock.close_to(wanted, NAMED_WITHIN) or stock.close_to(wanted.turned, NAMED_WITHIN)


def _goes_in(sheet: Size, machine: Machine) -> bool:
    lying, largest = sheet.landscape, machine.largest_sheet.landscape
    return fits(lying.width, largest.width) and fits(lying.height, largest.height)


def _largest(machine: Machine) -> str:
    return f"the machine's largest sheet, {_measured(machine.largest_sheet)}"


def _measured(measured: Size) -> str:
    return f"{show(measured.width)} × {show(measured.height)} mm"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(map(shown, names))
