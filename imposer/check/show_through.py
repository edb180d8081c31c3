"""Looks for thin paper that is printed heavily on both sides: one side shows through the other. Level: warning.

Paper of `show_through` (70 g/m²) and less, leaves whose two pages each carry `show_coverage` (30 % in all inks
together) and more. That about 70 g/m² shows through on two sides is common practice, the coverage a working default; no
source. The mend: heavier paper, or lighter pages.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.sheet.page_edges import page_leaves


def _find(facts: Facts) -> Iterator[Finding]:
    paper, limits = facts.job.sheet.paper, facts.limits
    if paper.weight > limits.show_through:
        return
    for page, leaf in page_leaves(facts.imposition.booklet).items():
        if leaf.other is None or leaf.other < page:
            continue
        lighter = min(_coverage(facts, page), _coverage(facts, leaf.other))
        if lighter * 100 < limits.show_coverage:
            continue
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=(
                f"pages {page} and {leaf.other} share a leaf of {paper.weight:g} g/m² and each carry "
                f"{percent(lighter)} or more: they will show through"
            ),
            mend="choose a heavier paper, or lighten one of the two",
            page=page,
            measured=percent(lighter),
            limit=f"{limits.show_coverage:g} % on {limits.show_through:g} g/m²",
        )


def _coverage(facts: Facts, page: int) -> float:
    tones = facts.tones.get(page)
    return 0.0 if tones is None else sum(ink.ink / ink.area for ink in tones.inks.values())


RULE = Rule(
    name="show-through",
    looks_for="thin paper printed heavily on both sides",
    limit="30 % on both sides of 70 g/m²",
    limit_of=lambda limits: f"{limits.show_coverage:g} % on both sides of {limits.show_through:g} g/m²",
    find=gathered(_find),
)
