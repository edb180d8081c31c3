"""Looks for a layer that matches the page's other layer better turned, mirrored, moved or scaled. Level: warning.

Outlines of the two are correlated in all eight ways a sheet can lie, over all moves of up to 15 mm and some scales. It
is told if they match well so (`match`, 0.35) and much better than as they lie (`match_gain`, 0.2): working defaults, no
source. And it must be proved, for blocks, discs and lines of words match any others in some way: a fair part of both
layers' fine detail agrees then, it is enough detail, and no other way or place does nearly as well. The mend: look at
both layers on top of each other, and export the one that is wrong again.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.tones.agreement import Agreement
from imposer.tones.likeness import Match
from imposer.units import show

#: Moves under this are the layers' own, mm, and so are scales this near to 1.
_STILL, _SAME_SCALE = 0.3, 0.01

#: What proves a match, working values of our own. Squares, discs and single lines of words were measured with up to 8
#: places of detail that agree, a word and its drop shadow, which is meant, with up to 15, sixteen plain flats of colour
#: under their outlines with 17 to 20, drawings with 40 and more; so what is only moved needs more of them. Unlike words
#: agree in a sixteenth of their outlines, the same art, if scaled type, in a quarter at least; rows of blocks match one
#: block further by 0.05 less, type by 0.12 less.
_DETAILS, _DETAILS_MOVED, _AGREEING, _OVER_RIVAL = 12, 16, 0.2, 0.08


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, tones in facts.tones.items():
        for pair in tones.pairs:
            match = pair.match
            if match is None or match.score < limits.match or match.score - match.as_is < limits.match_gain:
                continue
            if pair.agreement is None or not _proves(match, pair.agreement):
                continue
            how = _words(match)
            if not how:
                continue
            yield Finding(
                rule=RULE.name,
                level="warning",
                message=f"this layer would match {pair.first} better {how}",
                mend="look at both layers on top of each other, and export the one that is wrong again",
                page=page,
                ink=pair.second,
                measured=f"{match.score:.2f} so, {match.as_is:.2f} as it is",
                limit=f"{limits.match:g}, and {limits.match_gain:g} better",
                file=facts.shown(page, pair.second),
                other_ink=pair.first,
            )


def _proves(match: Match, found: Agreement) -> bool:
    """Tell whether the match is more than that of simple or repeated shapes."""
    only_moved = not (match.mirrored or match.turn) and abs(match.scale - 1) <= _SAME_SCALE
    return (
        found.details >= (_DETAILS_MOVED if only_moved else _DETAILS)
        and min(found.of_first, found.of_second) >= _AGREEING
        and match.score - match.rival >= _OVER_RIVAL
    )


def _words(match: Match) -> str:
    words = ["mirrored"] if match.mirrored else []
    if match.turn:
        words.append(f"turned by {match.turn}°")
    if abs(match.scale - 1) > _SAME_SCALE:
        words.append(f"scaled to {100 * match.scale:.0f} %")
    if max(abs(match.dx), abs(match.dy)) >= _STILL:
        ways = (_way(match.dx, "right", "left"), _way(match.dy, "up", "down"))
        words.append("moved by " + " and ".join(way for way in ways if way))
    return " and ".join(words)


def _way(mm: float, ahead: str, back: str) -> str:
    """Return how far in a direction, in words, to a tenth; empty if that is nought."""
    far = show(round(abs(mm), 1))
    return "" if far == "0" else f"{far} mm {ahead if mm >= 0 else back}"


RULE = Rule(
    name="misplaced-layer",
    looks_for="a layer that matches the others better turned, mirrored, moved or scaled",
    limit="a correlation of outlines of 0.35, and 0.2 better than as it lies",
    limit_of=lambda limits: (
        f"a correlation of outlines of {limits.match:g}, and {limits.match_gain:g} better than as it lies"
    ),
    find=gathered(_find),
)
