"""Looks for images in a PDF that do not bring all of their data: the rest prints bare or solid. Level: error.

Plain data are counted against what the image's size asks for; a row of pixels may be missing. JPEGs lack their end.
Damaged image files of their own cannot be decoded, which is told without this rule. The mend: export the file again.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        for cut in () if tones.drawn is None else tones.drawn.cut:
            missing = "a part" if cut.missing is None else f"{cut.missing:.0%}"
            yield Finding(
                rule=RULE.name,
                level="error",
                message=f"{missing} of a picture's data is missing in the PDF, so it prints cut off",
                mend="export the file again from the original",
                page=page,
                ink=ink,
                box=cut.box,
                measured=f"{missing} missing",
                limit="nothing missing",
                file=facts.shown(page, ink),
            )


RULE = Rule(
    name="cut-picture",
    looks_for="pictures in a PDF that lack a part of their data",
    limit="nothing missing",
    find=gathered(_find),
)
