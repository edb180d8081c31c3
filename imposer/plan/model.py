"""The plan of a job: passes, drums, masters, counts. Numbers and names, no lengths, no files read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from imposer.findings import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Master:
    """The masters of one drum in one pass: one file, a page a press sheet, in running order."""

    drum: int
    ink: str
    #: Path inside the output folder, with forward slashes.
    file: str
    #: The press sheets that get a master, in running order.
    sheets: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One trip of the stack through the machine."""

    number: int
    side: Side
    #: Which ink each drum holds: (drum, ink).
    drums: tuple[tuple[int, str], ...]
    masters: tuple[Master, ...]

    @property
    def sheets(self) -> tuple[int, ...]:
        """The press sheets that run in this pass."""
        return tuple(sorted({sheet for master in self.masters for sheet in master.sheets}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """How much of everything the job takes. Sheets are press sheets; pieces are what is folded."""

    pieces_per_copy: int
    sheets_per_copy: int
    copies_per_set: int
    good_sheets: int
    overs: int
    masters: int
    passes: int
    drum_changes: int
    #: Overs by press sheet number; they sum to `overs`.
    overs_by_sheet: Mapping[int, int]
    #: Good sheets of each press sheet.
    good_per_sheet: int
    #: Sheets of scrap for making ready.
    scrap: int
    #: The sums in words, with their numbers, one line each.
    formula: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """How much of everything all parts of a job take."""

    pieces_per_copy: int
    sheets_per_copy: int
    good_sheets: int
    overs: int
    scrap: int
    masters: int
    passes: int
    drum_changes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PassPlan:
    """Everything to be run, in order."""

    passes: tuple[Pass, ...]
    counts: Counts
