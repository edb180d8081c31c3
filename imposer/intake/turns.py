"""Several inks in one file of several pages: taking turns, or one after another. Proposals only: a person decides."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.intake.answers import ink_of_files
from imposer.intake.delivery import Delivered
from imposer.intake.model import Question


def two_inks_in_one(each: Delivered, inks: Sequence[str], asks: str) -> Question:
    """Return the question how several inks lie in one file, with both usual answers; of two inks in either order."""
    orders = [tuple(inks), *([tuple(reversed(inks))] if len(inks) == 2 else [])]
    ways = [way for order in orders for way in (_turns(each, order), _parts(each, order)) if way]
    return Question(asks, tuple(ways))


def _turns(each: Delivered, inks: Sequence[str]) -> str:
    return "\n".join(ink_of_files(ink, [each], f'take = "every {len(inks)} from {i}"') for i, ink in enumerate(inks, 1))


def _parts(each: Delivered, inks: Sequence[str]) -> str:
    """Return the lines of inks that follow one another; "" if their pages are not equally many."""
    part, rest = divmod(len(each.pages), len(inks))
    if rest:
        return ""
    return "\n".join(
        ink_of_files(ink, [each], f'take = "{i * part + 1}-{(i + 1) * part}"') for i, ink in enumerate(inks)
    )
