"""Looks for crop marks drawn inside the page: they would print on it. Level: warning.

Short, thin, level and upright lines near at least three corners that point at a rectangle inside the trim: own choices,
no source. The mend: export the page without marks, at its own size; marks are drawn here, in the waste.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        if tones.marks is None:
            continue
        box = tones.on_page(tones.marks)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"crop marks inside the page point at {show(box.width)} × {show(box.height)} mm",
            mend="export the page without marks, at its own size",
            page=page,
            ink=ink,
            box=box,
            measured=f"{show(box.width)} × {show(box.height)} mm",
            limit="none",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="marks-in-page",
    looks_for="crop marks drawn inside the page",
    limit="marks at three corners",
    find=gathered(_find),
)
