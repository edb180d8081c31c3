"""What an artist sent: every file of a folder, or the one file, with the pages it holds; nothing decided yet.

Litter of file managers is passed over; what cannot be read is kept with the reason, so that it is asked about.
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from imposer.errors import Fault, ImposerError, one_line
from imposer.geometry import Size
from imposer.intake.vocabulary import NO_PAGES, WORDS_ALONG
from imposer.limits import Limits
from imposer.pages.model import ArtSource
from imposer.pages.names import natural_key
from imposer.pages.plates import BLACK, joined
from imposer.pages.readers import reader_for

#: For art that states no size, mm.
_ANY_SIZE = Size(105, 148)
_LITTER = frozenset({"__macosx", "thumbs.db", "desktop.ini", "icon\r"})


@dataclass(frozen=True, slots=True)
class Delivered:
    """A file of artwork."""

    file: Path
    #: Its path below the delivery, with "/" between folders.
    shown: str
    pages: tuple[ArtSource, ...]
    #: The plates that carry ink, of a file in process or spot colours.
    plates: tuple[str, ...] = ()


def place_of(art: Delivered, index: int) -> str:
    """Return a page of a file as a job file names it."""
    return f"{art.shown}, page {index + 1}" if len(art.pages) > 1 else art.shown


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A file that is not used."""

    shown: str
    why: str
    #: Whether a person must do something about it.
    asks: bool


@dataclass(frozen=True, slots=True)
class Delivery:
    """Everything that was sent, in natural order."""

    folder: Path
    art: tuple[Delivered, ...]
    left_out: tuple[LeftOut, ...]


def read_delivery(path: Path, limits: Limits) -> Delivery:
    """Look at what was sent, a folder or one file.

    Raises:
        ImposerError: there is nothing there, or too much.
    """
    if path.is_file():
        return _sorted(path.parent, [path], limits)
    if not path.is_dir():
        raise ImposerError(
            Fault(file=path, problem="there is no such folder or file", mend="name what the artist sent")
        )
    files = []
    for file in _files(path):
        files.append(file)
        if len(files) > limits.files:
            problem = f"holds more than the {limits.files} files that are read"
            raise ImposerError(Fault(file=path, problem=problem, mend="name the folder of the pages alone"))
    found = _sorted(path, files, limits)
    if not found.art and not found.left_out:
        raise ImposerError(Fault(file=path, problem="holds no files", mend="name what the artist sent"))
    return found


def _files(folder: Path) -> Iterator[Path]:
    """Give every file, without following links to folders."""
    for parent, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not _is_litter(name)]
        for name in names:
            if not _is_litter(name):
                yield Path(parent) / name


def _is_litter(name: str) -> bool:
    return name.startswith((".", "~$")) or name.endswith("~") or name.casefold() in _LITTER


def _nameable(path: str) -> str:
    """Return a path as a job file can name it: without line breaks, other controls and backslashes."""
    return "".join("_" if unicodedata.category(c)[0] == "C" or c == "\\" else c for c in path)


def _sorted(folder: Path, files: list[Path], limits: Limits) -> Delivery:
    art: list[Delivered] = []
    left_out: list[LeftOut] = []
    for file in sorted(files, key=lambda each: natural_key(each.relative_to(folder).as_posix())):
        shown = _nameable(file.relative_to(folder).as_posix())
        found = _read(file, shown, folder, limits)
        if isinstance(found, LeftOut):
            left_out.append(found)
        elif any(each.shown == shown for each in art):
            left_out.append(
                LeftOut(shown, "has the name of another once signs no name may hold are replaced", asks=True)
            )
        else:
            art.append(found)
    return Delivery(folder, tuple(art), tuple(left_out))


def _read(file: Path, shown: str, folder: Path, limits: Limits) -> Delivered | LeftOut:
    suffix = file.suffix.casefold()
    if suffix in WORDS_ALONG:
        return LeftOut(shown, "holds words, not pages: read it yourself", asks=False)
    if suffix in NO_PAGES:
        return LeftOut(shown, f"is {NO_PAGES[suffix]}, not a page", asks=False)
    if not file.resolve().is_relative_to(folder.resolve()):
        return LeftOut(shown, "is a link that leads out of the delivery: put the file itself in its place", asks=True)
    try:
        pages = reader_for(file, shown).survey(file, shown, limits)
        return Delivered(file, shown, pages, _plates(file, shown, pages, limits))
    except ImposerError as error:
        fault = error.faults[0]
        mend = f": {fault.mend}" if fault.mend else ""
        return LeftOut(shown, one_line(f"{fault.problem}{mend}"), asks=True)


def _plates(file: Path, shown: str, pages: Sequence[ArtSource], limits: Limits) -> tuple[str, ...]:
    """Return the plates of a coloured file that carry ink; none if it cannot be taken apart."""
    if not any(finding.rule == "coloured-layer" for page in pages for finding in page.findings):
        return ()
    reader = reader_for(file, shown)
    found: list[str] = []
    try:
        for page in reader.survey(file, shown, limits, BLACK):
            others = [plate for plate in reader.plates(page) if plate not in found]
            found += reader.printing_plates(page, page.size or _ANY_SIZE, others) if others else ()
    except ImposerError:
        return ()
    return joined(found)
