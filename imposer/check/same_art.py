"""Looks for the same art in two inks of a page: often one file sent twice, or a black built from all plates. Warning.

The tones' correlation is held against `same_art` (0.97; working default, no source), and they may hardly differ
anywhere. Fine line art is the same at two strengths, too; solid shapes and pictures are not: two tones of those mix a
colour. Level: warning. The mend: leave the art in one ink, or accept it if both are meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.pages.tone_facts import PageTones, PairTones

#: The share of the page where the tones may differ by more than a tenth.
_DIFFERING = 0.02
#: Fine line art has this share of edges among its ink; a solid of 2 cm has a sixtieth, lines of half a millimetre have
#: half. And where its strengths are made alike it hardly differs. Working values of our own.
_FINE, _UNLIKE = 0.1, 0.002


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.same_art
    for page, tones in facts.tones.items():
        for pair in tones.pairs:
            if pair.sameness.correlation < limit or not (
                pair.sameness.differing <= _DIFFERING or _at_two_strengths(tones, pair)
            ):
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"the same art stands in {pair.first} and in {pair.second}",
                mend="leave it in one ink; both on top of each other never meet exactly",
                page=page,
                ink=pair.second,
                measured=f"{pair.sameness.correlation:.2f} alike",
                limit=f"{limit:g}",
                file=facts.shown(page, pair.second),
                other_ink=pair.first,
            )


def _at_two_strengths(tones: PageTones, pair: PairTones) -> bool:
    """Tell whether the two are one line drawing, whose grey edges may pass for tones in the paler of them."""
    contents = [tones.inks[ink].content for ink in (pair.first, pair.second)]
    return pair.sameness.unlike <= _UNLIKE and any(one.kind == "line" and one.edge >= _FINE for one in contents)


RULE = Rule(
    name="same-art",
    looks_for="the same art in two inks",
    limit="a correlation of tones of 0.97",
    limit_of=lambda limits: f"a correlation of tones of {limits.same_art:g}",
    find=gathered(_find),
)
