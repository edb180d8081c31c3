"""Which ink goes in which drum in which pass, and which masters that takes.

The rule here is the plain one: the fronts first, then the backs; on each side the inks in the job's order, as many in
a pass as the machine has drums. An ink that prints nothing on a side needs no master there, whatever marks it would
carry, and a pass that prints nothing does not exist. `Planner` is the seam for better orders.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Protocol

from imposer.findings import SIDES, Side
from imposer.job.model import Job
from imposer.plan.counts import count_job
from imposer.plan.model import Master, Pass, PassPlan
from imposer.sheet.model import Imposition

#: Which inks print on each side of each sheet: (sheet number, side) → ink names.
InkedSides = Mapping[tuple[int, Side], frozenset[str]]


class Planner(Protocol):
    """Groups the inks of one side into passes."""

    def __call__(self, side: Side, inks: Sequence[str], drums: int) -> Sequence[Sequence[str]]:
        """Return the inks of each pass, in running order."""


def in_job_order(side: Side, inks: Sequence[str], drums: int) -> Sequence[Sequence[str]]:
    """Group inks as they come, `drums` at a time.

    >>> in_job_order("front", ["black", "red", "blue"], 2)
    [['black', 'red'], ['blue']]
    """
    del side  # both sides are treated alike here
    return [list(inks[i : i + drums]) for i in range(0, len(inks), drums)]


def inked_sides(imposition: Imposition, printing: Mapping[tuple[int, str], bool]) -> InkedSides:
    """Return which inks print on each side, from which inks print on each page: (page, ink) → whether it does."""
    return {
        (sheet.number, side): frozenset(
            ink
            for (page, ink), prints in printing.items()
            if prints and any(panel.page == page for panel in sheet.face(side).panels)
        )
        for sheet in imposition.sheets
        for side in SIDES
    }


def plan_passes(
    job: Job, imposition: Imposition, inked: InkedSides, planner: Planner = in_job_order, *, passes_before: int = 0
) -> PassPlan:
    """Return the passes of a job in running order, with drums, masters and counts.

    Args:
        job: the job, or a part of one.
        imposition: its sheets.
        inked: which inks print on each of their sides.
        planner: what groups the inks of a side into passes.
        passes_before: the passes of earlier parts of the job; counting goes on from there.
    """
    passes: list[Pass] = []
    for side in SIDES:
        inks = [ink for ink in job.ink_names if any(ink in inked[s.number, side] for s in imposition.sheets)]
        for group in planner(side, inks, job.shop.machine.drums):
            passes.append(_pass(passes_before + len(passes) + 1, side, group, inked))
    return PassPlan(passes=tuple(passes), counts=count_job(job, imposition, passes))


def _pass(number: int, side: Side, inks: Sequence[str], inked: InkedSides) -> Pass:
    drums = tuple(enumerate(inks, 1))
    return Pass(
        number=number,
        side=side,
        drums=drums,
        masters=tuple(
            Master(
                drum=drum, ink=ink, file=master_file(number, side, drum, ink), sheets=tuple(_sheets(ink, side, inked))
            )
            for drum, ink in drums
        ),
    )


def _sheets(ink: str, side: Side, inked: InkedSides) -> tuple[int, ...]:
    return tuple(sheet for (sheet, face), inks in sorted(inked.items()) if face == side and ink in inks)


def master_file(number: int, side: Side, drum: int, ink: str) -> str:
    """Return the path of a master inside the output folder; the ink's name is made safe for any file system.

    >>> master_file(1, "front", 2, "Sea blue / No. 3")
    'masters/pass-1-front-drum-2-sea-blue-no-3.pdf'
    """
    safe = re.sub(r"[^\w]+", "-", ink.lower()).strip("-_") or "ink"
    return f"masters/pass-{number}-{side}-drum-{drum}-{safe}.pdf"
