"""Lines of a job file that may be the answer to a question, made ready to be put in."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence

from imposer.intake.delivery import Delivered
from imposer.intake.named import Named

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


def one_of_inks(inks: Sequence[str], files: Sequence[Delivered], *more: str) -> str:
    """Return the lines of an ink that may be any of a shop's, the first of them put in; "" if the shop has none."""
    return or_others(ink_of_files(inks[0], files, *more), inks) if inks else ""


def or_others(lines: str, inks: Sequence[str]) -> str:
    """Add the other inks that may be meant to the lines of the first."""
    name = f"name = {quoted(inks[0])}"
    return lines.replace(name, f"{name}   # or {', '.join(map(quoted, inks[1:]))}", 1) if len(inks) > 1 else lines


def ink_of_pages(ink: str, places: Mapping[int, str], plate: str | None = None) -> str:
    """Return the lines of an ink whose pages are these places: a file, or a page of one, by page."""
    lines = [f"{page} = {quoted(f'{ART}/{place}')}" for page, place in sorted(places.items())]
    return "\n".join(["[[ink]]", f"name = {quoted(ink)}", *plate_lines(plate), "[ink.pages]", *lines])


def one_of_inks_of_pages(inks: Sequence[str], places: Mapping[int, str], plate: str | None = None) -> str:
    """Return the same for an ink that may be any of these, at least one."""
    return or_others(ink_of_pages(inks[0], places, plate), inks)


def inks_of_pages(places: Iterable[tuple[Named, int]]) -> str:
    """Return the lines of all inks whose files are these pages; "" if two files would be one page."""
    by_ink: dict[str, dict[int, str]] = {}
    plates: dict[str, str | None] = {}
    for each, page in places:
        held = by_ink.setdefault(each.ink, {})
        if page in held:
            return ""
        held[page] = each.art.shown
        plates[each.ink] = each.plate
    return "\n".join(ink_of_pages(ink, held, plates[ink]) for ink, held in by_ink.items())


def plate_lines(plate: str | None) -> tuple[str, ...]:
    """Return the line that says which plate of its files an ink is, if it is one."""
    return () if plate is None else (f"plate = {quoted(plate)}",)


def offered(*proposals: str) -> tuple[str, ...]:
    """Return what is worth proposing: each once, and nothing empty."""
    return tuple(dict.fromkeys(filter(None, proposals)))


def named_in_short(names: Iterable[str]) -> str:
    """Write the first of many files."""
    listed = list(names)
    return ", ".join(listed[:4]) + (f" and {len(listed) - 4} more" if len(listed) > 4 else "")
