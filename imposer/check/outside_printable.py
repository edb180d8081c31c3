"""Looks for ink beyond the printable area of the press sheet, where the machine leaves it out. Level: warning or error.

Measured on the page's own pixels at its place on the sheet: how far ink reaches beyond, and what part of the page's ink
is lost, at every stretch of an edge where it is. Any reach of a tenth of a millimetre is told; from `lost_ink` on (1 %
of the page's ink in all; working default, no source) it is an error, because what is lost is no hairline at a rim. The
margins are the machine's own. The mend: draw it smaller or further in, or a smaller trim.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from imposer.check.facts import Facts, Rule, gathered, is_told, percent
from imposer.findings import Finding
from imposer.geometry import Edge
from imposer.sheet.places import PagePlace
from imposer.tones.rim import Beyond
from imposer.units import TOLERANCE, show

#: A reach under this is the rim of a pixel, mm.
_LEAST_REACH = 0.1
_NAMES: Mapping[Edge, str] = {"left": "left", "right": "right", "bottom": "foot", "top": "head"}


def _find(facts: Facts) -> Iterator[Finding]:
    for page, ink, tones in facts.inks():
        for place in facts.places_of(page):
            lost = tones.outside.get(place.safe)
            if lost is None or lost.furthest < _LEAST_REACH:
                continue
            spots = [replace(one, box=tones.on_page(one.box)) for one in lost.places]
            for spot in spots:
                if spot.reach(place.safe) >= _LEAST_REACH - TOLERANCE:
                    share = spot.laid / tones.ink if len(spots) > 1 else lost.share
                    yield _finding(facts, page, ink, place, spot, share, lost.share)
            break


def _finding(facts: Facts, page: int, ink: str, place: PagePlace, spot: Beyond, share: float, whole: float) -> Finding:
    reach = f"{show(round(spot.reach(place.safe), 1))} mm"
    here, all_of_it = percent(share), percent(whole)
    lost = f", and {here} of the page's ink is lost there" if is_told(share) else ""
    more = f", {all_of_it} in all" if lost and here != all_of_it else ""
    in_all = " in all" if here != all_of_it else ""
    return Finding(
        rule=RULE.name,
        level="error" if whole * 100 > facts.limits.lost_ink else "warning",
        message=f"ink reaches {reach} beyond the printable area at the page's {_NAMES[spot.edge]}{lost}{more}",
        mend="draw it smaller or further in, choose a smaller trim, or fewer pieces a side",
        page=page,
        ink=ink,
        sheet=place.sheet,
        side=place.side,
        box=place.to_sheet.apply_box(spot.box),
        measured=reach + (f", {all_of_it} of the page's ink{in_all}" if is_told(whole) else ""),
        limit="0.1 mm",
        file=facts.shown(page, ink),
    )


RULE = Rule(
    name="outside-printable",
    looks_for="ink beyond the printable area of the sheet",
    limit="0.1 mm beyond it",
    limit_of=lambda limits: f"0.1 mm beyond it; an error from {limits.lost_ink:g} % of a page's ink on",
    find=gathered(_find),
)
