"""Looks at what drift will show on a page: white gaps and dark overlaps that were not drawn. Level: warning, note.

Each page is tried on thirty sheets whose inks shift as the machine's drift says, those of different passes further than
those of one (see `tones.trials`); what shows is the mean colour difference over the page, held against `register`
(0.3 ΔE; working default, no source). The page that shows the most is told as a note in any case. The mend: spread the
lighter ink under the darker, leave a gap on purpose, or bring both inks into one pass.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding, Level
from imposer.tones.trials import Trials


def _find(facts: Facts) -> Iterator[Finding]:
    limit = facts.limits.register
    over = {page: tried for page, tried in facts.trials.items() if tried.score > limit}
    for page, tried in over.items():
        yield _finding(facts, page, tried, "warning")
    if not over and facts.trials:
        page = max(facts.trials, key=lambda page: facts.trials[page].score)
        if facts.trials[page].score >= _TOLD:
            yield _finding(facts, page, facts.trials[page], "note")


#: A page that shows less than this is not worth a word, ΔE.
_TOLD = 0.02


def _finding(facts: Facts, page: int, tried: Trials, level: Level) -> Finding:
    what = "drift will show" if level == "warning" else "of all pages this one shows drift the most"
    first = next(iter(facts.tones[page].inks.values()))
    return Finding(
        rule=RULE.name,
        level=level,
        message=f"{what}: about {_shown(tried)} a sheet that were not drawn",
        mend=(
            "spread the lighter ink under the darker, leave a gap on purpose, or bring both inks into one pass"
            if level == "warning"
            else "look at its edges in the proof, and spread the lighter ink under the darker where white would show"
        ),
        page=page,
        box=None if tried.worst is None else first.on_page(tried.worst.box),
        measured=f"{tried.score:.2f} ΔE",
        limit=f"{facts.limits.register:g} ΔE",
    )


def _shown(tried: Trials) -> str:
    """Return how much white and overlap drift shows, in words; what is nought is left out, unless both are."""
    amounts = [(f"{tried.white:.0f}", "white"), (f"{tried.overlap:.0f}", "overlap")]
    told = [(area, what) for area, what in amounts if area != "0"] or amounts
    return " and ".join(f"{area} mm² of {what}" for area, what in told)


RULE = Rule(
    name="registration",
    looks_for="white and overlap that drift will show",
    limit="0.3 ΔE over the page",
    limit_of=lambda limits: f"{limits.register:g} ΔE over the page",
    find=gathered(_find),
)
