"""Looks for holes in the table: a page that an ink lacks although it has nearly all others. Level: warning.

Told where an ink has art for at least six pages in seven of those any ink has, and at least four: then a page less is
more likely a file not sent than a page without that ink. Own choice, no source. The mend: send the page, or a white
one.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding

#: The share of pages, and their number, from which an ink is taken to be on all of them.
_NEARLY_ALL, _LEAST = 6 / 7, 4


def _find(facts: Facts) -> Iterator[Finding]:
    pages = sorted({page for page, _ in facts.table.cells})
    for ink in facts.table.inks:
        missing = [page for page in pages if facts.table.art(page, ink) is None]
        has = len(pages) - len(missing)
        if not missing or has < _LEAST or has < _NEARLY_ALL * len(pages):
            continue
        for page in missing:
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"{ink} has art for {has} of {len(pages)} pages, but not for this one",
                mend="send the page, or a white one if it is meant to be blank",
                page=page,
                ink=ink,
                measured=f"{has} pages",
                limit=f"{len(pages)} pages",
            )


RULE = Rule(
    name="table-hole",
    looks_for="a page that an ink lacks although it has nearly all others",
    limit="six pages in seven",
    find=gathered(_find),
)
