"""The usual cautions, each shown before the step it belongs to. Reminders: the machine's manual and local rules lead.

Common practice of print rooms and binderies, no source.
"""

from __future__ import annotations

from collections.abc import Iterable

from imposer.data.fonts import SANS_BOLD
from imposer.write.guide.blocks import SMALL, Block, boxed, gap, kept, marked, paragraph
from imposer.write.guide.pen import Pen

FIRST = "The machine's manual, local rules and a trained person come first. Tired or unsure? Stop and ask."

MACHINE = (
    "Covers shut while it runs. Stop and isolate it before you clear a jam; never reach for a sheet that went wrong.",
    "Hair, sleeves, lanyards and jewellery away from rollers and nip points.",
    "Lift drums with two hands. Split reams and boxes into small loads and carry them close to the body.",
    "Air the room. Keep ink off the skin; wash it off with soap and water. Wipe spills at once.",
)

PASS = "Covers shut while it runs; stop and isolate it before you clear a jam. Two hands for every drum."

GUILLOTINE = (
    "Trained people only, one person at a time, with the guards in place.",
    "Hands out before the clamp comes down. Nothing on the bed but paper and the pusher block.",
    "Lock it when you leave. Leave blade changes to those who are trained for them.",
    "By hand: fresh blade, guarded rule, cut away from your fingers.",
)

STAPLER = ("Fingers off the anvil. Check that the legs are closed flat. Mind your eyes with loose wire.",)

AWL = (
    "Points away from you; no hand under or in front of one. Pierce into a board or a cradle, not into your palm.",
    "A cork on every awl and needle that is put down. Count the needles out and in.",
    "Cut thread with scissors, not with an open blade. Mind your eyes when you pull a long thread.",
)

BENCH = "Change hands and tasks, take breaks: repeated folding and collating strains wrists and back."


def caution(texts: Iterable[str], width: float, *, first: bool = True) -> tuple[Block, ...]:
    """Return cautions in a shaded frame with a warning sign; `first` adds who comes before this guide."""
    inner = width - 6
    lines: list[Block] = [*_titled(inner)]
    for text in texts:
        lines += marked(_dot, text, inner, SMALL)
    if first:
        lines += paragraph(FIRST, inner, SMALL, font=SANS_BOLD)
    return kept((boxed(lines, width, fill=0.93, weight=None), gap(3.0)))


def caution_in_a_line(text: str, width: float) -> tuple[Block, ...]:
    """Return a short caution behind a warning sign."""
    return kept((boxed(marked(_sign, text, width - 6, SMALL), width, fill=0.93, weight=None), gap(1.5)))


def _titled(width: float) -> tuple[Block, ...]:
    (line, *_) = marked(_sign, "Take care", width)
    return (line, gap(0.5))


def _sign(pen: Pen, x: float, baseline: float) -> None:
    pen.shape(((x, baseline - 0.7), (x + 4.8, baseline - 0.7), (x + 2.4, baseline + 3.5)), weight=None, fill=0.0)
    pen.text((x + 2.4, baseline - 0.2), "!", 8, font=SANS_BOLD, paint=1.0, align="centre")


def _dot(pen: Pen, x: float, baseline: float) -> None:
    pen.disc((x + 2.4, baseline + 1.0), 0.55)
