"""Looks for a faint grey all over the page: the paper of a scan, which prints as a haze. Level: warning.

One tone under `lightest` and a half (15 %) on more than `ground` of the page (30 %; working default, no source), and
hardly any of the page really bare. A tint from `lightest` on that is the same everywhere is drawn so, and prints: paper
is lit and worn unevenly. The mend: set the white point so that the paper of the scan is white.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.job.check_limits import CheckLimits
from imposer.pages.tone_facts import InkTones

#: A page with more bare paper than this has a clean ground.
_BARE = 0.2
#: Cells of 2 mm this near to one another, of 255, are one ground; a tint has so few lighter than itself, for one that
#: is. Own choices.
_NEAR, _FEW = 5, 0.05
#: Tones are read to half of 255, per cent.
_READING = 0.2


def is_dirty(tones: InkTones, limits: CheckLimits) -> bool:
    """Tell whether a page has a grey ground."""
    levels = tones.levels
    faint = 0 < levels.ground * 100 < 1.5 * limits.lightest
    if not faint or levels.ground_share * 100 <= limits.ground or levels.bare >= _BARE:
        return False
    return levels.ground * 100 < limits.lightest - _READING or not _is_tint(tones)


def _is_tint(tones: InkTones) -> bool:
    """Tell whether the ground is one tone everywhere, as a drawing program fills it and no scanner sees paper."""
    import numpy as np

    counts = np.bincount(tones.map.cells().reshape(-1), minlength=256)
    middle = round(tones.levels.ground * 255)
    near = slice(max(middle - _NEAR, 1), middle + _NEAR + 1)
    tone = near.start + int(counts[near].argmax())
    # A cell with a bit of type in it is darker; of paper as much is lighter than its commonest tone as is darker.
    lighter = int(counts[max(tone - _NEAR, 1) : tone].sum())
    return lighter <= _FEW * int(counts[tone])


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        if not is_dirty(tones, limits):
            continue
        levels = tones.levels
        share = percent(levels.ground_share, limits.ground)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"{share} of the page have a grey of {percent(levels.ground)} all over",
            mend="set the white point of the scan so that its paper is white",
            page=page,
            ink=ink,
            measured=share,
            limit=f"{limits.ground:g} %",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="dirty-ground",
    looks_for="a faint grey all over the page",
    limit="30 % of the page under 15 % tone",
    limit_of=lambda limits: f"{limits.ground:g} % of the page under {1.5 * limits.lightest:g} % tone",
    find=gathered(_find),
)
