"""A delivery read: inks, pages and the size of the page, with all that was guessed and asked. Nothing is written."""

from __future__ import annotations

from collections.abc import Sequence

from imposer.geometry import Size
from imposer.intake.delivery import Delivery
from imposer.intake.inks import name_inks
from imposer.intake.model import Question, Understood
from imposer.intake.numbers import number_pages
from imposer.intake.page_size import find_page_size
from imposer.job.model import Ink


def understand(delivery: Delivery, inks: Sequence[Ink], trim: Size | None = None) -> Understood:
    """Return what a delivery holds as far as it can be told.

    Args:
        delivery: what was sent.
        inks: the shop's inks.
        trim: the finished page, if a person has said it.
    """
    named = name_inks(delivery.art, inks)
    numbered = number_pages(named.named)
    size = find_page_size(delivery.art, trim)
    questions = [*named.questions, *numbered.questions, *size.questions]
    if size.doubles:
        questions.append(_doubles(delivery))
    questions += [Question(f"{each.shown} {each.why}") for each in delivery.left_out if each.asks]
    order = [ink.name for ink in inks]
    cells = sorted(numbered.cells, key=lambda cell: (cell.page, order.index(cell.ink)))
    if size.doubles:
        # How double pages split is for the job to say; until then their numbers are not the reader's.
        cells = []
    return Understood(
        inks=tuple(ink for ink in order if any(each.ink == ink for each in named.named)),
        cells=tuple(cells),
        trim=size.trim,
        bleed=size.bleed,
        said=(*named.said, *numbered.said, *size.said),
        guesses=(*named.guesses, *numbered.guesses, *size.guesses),
        questions=tuple(dict.fromkeys(questions)),
        left_out=delivery.left_out,
    )


def _doubles(delivery: Delivery) -> Question:
    double = max(delivery.art, key=lambda each: max((page.size.width if page.size else 0) for page in each.pages))
    asks = f"{double.shown} holds pages two side by side: are they a reader's spreads, or printer's pairs?"
    return Question(asks, ('art = "spreads"', 'art = "printer\'s pairs"'))
