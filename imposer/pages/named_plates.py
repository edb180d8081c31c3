"""The plates that a job names, held against its files: is there one of that name, and does another ink print it?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.nearest import plain
from imposer.pages.model import ArtSource
from imposer.pages.plates import joined, meant, same_plate
from imposer.pages.readers import reader_of


def check_plate(sources: Sequence[ArtSource], plate: str | None, job: Path, place: str) -> None:
    """Make sure that one page at least has the plate that an ink is.

    Raises:
        ImposerError: none has; the fault names the nearest plate, or all there are.
    """
    if plate is None or not sources:
        return
    there = joined(name for source in sources for name in reader_of(source).plates(source))
    if not any(same_plate(plate, name) for name in there):
        more = f" and {len(files) - 1} more" if len(files := {source.shown for source in sources}) > 1 else ""
        problem = f"no page of {sources[0].shown}{more} has a plate “{plate}”"
        raise ImposerError(Fault(file=job, place=place, problem=problem, mend=meant(plate, there)))


def plates_named_twice(job: Path, inks: Mapping[str, Sequence[ArtSource]]) -> Iterator[Fault]:
    """Give a fault for each ink that is a plate which an ink before it is already.

    Args:
        job: the job's file.
        inks: by the dotted key of an ink's pages: the pages it takes.
    """
    owner: dict[tuple[Path, int, str | None, str], str] = {}
    for key, sources in inks.items():
        for source in sources:
            if source.plate is None:
                continue
            first = owner.setdefault((source.file, source.index, source.half, plain(source.plate)), key)
            if first != key:
                problem = f"{source.place} is {first.removesuffix('.pages')}'s already"
                mend = "give each ink a plate of its own; to print one twice, copy the file"
                yield Fault(file=job, place=f"{key.removesuffix('.pages')}.plate", problem=problem, mend=mend)
                break
