"""What a proof says of itself: that it is a simulation, what it was computed from, and how far prints wander."""

from __future__ import annotations

from imposer.prepared import Prepared
from imposer.units import show


def simulation_words(prepared: Prepared) -> tuple[str, ...]:
    """Return the sentences that stand on every proof."""
    drift = prepared.job.shop.machine.drift
    simulated = (
        "Colours here are a simulation. They are computed from one colour for each full-tone ink and for the paper, "
        "as the studio's shop file states them, with a film model of translucent ink; a screen or another printer "
        "changes them further. Measured overprints of the studio's own chart would make them truer."
    )
    wander = (
        f"Prints wander: inks of one pass by about {show(drift.same_pass)} mm, inks of different passes by about "
        f"{show(drift.between_passes)} mm, front against back by about {show(drift.sides)} mm (19 of 20 prints). "
        "Here they lie exactly."
    )
    dots = "Tones print as dots, and soy ink on uncoated paper stays a little soft; a proof cannot show either."
    return simulated, wander, dots


def ink_lines(prepared: Prepared) -> tuple[tuple[str, str], ...]:
    """Return every ink with its colour, and how many masters it takes."""
    return tuple((ink.name, ink.colour) for ink in prepared.job.inks_in_all)


def paper_lines(prepared: Prepared) -> tuple[str, ...]:
    """Return what each part is printed on."""
    lines = []
    for part in prepared.parts:
        paper, stock = part.job.sheet.paper, part.imposition.layout.stock
        name = f"{part.name}: " if part.name else ""
        lines.append(f"{name}{paper.name}, {show(paper.weight)} g/m², on {stock.name}; {part.job.copies} copies")
    return tuple(lines)
