"""Looks for lines thinner than the press holds: they break up or vanish. Level: note, warning.

At true size, by an opening of the pixels with a disc of the limit's width, `line`. Positive lines of 0.5 pt: a screen
printer's film specification, taken as the default. Over `thin` of a page's ink (10 %; working default, no source) they
are a warning, under it the hatching of a drawing that may break here and there. Strokes of vector art are told by the
width they are drawn in. The mend: draw them heavier.
"""

from __future__ import annotations

from collections.abc import Iterator

from imposer.check.drawn_on_page import thinnest_on_page
from imposer.check.facts import Facts, Rule, gathered, of_all_ink
from imposer.findings import Finding
from imposer.pages.drawn_facts import Pen
from imposer.pages.tone_facts import InkTones
from imposer.units import show

#: Less of it is a corner or a serif, mm².
_LEAST = 0.5
#: Widths are read to this, mm.
_READING = 0.002


def _find(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    for page, ink, tones in facts.inks():
        pen = thinnest_on_page(tones)
        if pen is not None and pen.width < limits.line - _READING:
            yield _drawn(facts, page, ink, tones, pen)
            continue
        thin = tones.lines
        if thin is None or thin.area < _LEAST:
            continue
        much = thin.share * 100 > limits.thin
        yield Finding(
            rule=RULE.name,
            level="warning" if much else "note",
            message=(f"lines down to {show(thin.width)} mm{of_all_ink(thin.share)} may break up or vanish"),
            mend="draw them heavier" if much else "draw those heavier that must not break",
            page=page,
            ink=ink,
            box=tones.on_page(thin.box),
            measured=f"{show(thin.width)} mm",
            limit=f"{show(limits.line)} mm",
            file=facts.shown(page, ink),
        )


def _drawn(facts: Facts, page: int, ink: str, tones: InkTones, pen: Pen) -> Finding:
    """Return what to say of a stroke whose width the drawing itself states."""
    much = tones.lines is not None and tones.lines.share * 100 > facts.limits.thin
    return Finding(
        rule=RULE.name,
        level="warning" if much else "note",
        message=f"strokes are drawn {_wide(pen)} and may break up or vanish",
        mend="draw them heavier",
        page=page,
        ink=ink,
        box=pen.box,
        measured=f"{show(pen.width)} mm",
        limit=f"{show(facts.limits.line)} mm",
        file=facts.shown(page, ink),
    )


def _wide(pen: Pen) -> str:
    """Return how wide a stroke is drawn; one of no width is what the PDF's drawing calls as thin as can be."""
    width = show(pen.width)
    return "with no width, as thin as the machine can," if width == "0" else f"{width} mm wide"


RULE = Rule(
    name="thin-lines",
    looks_for="lines thinner than the press holds",
    limit="0.18 mm (0.5 pt)",
    limit_of=lambda limits: f"{show(limits.line)} mm; a warning from {limits.thin:g} % of a page's ink on",
    find=gathered(_find),
)
