"""Looks for images with too few pixels for what they hold; line art and pictures told apart. Level: warning, note.

By looking at the pixels: line art wants the machine's own resolution, `line_ppi` (600), pictures `tone_ppi` (300), and
under `least_ppi` (150) pixels show in anything; common practice, no source. Line art between 300 and 600 is a note.
Vectors have no resolution. The mend: export it again with more pixels; enlarging it does not help.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding, Level
from imposer.job.check_limits import CheckLimits
from imposer.pages.tone_facts import InkTones

#: Within this part of a limit an image has it: sizes are rounded to whole pixels.
_NEARLY = 0.99


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        if tones.kind != "image":
            yield from _in_vectors(facts, page, ink, tones)
            continue
        what, wanted = _wanted(tones, facts.limits)
        if tones.ppi >= wanted * _NEARLY:
            continue
        yield Finding(
            rule=RULE.name,
            level=_level(tones, facts.limits),
            message=f"{what} at {tones.ppi:.0f} pixels an inch as printed",
            mend="export it again with more pixels; enlarging it does not help",
            page=page,
            ink=ink,
            measured=f"{tones.ppi:.0f} ppi",
            limit=f"{wanted:g} ppi",
            file=facts.shown(page, ink),
        )


def _in_vectors(facts: Facts, page: int, ink: str, tones: InkTones) -> Iterator[Finding]:
    """Tell of the coarsest image that a PDF page places, by its own pixels and the size it is placed at."""
    picture = None if tones.drawn is None else tones.drawn.coarsest
    limits = facts.limits
    if picture is None:
        return
    wanted = limits.line_ppi if picture.bilevel else limits.tone_ppi
    if picture.ppi >= wanted * _NEARLY:
        return
    note = picture.bilevel and picture.ppi >= limits.tone_ppi * _NEARLY
    yield Finding(
        rule=RULE.name,
        level="note" if note else "warning",
        message=(
            f"{'a bitmap' if picture.bilevel else 'a picture'} in the PDF has {picture.ppi:.0f} pixels an inch as "
            "printed"
        ),
        mend="place it with more pixels, or smaller",
        page=page,
        ink=ink,
        box=picture.box,
        measured=f"{picture.ppi:.0f} ppi",
        limit=f"{wanted:g} ppi",
        file=facts.shown(page, ink),
    )


def _wanted(tones: InkTones, limits: CheckLimits) -> tuple[str, float]:
    if tones.content.kind == "line":
        return "line art", limits.line_ppi
    return ("a picture" if tones.content.kind == "tone" else "pictures and lines"), limits.tone_ppi


def _level(tones: InkTones, limits: CheckLimits) -> Level:
    if tones.ppi < limits.least_ppi * _NEARLY:
        return "warning"
    return "note" if tones.content.kind == "line" and tones.ppi >= limits.tone_ppi * _NEARLY else "warning"


RULE = Rule(
    name="resolution",
    looks_for="images with too few pixels for what they hold",
    limit="600 ppi for line art, 300 ppi for pictures",
    limit_of=lambda limits: f"{limits.line_ppi:g} ppi for line art, {limits.tone_ppi:g} ppi for pictures",
    find=gathered(_find),
)
