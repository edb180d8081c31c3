"""Looks for pages between the first and the last on which no ink prints. Level: note.

Blanks are often meant (inside covers) and save a master only if a whole side is free of an ink; common practice, no
source. The mend: nothing, if they are meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.words import pages_of


def _find(facts: Facts) -> Iterator[Finding]:
    if not facts.tones:
        return
    within = range(min(facts.tones), max(facts.tones))
    there = {page for page, _ in facts.table.cells}
    blank = [page for page in within if page not in facts.tones and page in there]
    if blank:
        yield Finding(
            rule=RULE.name,
            level="note",
            message=f"no ink prints on {pages_of(blank, least=2)}",
            mend="nothing need be done if they are meant to be blank",
            page=blank[0] if len(blank) == 1 else None,
            measured=f"{len(blank)} blank",
        )


RULE = Rule(name="blank-page", looks_for="pages on which no ink prints", limit=None, find=gathered(_find))
