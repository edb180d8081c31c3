"""Looks for the same words in two inks on top of each other: drift doubles them. Level: warning if small, else note.

Read from the operators of vector art: words that say the same, at the same size, within half a millimetre, printing in
both. Under twice `type_reversed` (16 pt) it is a warning; that type under 8 pt is not set in two inks is common
practice, no source, and the doubling is an own choice for this machine's drift. The mend: leave type in one ink.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from imposer.check.drawn_on_page import area_of
from imposer.check.facts import Facts, Rule, gathered
from imposer.check.small_type import points
from imposer.findings import Finding
from imposer.geometry import Box
from imposer.pages.drawn_facts import Words

#: Words within this of one another are one, mm.
_TOGETHER = 0.5


def _find(facts: Facts) -> Iterator[Finding]:
    limit = 2 * facts.limits.type_reversed
    for page, tones in facts.tones.items():
        drawn = {ink: one.drawn for ink, one in tones.inks.items() if one.drawn is not None}
        for one, other in combinations(drawn, 2):
            shared = _shared(drawn[one].words, drawn[other].words, area_of(tones.inks[one]))
            if not shared:
                continue
            words = min(shared, key=lambda found: found.size)
            yield Finding(
                rule=RULE.name,
                level="warning" if words.size < limit else "note",
                message=f"type of {points(words.size)} stands in {one} and in {other}: drift will double it",
                mend="leave type in one ink",
                page=page,
                ink=other,
                box=words.box,
                measured=points(words.size),
                limit=points(limit),
                file=facts.shown(page, other),
                other_ink=one,
            )


def _shared(one: tuple[Words, ...], other: tuple[Words, ...], area: Box) -> list[Words]:
    """Return what stands in both and is not cut off with what lies beyond the bleed."""
    there: dict[bytes, list[Words]] = {}
    for words in other:
        there.setdefault(words.said, []).append(words)
    here = [words for words in one if _prints(words) and words.box.meets(area)]
    return [words for words in here if any(_same(words, two) for two in there.get(words.said, ()))]


def _prints(words: Words) -> bool:
    return words.tone is None or words.tone > 0.005


def _same(one: Words, other: Words) -> bool:
    near = abs(one.box.x0 - other.box.x0) <= _TOGETHER and abs(one.box.y0 - other.box.y0) <= _TOGETHER
    return near and _prints(other) and abs(one.size - other.size) <= _TOGETHER


RULE = Rule(
    name="type-in-two-inks",
    looks_for="the same words in two inks",
    limit="16 pt",
    limit_of=lambda limits: points(2 * limits.type_reversed),
    find=gathered(_find),
)
