"""Looks for a page count that does not fill the pieces: the blanks at the end. Level: note.

Booklets come in multiples of the pages on a piece, four for a single fold; blanks count as pages (common practice, no
source). The mend: `imposer count` shows the alternatives.
"""

from __future__ import annotations

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding
from imposer.words import number_of


def find(facts: Facts) -> tuple[Finding, ...]:
    """Return one finding that names the blank pages, or none."""
    booklet = facts.imposition.booklet
    if not booklet.blanks:
        return ()
    blanks = booklet.blanks
    given = booklet.pages - len(blanks)
    named = f"page {blanks[0]} is" if len(blanks) == 1 else f"pages {', '.join(map(str, blanks))} are"
    fill = "fills" if given == 1 else "fill"
    return (
        Finding(
            rule=RULE.name,
            level="note",
            message=f"{number_of(given, 'page')} {fill} {booklet.pages}: {named} blank, at the end",
            mend=f"see 'imposer count {given}' for other page counts and bindings",
            measured=number_of(given, "page"),
            limit=f"{booklet.pages} pages" if booklet.scheme.leaflet else f"a multiple of {booklet.scheme.pages}",
        ),
    )


RULE = Rule(
    name="page-count",
    looks_for="a page count that leaves pages blank at the end",
    limit="a multiple of the pages on a piece",
    find=find,
)
