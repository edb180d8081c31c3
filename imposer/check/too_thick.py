"""Looks for a booklet too thick to stitch. Level: warning.

What the staple goes through, pieces × caliper for a saddle stitch and leaves × caliper for a side stitch, is held
against `stitch` (2 mm: 20 sheets of 80 g/m² for a long-arm stapler; common practice, no source). The mend: fewer pages,
thinner paper, sewing, or several signatures.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    booklet, caliper = facts.imposition.booklet, facts.job.sheet.paper.caliper
    saddle = facts.job.binding.style == "saddle"
    # A piece's leaves lie beside its spine; the staple of a saddle stitch meets each fold once.
    layers = len(booklet.pieces) if saddle else sum(len(piece.leaves) for piece in booklet.pieces)
    thick = layers * caliper
    if thick <= facts.limits.stitch:
        return
    what = "pieces" if saddle else "leaves"
    yield Finding(
        rule=RULE.name,
        level="warning",
        message=f"{layers} {what} of {show(caliper)} mm are {show(thick)} mm, more than a staple goes through",
        mend="fewer pages or thinner paper; or sew it" if not saddle else "fewer pages, thinner paper, or gather it",
        measured=f"{show(thick)} mm",
        limit=f"{show(facts.limits.stitch)} mm",
    )


RULE = Rule(
    name="too-thick",
    looks_for="a booklet too thick to stitch",
    limit="2 mm",
    limit_of=lambda limits: f"{show(limits.stitch)} mm",
    find=gathered(_find),
)
