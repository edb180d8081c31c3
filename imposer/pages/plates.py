"""Plates of artwork that is separated already: the process and spot colours of a file, each standing for an ink.

A job may say of an ink which plate of its files it is (`plate = "cyan"`). The four process plates have names of their
own; every other name is a spot colour's, as the file calls it. A spot colour called by a process colour's name is that
plate (ISO 32000-1, 8.6.6.4). Names alone, no files.
"""

from __future__ import annotations

from collections.abc import Iterable

from imposer.nearest import did_you_mean, plain

#: The process colours, in the order of their numbers in a file.
PROCESS = ("cyan", "magenta", "yellow", "black")
BLACK = "black"
#: A tone no darker than this, of 255, is the noise of a lossy coding and no ink. A working value of our own.
TRACE = 8


def same_plate(one: str, other: str) -> bool:
    """Tell whether two names are one plate's: case and runs of spaces do not count.

    >>> same_plate("Coral  Red", "coral red"), same_plate("Coral", "Coral Red")
    (True, False)
    """
    return plain(one) == plain(other)


def process_number(plate: str) -> int | None:
    """Return the place of a process plate among cyan, magenta, yellow and black; None for a spot colour.

    >>> process_number("Yellow"), process_number("Coral")
    (2, None)
    """
    name = plain(plate)
    return PROCESS.index(name) if name in PROCESS else None


def is_black(plate: str | None) -> bool:
    """Tell whether gray art is as it stands on a plate: on that of black, and where no plate is asked for."""
    return plate is None or process_number(plate) == PROCESS.index(BLACK)


def joined(plates: Iterable[str]) -> tuple[str, ...]:
    """Return plates each once: process colours by their own names and in their order, then the rest as they come.

    >>> joined(["Coral", "Black", "coral", "cyan", "black"])
    ('cyan', 'black', 'Coral')
    """
    found: dict[str, str] = {}
    for plate in plates:
        number = process_number(plate)
        found.setdefault(plain(plate), plate if number is None else PROCESS[number])
    return tuple(sorted(found.values(), key=lambda plate: (process_number(plate) is None, process_number(plate) or 0)))


def coloured_mend(plates: Iterable[str]) -> str:
    """Return what to do about art in colours, where a layer of one ink is wanted."""
    mend = "turn the layer to gray yourself, full ink as black, and export it again"
    separated = any(not is_black(plate) for plate in plates)
    return f"{mend}; if its plates stand for inks, name the plate of each ink in the job" if separated else mend


def meant(plate: str, there: Iterable[str]) -> str:
    """Return what to do about a plate that a file does not have: the nearest name, or all there are."""
    names = list(there)
    return did_you_mean(plate, names, f"it has {', '.join(names)}" if names else "leave plate out")
