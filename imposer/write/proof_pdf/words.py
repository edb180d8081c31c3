"""What a proof says of itself: that it is a simulation, what it was computed from, and how far prints wander."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.approval.settings import colour_words, overprints_of
from imposer.ink.colour import srgb8_from_rec2020
from imposer.ink.defaults import GAIN, OPACITY
from imposer.ink.overprint import appearance, shop_model
from imposer.job.model import Ink
from imposer.prepared import Prepared
from imposer.units import show
from imposer.write.guide.words import in_series


def simulation_words(prepared: Prepared) -> tuple[str, ...]:
    """Return the sentences that stand on every proof."""
    drift = prepared.job.shop.machine.drift
    simulated = (
        "Colours here are a simulation. They are computed from the colour of each full-tone ink on white paper, "
        "measured where it says so, and from the colour of the paper, as the studio's shop file states them, with a "
        "film model of ink; a screen or another printer changes them further."
    )
    wander = (
        f"Prints wander: inks of one pass by about {show(drift.same_pass)} mm, inks of different passes by about "
        f"{show(drift.between_passes)} mm, front against back by about {show(drift.sides)} mm (19 of 20 prints). "
        "Here they lie exactly."
    )
    dots = "Tones print as dots, and soy ink on uncoated paper stays a little soft; a proof cannot show either."
    return (*filter(None, (simulated, _overprint_words(prepared))), wander, dots)


def _overprint_words(prepared: Prepared) -> str:
    """Return what is said of inks on one another, where any may meet."""
    measured = [" with ".join(each.inks) for each in overprints_of(prepared)]
    if measured:
        return f"These overprints are as the studio measured them: {', '.join(measured)}."
    if any(len(part.job.inks) > 1 for part in prepared.parts):
        return (
            "Measured overprints of the studio's own chart would make them truer; its shop file states none of these."
        )
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class InkLine:
    """An ink as the proof shows it."""

    name: str
    #: Its full tone as computed, `#rrggbb`, on each paper that it prints on.
    swatches: tuple[str, ...]
    #: What it was computed from.
    words: str


def ink_lines(prepared: Prepared) -> tuple[InkLine, ...]:
    """Return every ink with its full tone on the job's papers, and what that was computed from."""
    return tuple(_ink_line(prepared, ink) for ink in prepared.job.inks_in_all)


def _ink_line(prepared: Prepared, ink: Ink) -> InkLine:
    printed_on = [part.job.sheet.paper for part in prepared.parts if ink.name in part.job.ink_names]
    papers = dict.fromkeys(printed_on or [prepared.job.sheet.paper])
    looks = appearance(ink)
    words = [f"{ink.name}: {colour_words(ink.colour, ink.lab)} on white paper"]
    if ink.lab is not None:
        words.append("as measured")
    if looks.gain != GAIN:
        words.append(f"gain {looks.gain * 100:g} %")
    if looks.opacity != OPACITY:
        words.append(f"hides {looks.opacity * 100:g} % of what lies under it")
    said = f"{', '.join(words)}; shown on {in_series(paper.name for paper in papers)}"
    if not looks.colour.on_screen:
        said += "; purer than any screen can show: the nearest colour stands here"
    swatches = (srgb8_from_rec2020(shop_model(paper, [ink]).solids[1]) for paper in papers)
    return InkLine(name=ink.name, swatches=tuple(f"#{bytes(each.tolist()).hex()}" for each in swatches), words=said)


def paper_lines(prepared: Prepared) -> tuple[str, ...]:
    """Return what each part is printed on."""
    lines = []
    for part in prepared.parts:
        paper, stock = part.job.sheet.paper, part.imposition.layout.stock
        name = f"{part.name}: " if part.name else ""
        lines.append(
            f"{name}{paper.name}, {paper.colour}, {show(paper.weight)} g/m², on {stock.name}; {part.job.copies} copies"
        )
    return tuple(lines)
