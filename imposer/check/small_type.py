"""Looks for type too small to print: positive, and in white on ink. Level: warning.

Read from the operators of vector art, at the size it is printed: the font's em is held against `type_size` (7 pt) and,
where it is white, `type_reversed` (8 pt); sans serif 7 pt and serif or reversed 8 pt are common practice, no source.
Type in images is looked at as lines; type beyond the bleed is cut off. The mend: set it larger, or bolder.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.drawn_on_page import smallest_on_page
from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.pages.drawn_facts import Words
from imposer.units import to_points

#: Sizes are read to this, mm.
_READING = 0.005


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        if tones.drawn is None:
            continue
        printed = smallest_on_page(tones, tones.drawn.smallest, ("full", "tinted"))
        white = smallest_on_page(tones, tones.drawn.smallest_reversed, ("reversed",))
        for words, limit, what in (
            (printed, limits.type_size, "type"),
            (white, limits.type_reversed, "white type"),
        ):
            if words is not None and words.size < limit - _READING:
                yield _finding(facts, page, ink, words, limit, what)


def _finding(facts: Facts, page: int, ink: str, words: Words, limit: float, what: str) -> Finding:
    return Finding(
        rule=RULE.name,
        level="warning",
        message=f"{what} of {points(words.size)} is too small to print well",
        mend="set it larger, or in a bold sans serif",
        page=page,
        ink=ink,
        box=words.box,
        measured=points(words.size),
        limit=points(limit),
        file=facts.shown(page, ink),
    )


def points(em: float) -> str:
    """Write an em of mm in points."""
    return f"{round(to_points(em), 1):g} pt"


RULE = Rule(
    name="small-type",
    looks_for="type too small to print",
    limit="7 pt, 8 pt in white",
    limit_of=lambda limits: f"{points(limits.type_size)}, {points(limits.type_reversed)} in white",
    find=gathered(_find),
)
