"""Every setting that prints, or changes how the simulation looks, in words: what is approved beside the pages.

A prepared job goes in, words by name come out. A part's settings bear its name before them; how inks look is the
shop's and the same in all parts. Inks are told as the simulation takes them: a measured colour in the place of the
colour code, defaults for what the shop leaves out, so that only what changes a picture changes a word.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace

from imposer.ink.overprint import appearance
from imposer.job.model import MARK_KINDS, Ink, Job, JobInk, Overprint
from imposer.prepared import Prepared, PreparedPart
from imposer.sheet.model import Label
from imposer.units import show

#: The setting by which a record's parts are known: every part has it.
EVERY_PART = "title"


def settings_of(prepared: Prepared) -> dict[str, str]:
    """Return every setting of a job that changes what is printed, how it is folded, or how it looks on the proof."""
    found: dict[str, str] = {}
    for ink in prepared.job.inks_in_all:
        found |= {f"ink {ink.name}: {name}": said for name, said in _look(ink).items()}
    measured = {" + ".join(each.inks): each for each in overprints_of(prepared)}
    found["overprints"] = "; ".join(measured) or "none"
    found |= {f"overprint {inks}: colour": colour_words(each.colour, each.lab) for inks, each in measured.items()}
    for part in prepared.parts:
        found |= {prefix_of(part.name) + name: said for name, said in _of_part(part).items()}
    return found


def earlier_settings(prepared: Prepared) -> dict[str, str]:
    """Return the settings that older records hold in other words than new ones do, in those words."""
    return {f"{prefix_of(part.name)}inks": ", ".join(map(_ink_with_code, part.job.inks)) for part in prepared.parts}


def overprints_of(prepared: Prepared) -> tuple[Overprint, ...]:
    """Return the shop's measured overprints that meet in a part of the job, each with its inks in order."""
    inks = [set(part.job.ink_names) for part in prepared.parts]
    ordered = (replace(each, inks=tuple(sorted(each.inks))) for each in prepared.job.shop.overprints)
    return tuple(sorted((each for each in ordered if any(map(set(each.inks).issubset, inks))), key=lambda o: o.inks))


def prefix_of(part: str) -> str:
    """Return what stands before the names of a part's settings; nothing where a job is one part."""
    return f"{part}: " if part else ""


def _look(ink: Ink) -> dict[str, str]:
    """Return what the simulation takes of an ink."""
    looks = appearance(ink)
    return {
        "colour": colour_words(ink.colour, ink.lab),
        "gain": f"{looks.gain * 100:g} %",
        "opacity": f"{looks.opacity * 100:g} %",
    }


def colour_words(code: str, lab: tuple[float, float, float] | None) -> str:
    """Return a colour as the simulation takes it: as measured where that is given, else its code.

    >>> colour_words("#eba52c", None), colour_words("#eba52c", (52.1, 60, -8.5))
    ('#eba52c', 'lab 52.1 60 -8.5')
    """
    return code if lab is None else f"lab {' '.join(f'{value:g}' for value in lab)}"


def _of_part(part: PreparedPart) -> dict[str, str]:
    job, layout = part.job, part.imposition.layout
    binding, sheet = job.binding, job.sheet
    return {
        EVERY_PART: job.title,
        "copies": str(job.copies),
        "page.trim": f"{show(job.page.trim.width)} × {show(job.page.trim.height)} mm",
        "page.bleed": f"{show(job.page.bleed)} mm",
        "page.fit": job.page.fit,
        "binding.style": str(binding.style),
        "binding.reading": binding.reading,
        "binding": _binding(job),
        "binding.stitch": _stitch(job),
        "sheet.paper": f"{sheet.paper.name}, {show(sheet.paper.weight)} g/m², {sheet.paper.colour}",
        "sheet.size": layout.stock.name,
        "sheet.turn": sheet.turn,
        "sheet.lead": layout.lead,
        "marks": _marks(part),
        "ink.names": ", ".join(job.ink_names),
        **{f"ink {ink.name}: plate": ink.plate or "gray layers" for ink in job.inks},
        "pages": str(len(part.pages)),
        "places": hashlib.sha256(_places(part).encode()).hexdigest()[:12],
    }


def _marks(part: PreparedPart) -> str:
    """Return which kinds of marks print: what a sheet has no room or no use for does not, whatever the job asks."""
    printed = {
        "label" if isinstance(mark, Label) else mark.kind for frame in part.frames.values() for mark in frame.marks
    }
    return ", ".join(f"{kind} {'on' if kind in printed else 'off'}" for kind in MARK_KINDS)


def _binding(job: Job) -> str:
    binding = job.binding
    creases = " ".join(map(str, binding.scheme.creases))
    return f"{binding.scheme.columns} × {binding.scheme.rows}, {creases}, creep {binding.creep}, spine {binding.spine}"


def _stitch(job: Job) -> str:
    """Return how the booklet is held, as far as the job says."""
    stitching = job.binding.stitching
    said: list[str] = [job.binding.stitch or "none"]
    if stitching.holes is not None:
        said.append(f"holes {stitching.holes}")
    said += [
        f"{name} {show(length)} mm"
        for name, length in (("hole line", stitching.line), ("margin", stitching.margin))
        if length is not None
    ]
    return ", ".join(said)


def _ink_with_code(ink: JobInk) -> str:
    return f"{ink.name} {ink.ink.colour}" + (f", plate {ink.plate}" if ink.plate else "")


def _places(part: PreparedPart) -> str:
    """Return where every page lies on every sheet, to a hundredth of a millimetre."""
    return "\n".join(
        f"{sheet} {side} {art.page} {art.rotation} "
        + " ".join(f"{round(edge, 2) + 0.0:.2f}" for edge in (art.trim.x0, art.trim.y0, art.trim.x1, art.trim.y1))
        for (sheet, side), frame in sorted(part.frames.items())
        for art in frame.art
    )
