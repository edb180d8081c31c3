"""Looks for type in a tint: the screen breaks its edges up. Level: warning for small type, else note.

Read from the operators of vector art; type is printed at 100 % and the ink made lighter instead (common practice, no
source). Under 12 pt it is a warning, and from 95 % on it is as good as full: working values of our own. The mend: full
tone, or another ink.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.drawn_on_page import smallest_on_page
from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.check.small_type import points
from imposer.findings import Finding
from imposer.pages.drawn_facts import FULL
from imposer.units import from_points

#: Type this large bears a screen.
_LARGE = from_points(12)


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        words = None if tones.drawn is None else smallest_on_page(tones, tones.drawn.smallest_tinted, ("tinted",))
        if words is None or words.tone is None:
            continue
        small = words.size < _LARGE - 0.005
        yield Finding(
            rule=RULE.name,
            level="warning" if small else "note",
            message=f"type of {points(words.size)} stands in a tint of {percent(words.tone)}: the screen breaks it up",
            mend="set it in full tone, or in a lighter ink",
            page=page,
            ink=ink,
            box=words.box,
            measured=percent(words.tone),
            limit=percent(FULL),
            file=facts.shown(page, ink),
        )


RULE = Rule(name="tinted-type", looks_for="type in a tint", limit="95 %; a warning under 12 pt", find=gathered(_find))
