"""Looks for gaps and reversed lines so thin that they fill in. Level: note, warning.

At true size, by an opening of the pixels with a disc of the limit's width, `gap`. Knock-out lines of 1 pt: a screen
printer's film specification, taken as the default. Over `thin` of a page's ink (10 %; working default, no source) they
are a warning, under it the hatching of a drawing that may break here and there. The mend: open them up.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered, of_all_ink
from imposer.findings import Finding
from imposer.units import show

#: Less of it is a corner or a serif, mm².
_LEAST = 0.5


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        thin = tones.gaps
        if thin is None or thin.area < _LEAST:
            continue
        much = thin.share * 100 > limits.thin
        yield Finding(
            rule=RULE.name,
            level="warning" if much else "note",
            message=(f"gaps down to {show(thin.width)} mm{of_all_ink(thin.share)} may fill in"),
            mend="open them up" if much else "open up those that must stay open",
            page=page,
            ink=ink,
            box=tones.on_page(thin.box),
            measured=f"{show(thin.width)} mm",
            limit=f"{show(limits.gap)} mm",
            file=facts.shown(page, ink),
        )


RULE = Rule(
    name="thin-gaps",
    looks_for="gaps and reversed lines so thin that they fill in",
    limit="0.35 mm (1 pt)",
    limit_of=lambda limits: f"{show(limits.gap)} mm; a warning from {limits.thin:g} % of a page's ink on",
    find=gathered(_find),
)
