"""Jobs in several parts: what is put aside, and how cover and body come together before they are stitched and trimmed.

The parts' facts go in; the last steps of a part's chapter come out. What is folded apart is bound together once, in the
chapter of the part that is printed last. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from imposer.sheet.stitches import stitching_of
from imposer.units import show
from imposer.words import runs_of
from imposer.write.guide.blocks import numbered, paragraph
from imposer.write.guide.cautions import BENCH, caution_in_a_line
from imposer.write.guide.cover import cover_words
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.stitching import held_together
from imposer.write.guide.trimming import trimming
from imposer.write.guide.words import in_series


def finishing(facts: GuideFacts, parts: Sequence[GuideFacts], width: float) -> tuple[Section, ...]:
    """Return the steps from the folded part to the trimmed booklet; for all parts together where they are bound so."""
    bound = [part for part in parts if not part.extra and part.job.binding.stitch]
    if len(bound) < 2 or facts not in bound:
        return (*held_together(facts, width), trimming(facts, width))
    if facts is not bound[-1]:
        return (_put_aside(facts, bound[-1], width),)
    extras = [part for part in parts if part.extra]
    cover = wrapping(bound)
    inside = [part for part in bound if part is not cover]
    if cover is not None and any(part.job.binding.stitch != "saddle" for part in inside):
        block = replace(inside[-1], around=tuple(inside[:-1]))
        held, put_on = held_together(block, width), (_put_on(cover, block, width),)
        # A stab binding goes through the cover as well.
        steps = (*put_on, *held) if block.job.binding.stitch == "stab" else (*held, *put_on)
        return (
            *((_in_order(inside, width),) if len(inside) > 1 else ()),
            *steps,
            trimming(block, width),
            *_laid_in(extras, width),
        )
    core = replace(inside[-1], around=tuple(part for part in bound if part is not inside[-1]))
    return (
        _nest(cover, inside, width) if cover is not None else _in_order(inside, width),
        *held_together(core, width),
        trimming(core, width),
        *_laid_in(extras, width),
    )


def wrapping(bound: Sequence[GuideFacts]) -> GuideFacts | None:
    """Return the part whose pages lie before and behind those of all others; None if there is none."""
    for part in bound:
        others = [page for each in bound if each is not part for page in each.pages]
        if others and min(part.pages) < min(others) and max(part.pages) > max(others):
            return part
    return None


def _named(part: GuideFacts) -> str:
    return f"the {part.name} (pages {runs_of(part.pages)})"


def _put_aside(facts: GuideFacts, last: GuideFacts, width: float) -> Section:
    words = (
        f"Keep {_named(facts)} flat under a board, folded and in order. It is bound with the other parts once the "
        f"{last.name} is printed: the steps stand at the end of that chapter."
    )
    return Section("Put aside", paragraph(words, width))


def _nest(cover: GuideFacts, inside: Sequence[GuideFacts], width: float) -> Section:
    """Return the step that lays the inner parts into the outer one."""
    within = in_series([_named(part) for part in inside])
    texts = (
        f"Open {_named(cover)} at its middle and lay {within} in, spines together, heads the same way.",
        "Jog to the head. Leaf through the first copy from its first page to its last.",
    )
    return Section("Put the parts together", (*caution_in_a_line(BENCH, width), *numbered(texts, width)))


def _in_order(parts: Sequence[GuideFacts], width: float) -> Section:
    """Return the step that lays parts on one another, first pages up."""
    ordered = sorted(parts, key=lambda part: min(part.pages))
    names = in_series([_named(part) for part in ordered])
    texts = (
        f"Lay the parts on one another, first page up, so that they read on: {names} from the top.",
        "Jog to the spine, then to the head. Leaf through the first copy from its first page to its last.",
    )
    return Section("Put the parts together", (*caution_in_a_line(BENCH, width), *numbered(texts, width)))


def _put_on(cover: GuideFacts, block: GuideFacts, width: float) -> Section:
    held = stitching_of(block.job.binding, block.trim)
    words = cover_words(block, held) if held else ""
    first = f"Wrap {_named(cover)} round the block of {show(block.thickness)} mm."
    return Section("Put on the cover", (*caution_in_a_line(BENCH, width), *numbered((first, words), width)))


def _laid_in(extras: Sequence[GuideFacts], width: float) -> tuple[Section, ...]:
    if not extras:
        return ()
    names = in_series([f"the {part.name}" for part in extras])
    return (Section("Lay in and round", paragraph(f"Last of all, once it is trimmed: {names}.", width)),)
