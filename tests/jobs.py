"""Jobs made of values, for tests that need no files."""

from __future__ import annotations

from pathlib import Path

from imposer.geometry import Size
from imposer.job.model import (
    MARK_KINDS,
    BindingSpec,
    Ink,
    Job,
    JobInk,
    Machine,
    PageSpec,
    Paper,
    SheetSpec,
    Shop,
    Stock,
)

#: ISO 216 and ANSI/ASME Y14.1 (tabloid), mm.
SIZES = {"A3": Size(297, 420), "A4": Size(210, 297), "tabloid": Size(279.4, 431.8), "letter": Size(215.9, 279.4)}


def a_job(
    *,
    trim=(140, 200),
    sheet="A3",
    lead="short edge",
    bleed=0.0,
    turn="turn",
    pieces=None,
    style="saddle",
    per_signature=None,
    reading="left-to-right",
    marks=frozenset(MARK_KINDS),
    title="Moth Hours",
    creep="flat",
    caliper=0.11,
    copies=120,
    inks=("lamp black", "marigold", "brick"),
    drums=2,
    also_stocked=(),
    binding=None,
):
    """A job like the demo's, changed where a test says so."""
    stocks = tuple(Stock(name=name, size=SIZES[name], price=0.05, lead=lead) for name in (sheet, *also_stocked))
    paper = Paper(name="cream 90", weight=90, caliper=caliper, colour="#f4ecd8", stocks=stocks)
    shop = Shop(
        file=Path("shop.toml"),
        machine=Machine(largest_sheet=Size(300, 440), drums=drums),
        papers=(paper,),
        inks=tuple(Ink(name=name) for name in inks),
    )
    return Job(
        file=Path("job.toml"),
        title=title,
        copies=copies,
        page=PageSpec(trim=Size(*trim), bleed=bleed),
        binding=BindingSpec(
            style=style, pieces_per_signature=per_signature, reading=reading, creep=creep, **(binding or {})
        ),
        sheet=SheetSpec(paper=paper, stocks=stocks[:1], turn=turn, pieces=pieces),
        marks=frozenset(marks),
        inks=tuple(JobInk(ink=ink, pages=("*.png",)) for ink in shop.inks),
        shop=shop,
    )
