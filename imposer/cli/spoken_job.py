"""A job told on the command line, for commands that need no job file: options in, a resolved job out.

The options become the tables of a job file and go through the same reader, so that styles, sizes and faults are the
same; only the keys in the faults are given back as the options they came from.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from imposer.errors import Fault, ImposerError
from imposer.job import job_of, load_shop
from imposer.job.model import Job

#: Option → table and key of the job file.
KEYS: dict[str, tuple[str, str]] = {
    "--trim": ("page", "trim"),
    "--bleed": ("page", "bleed"),
    "--style": ("binding", "style"),
    "--fold": ("binding", "fold"),
    "--crease": ("binding", "creases"),
    "--pieces-per-signature": ("binding", "pieces_per_signature"),
    "--stitch": ("binding", "stitch"),
    "--panels": ("binding", "panels"),
    "--sides": ("binding", "sides"),
    "--poster": ("binding", "poster"),
    "--reading": ("binding", "reading"),
    "--sheet": ("sheet", "size"),
    "--lead": ("sheet", "lead"),
    "--turn": ("sheet", "turn"),
    "--pieces": ("sheet", "pieces"),
    "--untrimmed": ("sheet", "untrimmed"),
    "--shop": ("", "shop"),
}

_WHERE = Path("the options given")


@dataclass(frozen=True, slots=True)
class SpokenJob:
    """The options that describe a job, those that were given; false if none was."""

    #: By option, such as "--trim".
    given: Mapping[str, Any] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.given)

    @property
    def first_option(self) -> str:
        """One of the options, to name in a fault."""
        return next(iter(self.given))

    def _title(self) -> str:
        """Name the job after what it is."""
        return f"{self.given.get('--style', 'saddle')}, {self.given.get('--trim', '')}".rstrip(", ")[:60]

    def resolve(self) -> Job:
        """Return the job, with one copy and the shop's first ink.

        Raises:
            ImposerError: an option cannot be used; the fault names it.
        """
        shop = self.given.get("--shop")
        ink = load_shop(shop).inks[0].name
        tables: dict[str, Any] = {"title": self._title(), "copies": 1, "ink": [{"name": ink, "pages": "*"}]}
        for option, value in self.given.items():
            table, key = KEYS[option]
            if table:
                tables.setdefault(table, {})[key] = value
            else:
                tables[key] = str(Path(value).absolute())
        return job_of(tables, _WHERE)


@contextmanager
def faults_as_options() -> Iterator[None]:
    """Give the faults of a job told in options back with the options they came from."""
    try:
        yield
    except ImposerError as error:
        raise ImposerError([_as_option(fault) for fault in error.faults]) from error


def _as_option(fault: Fault) -> Fault:
    """Return a fault that names the option instead of the key."""
    if fault.file != _WHERE:
        return fault
    for option, (table, key) in KEYS.items():
        if fault.place == f"{table}.{key}".strip("."):
            return Fault(file=option, problem=fault.problem, mend=fault.mend)
    return fault
