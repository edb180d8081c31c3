"""Lines of a job file that may be the answer to a question, made ready to be put in."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence

from imposer.intake.delivery import Delivered
from imposer.job.model import Ink

#: Where the delivery's files are copied to, in the job's folder.
ART = "art"


def quoted(text: str) -> str:
    """Write a string as TOML does; its escapes are those of JSON (TOML 1.0, "String")."""
    return json.dumps(text, ensure_ascii=False)


def ink_of_files(ink: str, files: Sequence[Delivered], *more: str) -> str:
    """Return the lines of an ink whose pages are these files, numbered by their names; `more` are lines to add."""
    named = [quoted(f"{ART}/{each.shown}") for each in files]
    pages = named[0] if len(named) == 1 else f"[{', '.join(named)}]"
    return "\n".join(["[[ink]]", f"name = {quoted(ink)}", f"pages = {pages}", *more])


def one_of_inks(inks: Sequence[Ink], files: Sequence[Delivered], *more: str) -> str:
    """Return the lines of an ink that may be any of a shop's, the first of them put in; "" if the shop has none."""
    if not inks:
        return ""
    first, *others = [ink.name for ink in inks]
    lines = ink_of_files(first, files, *more)
    name = f"name = {quoted(first)}"
    return lines.replace(name, f"{name}   # or {', '.join(map(quoted, others))}", 1) if others else lines


def ink_of_pages(ink: str, places: Mapping[int, str]) -> str:
    """Return the lines of an ink whose pages are these places: a file, or a page of one, by page."""
    lines = [f"{page} = {quoted(f'{ART}/{place}')}" for page, place in sorted(places.items())]
    return "\n".join(["[[ink]]", f"name = {quoted(ink)}", "[ink.pages]", *lines])


def place_of(art: Delivered, index: int) -> str:
    """Return a page of a file as a job file names it."""
    return f"{art.shown}, page {index + 1}" if len(art.pages) > 1 else art.shown


def named_in_short(names: Iterable[str]) -> str:
    """Write the first of many files."""
    listed = list(names)
    return ", ".join(listed[:4]) + (f" and {len(listed) - 4} more" if len(listed) > 4 else "")
