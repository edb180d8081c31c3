"""What an artist is told in plain words: pages, files, inks, tones, edges. A job's parts in, headed paragraphs out.

Every number is the job's or the shop's. The rest is what studios of this kind ask for (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from imposer.geometry import Size
from imposer.impose_parts import ImposedPart
from imposer.job.model import Job
from imposer.pages.resolution import pixels_at
from imposer.units import show, to_points
from imposer.words import number_of, runs_of
from imposer.write.guide.words import in_series
from imposer.write.page_guide.groups import PageGroup, SpreadGroup, in_words
from imposer.write.page_guide.shapes import ZoneWords
from imposer.write.page_guide.zones import PageZones

#: Tones of large solids, %: what stencil ink takes without sticking and smearing. Common practice, no source.
SOLIDS = "70 to 80 %"


@dataclass(frozen=True, slots=True)
class Paragraphs:
    """A heading with what stands under it."""

    heading: str
    texts: tuple[str, ...]


def zone_words(job: Job) -> ZoneWords:
    """Return what is written at the lines of a guide."""
    machine, limits = job.shop.machine, job.shop.check
    return ZoneWords(
        text=f"type and small things in here: {show(limits.edge_detail)} mm from cut and fold",
        print_limit="the machine prints nothing in the hatched part",
        careful=f"no heavy ink beyond: {show(machine.careful)} mm from the sheet's edge",
        track=f"roller track: tones under {show(limits.track_coverage)} %",
    )


def artist_words(
    job: Job, parts: Sequence[ImposedPart], pages: Sequence[PageGroup], spreads: Sequence[SpreadGroup]
) -> tuple[Paragraphs, ...]:
    """Return all that an artist is told, in the order of the work."""
    return (
        Paragraphs("Pages", tuple(_pages(parts, pages))),
        Paragraphs("Inks and layers", tuple(_inks(job, parts))),
        Paragraphs("Tones", tuple(_tones(job))),
        Paragraphs("Pictures, lines and type", tuple(_sharpness(job))),
        Paragraphs("Edges", tuple(_edges(job, pages))),
        Paragraphs("Guides to draw on", tuple(_guides(pages, spreads))),
    )


def zones_in_words(zones: PageZones) -> str:
    """Say what of the machine falls on a page."""
    said = []
    if zones.print_limit is not None:
        said.append("part of it cannot be printed")
    if zones.careful is not None:
        said.append("the sheet's careful margin runs over it")
    if zones.tracks:
        said.append("the feed roller runs over it")
    if zones.binding:
        said.append(f"the binding takes {show(zones.binding)} mm at the spine")
    if zones.creep:
        said.append(f"creep takes {show(zones.creep)} mm at the spine")
    if zones.pushed_out:
        said.append(f"creep takes about {show(zones.pushed_out)} mm at the fore edge")
    return in_series(said) if said else "none of the machine's zones falls on it"


def _pages(parts: Sequence[ImposedPart], groups: Sequence[PageGroup]) -> list[str]:
    last = max((page for part in parts if not part.extra for page in part.pages), default=0)
    said = []
    if last > 1:
        said.append(
            f"{number_of(last, 'page')}, numbered as they are read: page 1 is the front cover, page {last} the back."
        )
    for part in parts:
        sizes = dict.fromkeys(_size_in_words(g.zones) for g in groups if g.pages[0].part is part)
        for size in sizes:
            whose = f"{part.name} ({runs_of(part.pages)}): " if part.name else "Each page: "
            said.append(f"{whose}{size}")
    if any(part.imposition.booklet.blanks for part in parts):
        blanks = [page for part in parts for page in part.imposition.booklet.blanks]
        said.append(f"Without art so far: {'page' if len(blanks) == 1 else 'pages'} {runs_of(blanks)}.")
    return said


def _size_in_words(zones: PageZones) -> str:
    trim, whole = zones.trim, zones.whole.size
    wide, high = pixels_at(whole, 600)
    pixels = f"{wide} × {high} pixels at 600 an inch"
    if zones.bleed:
        return (
            f"{_mm(trim)} when trimmed; send {_mm(whole)}, which is {show(zones.bleed)} mm of bleed all round, "
            f"{pixels}."
        )
    return f"{_mm(trim)}, {pixels}. There is no bleed: nothing may run to the edge."


def _mm(size: Size) -> str:
    return f"{show(size.width)} × {show(size.height)} mm"


def _inks(job: Job, parts: Sequence[ImposedPart]) -> list[str]:
    said = ["One file for each ink: a folder of gray pages, or a PDF with all pages."]
    for part in parts:
        names = [f"{ink.name} ({', '.join(ink.pages)})" if ink.pages else ink.name for ink in part.job.inks]
        whose = f"{part.name}: " if part.name else ""
        said.append(f"{whose}{number_of(len(names), 'ink')}: {in_series(names)}.")
    said += [
        (
            "Gray means ink. 100 % black prints the ink at full tone, 50 % half of it, white nothing. "
            "The colour is chosen on the press, so send no colour: each layer is gray."
        ),
        "All layers have the same size and the same pages. A page that an ink does not print may be left out.",
        "Inks are see-through and mix where they meet. Leave white, in every layer beneath, what shall stay clean.",
    ]
    drift, drums = job.shop.machine.drift, job.shop.machine.drums
    together = f"{number_of(drums, 'ink')} print" if drums > 1 else "One ink prints"
    said.append(
        f"{together} in one pass and may lie {show(drift.same_pass)} mm apart; inks of different passes "
        f"{show(drift.between_passes)} mm, front and back {show(drift.sides)} mm. Let inks that touch overlap by that "
        "much, or leave a gap on purpose."
    )
    return said


def _tones(job: Job) -> list[str]:
    limits = job.shop.check
    return [
        f"Large solids at {SOLIDS} black, never 100 %: more sticks, smears and marks the next sheet.",
        "Type and thin lines at 100 % black, so that they are not broken into dots.",
        (
            f"Tones hold between {show(limits.lightest)} and {show(limits.darkest)} %; lighter ones vanish, darker "
            "ones fill in. Gradients and see-through things as grays: the press makes the dots."
        ),
    ]


def _sharpness(job: Job) -> list[str]:
    limits = job.shop.check
    return [
        (
            f"Line art {show(limits.line_ppi)} pixels an inch, pictures {show(limits.tone_ppi)}, at final size; under "
            f"{show(limits.least_ppi)} the pixels show."
        ),
        "Do not screen pictures into dots, unless the dots are the picture; then say so.",
        (
            f"Lines from {show(limits.line)} mm, white lines in ink from {show(limits.gap)} mm. Type from "
            f"{_points(limits.type_size)} pt, white or in two inks from {_points(limits.type_reversed)} pt; fonts in a "
            "PDF embedded or as outlines."
        ),
    ]


def _points(mm: float) -> str:
    return show(round(to_points(mm), 1))


def _edges(job: Job, groups: Sequence[PageGroup]) -> list[str]:
    machine = job.shop.machine
    said = [
        (
            f"Type, page numbers and small things stay {show(job.shop.check.edge_detail)} mm from every cut and fold: "
            "the dashed box of the guides."
        )
    ]
    creep = max((group.zones.creep for group in groups), default=0.0)
    if creep:
        said.append(
            f"Inner leaves stand out and are trimmed more, so their pages are moved up to {show(creep)} mm toward the "
            "spine. The guides show it page by page."
        )
    binding = max((group.zones.binding for group in groups), default=0.0)
    if binding:
        said.append(f"The inner {show(binding)} mm of every page vanish in the binding: keep them clear.")
    pushed = max((group.zones.pushed_out for group in groups), default=0.0)
    if pushed:
        said.append(f"Inner leaves stand out up to about {show(pushed)} mm and lose that much at the fore edge.")
    spread = next((g.zones.spine for g in groups if g.zones.spine is not None), None)
    if spread is not None:
        said.append("Nothing bleeds over the spine: art that crosses it is cut there, half of it on either page.")
    if any(group.zones.print_limit for group in groups):
        said.append("Some pages reach to where the machine cannot print: hatched in the guides.")
    if any(group.zones.careful for group in groups):
        said.append(
            f"No heavy ink within {show(machine.careful)} mm of the sheet's edge: outside the dash-and-dot line."
        )
    if any(group.zones.tracks for group in groups):
        limit = job.shop.check.track_coverage
        said.append(f"The feed roller marks wet ink in a band; keep tones under {show(limit)} % there.")
    untouched = not any(g.zones.print_limit or g.zones.careful or g.zones.tracks for g in groups)
    if untouched:
        said.append("None of the machine's own zones falls on these pages.")
    return said


def _guides(pages: Sequence[PageGroup], spreads: Sequence[SpreadGroup]) -> list[str]:
    said = [
        (
            "Put the guide on a layer of its own, of exactly the page with its bleed, and take it out before you send "
            "the page: whatever is black in a file is printed."
        ),
    ]
    said += [f"{group.name}: {in_words(group)}; {zones_in_words(group.zones)}." for group in pages]
    said += [f"{group.name}: {in_words(group)}." for group in spreads]
    return said
