"""Looks for art that is screened already and will be screened again: the two screens beat (moiré). Level: warning.

Patches whose change lies in one lattice of dots, over more than `screened` of the page (2 %; working default, no
source). Screened art must go through unscreened. The mend: send the continuous tones, or run this master as line art.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, percent
from imposer.findings import Finding
from imposer.geometry import Box


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        screen = tones.screen
        if screen is None or screen.share * 100 <= facts.limits.screened:
            continue
        share = percent(screen.share, facts.limits.screened)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=(
                f"{share} of the page are screened already, {screen.ruling:.0f} lines an inch at "
                f"{screen.angle:.0f}°; a second screen will beat with it"
            ),
            mend="send the tones unscreened, or run this master as line art",
            page=page,
            ink=ink,
            box=tones.on_page(_around(screen.boxes)),
            measured=share,
            limit=f"{facts.limits.screened:g} %",
            file=facts.shown(page, ink),
        )


def _around(boxes: tuple[Box, ...]) -> Box:
    return Box(
        min(box.x0 for box in boxes),
        min(box.y0 for box in boxes),
        max(box.x1 for box in boxes),
        max(box.y1 for box in boxes),
    )


RULE = Rule(
    name="screened-already",
    looks_for="art that is screened already",
    limit="2 % of the page",
    limit_of=lambda limits: f"{limits.screened:g} % of the page",
    find=gathered(_find),
)
