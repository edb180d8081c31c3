"""What `[[ink]]` says of its art: files by pattern or page by page, which pages of a file, and how they lie in it.

`pages` is a pattern, a list of them, or a table such as `{ 1 = "front.png", 16 = "zine.pdf, page 3" }`; `take` chooses
pages of a file; `art` says that its pages are spreads or printer's pairs; `plate` says which plate of
files in process or spot colours the ink is.
"""

from __future__ import annotations

import re
from pathlib import PurePosixPath, PureWindowsPath
from typing import get_args

from imposer.job.model import ArtLay, Take
from imposer.job.toml_reader import TomlTable
from imposer.job.values import BadValue, one_of, shown, text

#: A name in a PDF has at most so many bytes (ISO 32000-1, Annex C.2).
LONGEST_PLATE = 127
#: No common file system takes a longer name, bytes.
LONGEST_FILE_NAME = 255

_PATTERN_MEND = 'give a name or pattern in the job\'s folder, such as "black/*.png"'
_TAKE_MEND = 'give "odd", "even", "1-16" or "every 3 from 2"'
_RANGE = re.compile(r"(\d{1,4})\s*-\s*(\d{1,4})?")
_EVERY = re.compile(r"every\s+(\d{1,2})\s+from\s+(\d{1,4})")


def read_art(table: TomlTable, *, needed: bool) -> tuple[tuple[str, ...], tuple[tuple[int, str], ...], Take, ArtLay]:
    """Read the art of one ink: patterns, files by page, which pages of a file, how pages lie in it."""
    pages: tuple[str, ...] = ()
    placed: tuple[tuple[int, str], ...] = ()
    if isinstance(table.raw("pages"), dict):
        placed = table.get("pages", _placed, placed)
    elif table.has("pages") or needed:
        mend = "name the art of this ink: a file, a pattern or a list of them"
        pages = table.need("pages", _patterns, pages, mend)
    take = table.get("take", _take, Take())
    lay: ArtLay = table.get("art", one_of(get_args(ArtLay)), "pages")
    if placed and (table.has("take") or lay != "pages"):
        key = "take" if table.has("take") else "art"
        table.fault(key, "the job names every page's file already", f"leave {key} out, or name the file alone")
    return pages, placed, take, lay


def read_plate(table: TomlTable) -> str | None:
    """Read which plate of its files an ink is; the files tell whether there is one of that name."""
    plate: str | None = table.get("plate", text(LONGEST_PLATE), None)
    if plate is not None and not table.has("pages"):
        table.fault("plate", "no file is named that it could be a plate of", "name the art in pages, or leave it out")
    return plate


def _take(value: object) -> Take:
    words = " ".join(text(40)(value).lower().split())
    if words in ("odd", "even"):
        return Take(first=1 if words == "odd" else 2, step=2)
    found = _EVERY.fullmatch(words)
    if found and int(found[1]) >= 1 and int(found[2]) >= 1:
        return Take(first=int(found[2]), step=int(found[1]))
    found = _RANGE.fullmatch(words)
    if found and 1 <= int(found[1]) <= int(found[2] or found[1]):
        return Take(first=int(found[1]), last=int(found[2]) if found[2] else None)
    raise BadValue(f"{shown(value)} names no pages of a file", _TAKE_MEND)


def _placed(value: object) -> tuple[tuple[int, str], ...]:
    """Read a table of page numbers and files."""
    found: dict[int, str] = {}
    for key, file in value.items() if isinstance(value, dict) else ():
        if not key.isdecimal() or not 1 <= int(key) <= 9999:
            raise BadValue(f"{shown(key)} is not a page number", 'write 1 = "front.png"')
        if int(key) in found:
            raise BadValue(f"page {int(key)} is named twice", "name each once")
        found[int(key)] = _pattern(file)
    if not found:
        raise BadValue("the table is empty", 'write 1 = "front.png"')
    return tuple(sorted(found.items()))


def _patterns(value: object) -> tuple[str, ...]:
    """Read the patterns of an ink's art: one or a list, each inside the job's folder."""
    patterns = value if isinstance(value, list) else [value]
    if not patterns:
        raise BadValue("the list is empty", _PATTERN_MEND)
    return tuple(map(_pattern, patterns))


def _pattern(value: object) -> str:
    try:
        pattern = text(1000)(value)
    except BadValue as bad:
        raise BadValue(bad.problem, _PATTERN_MEND) from None
    if PurePosixPath(pattern).is_absolute() or PureWindowsPath(pattern).anchor:
        raise BadValue(f"{shown(pattern)} does not start in the job's folder", _PATTERN_MEND)
    if "\\" in pattern:
        raise BadValue(f"{shown(pattern)} holds a backslash", "write / between a folder and a file")
    parts = pattern.split("/")
    if ".." in parts:
        raise BadValue(f"{shown(pattern)} leads out of the job's folder", "put the art inside it")
    if not any(part.strip(".") for part in parts):
        raise BadValue(f"{shown(pattern)} names no file", _PATTERN_MEND)
    if any(len(part.encode()) > LONGEST_FILE_NAME for part in parts):
        raise BadValue(f"{shown(pattern)} holds a name longer than any file's", _PATTERN_MEND)
    if any("**" in part and part != "**" for part in parts):
        raise BadValue(f"{shown(pattern)}: ** must stand alone between two /", _PATTERN_MEND)
    return pattern
