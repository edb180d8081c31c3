"""Looks for tones lighter than the press holds: they vanish, or come and go from sheet to sheet. Level: warning.

Even tones under `lightest` (10 %; general printers warn under 10 to 15 %, common practice, no source) over more than
`lost_tones` of the page (5 %; working default). A grey all over is told as a dirty ground instead, and the noise of a
scanner or a lossy coding, under 1 % in the mean over 2 mm, is bare paper. The mend: make them at least that dark, or
white.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.dirty_ground import is_dirty
from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.pages.tone_facts import InkTones
from imposer.tones.coverage import LEAST_INK


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        levels = tones.levels
        if levels.light * 100 <= limits.lost_tones or levels.light_box is None or is_dirty(tones, limits):
            continue
        if _toned(tones, limits.lightest / 100) * 100 <= limits.lost_tones:
            continue
        share = percent(levels.light, limits.lost_tones)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"tones under {limits.lightest:g} % cover {share} of the page and may not print",
            mend=f"make them {limits.lightest:g} % or more, or white",
            page=page,
            ink=ink,
            box=tones.on_page(levels.light_box),
            measured=share,
            limit=f"{limits.lost_tones:g} %",
            file=facts.shown(page, ink),
        )


def _toned(tones: InkTones, lightest: float) -> float:
    """Return the share of a page's cells of 2 mm that have any tone, and less in the mean than the press holds."""
    cells = tones.map.cells()
    return float(((cells >= LEAST_INK) & (cells < lightest * 255)).mean())


RULE = Rule(
    name="faint-tones",
    looks_for="tones lighter than the press holds",
    limit="5 % of the page under 10 % tone",
    limit_of=lambda limits: f"{limits.lost_tones:g} % of the page under {limits.lightest:g} % tone",
    find=gathered(_find),
)
