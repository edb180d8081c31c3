"""Looks for places on a press sheet that stay empty because the pieces do not come out even. Level: note.

Masters and sheets cost the same whether a place is filled or not; common practice, no source. The mend: more pages, or
something else to print in the place.
"""

from __future__ import annotations

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding


def find(facts: Facts) -> tuple[Finding, ...]:
    """Return one finding that counts the empty places, or none."""
    imposition = facts.imposition
    places = len(imposition.layout.slots) * len(imposition.sheets)
    filled = sum(len({(p.piece, p.copy) for p in sheet.front.panels if p.piece}) for sheet in imposition.sheets)
    empty = places - filled
    if not empty:
        return ()
    stay = "stays" if empty == 1 else "stay"
    pages = empty * imposition.booklet.pages_per_piece
    return (
        Finding(
            rule=RULE.name,
            level="note",
            message=f"{empty} of {places} places on the press sheets {stay} empty, room for {pages} more pages",
            mend="nothing need be done; more pages would cost no more sheets",
            measured=f"{empty} empty",
            limit="0",
        ),
    )


RULE = Rule(name="empty-places", looks_for="places on a sheet that stay empty", limit="none empty", find=find)
