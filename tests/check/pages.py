"""Facts for rules, from tones that a test draws itself: no files, but the same measuring as a job's own art."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from imposer.check.facts import Facts
from imposer.findings import Finding
from imposer.geometry import Box, Transform
from imposer.look_over import try_drift, zones_of
from imposer.pages.model import ArtSource, PageArt, PageTable
from imposer.pages.tone_facts import Zones
from imposer.pages.tone_survey import page_tones
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.facing import BoundPart, facing_pages
from imposer.sheet.impose import impose
from imposer.sheet.places import page_places
from imposer.tones.plane import Plane
from tests.jobs import a_job

MM = 25.4
#: A small page that four of fit A4 with room, and the resolution that most tests draw at: a pixel is a tenth of a mm.
TRIM, PPI = (60.0, 80.0), 254.0


def paper(trim=TRIM, ppi=PPI, bleed=0.0):
    """Bare paper: tones of trim and bleed."""
    return np.zeros(tuple(round((side + 2 * bleed) * ppi / MM) for side in trim[::-1]), dtype=np.uint8)


def draw(tones, box, tone=1.0, ppi=PPI, bleed=0.0):
    """Fill a box of the page, mm from the lower left of the trim."""
    x0, y0, x1, y1 = ((edge + bleed) * ppi / MM for edge in box)
    tones[tones.shape[0] - round(y1) : tones.shape[0] - round(y0), round(x0) : round(x1)] = round(tone * 255)
    return tones


def limited(job, **limits):
    """The job in a shop with other limits."""
    return replace(job, shop=replace(job.shop, check=replace(job.shop.check, **limits)))


def a_small_job(**changed):
    settings = {"trim": TRIM, "sheet": "A4", "inks": ("lamp black", "marigold"), "creep": "none"} | changed
    job = a_job(**settings)
    colours = {"lamp black": "#2a2a2e", "marigold": "#eba52c", "brick": "#b9502f"}
    inks = tuple(replace(ink, ink=replace(ink.ink, colour=colours.get(ink.name, "#27647f"))) for ink in job.inks)
    return replace(job, inks=inks)


def facts_of(art, *, job=None, ppi=PPI, kind="image", seen: tuple[Finding, ...] = (), pages=None, vectors=None):
    """Facts of pages drawn as tones: page → tones of the first ink, or page → ink → tones."""
    job = job or a_small_job()
    drawn = {page: one if isinstance(one, dict) else {job.ink_names[0]: one} for page, one in art.items()}
    count = pages or max(drawn)
    imposition = impose(job, count)
    places = page_places(imposition, job.shop.machine)
    zones = zones_of(places)
    tones = {
        page: page_tones(
            job,
            {ink: Plane(one, ppi) for ink, one in own.items() if one.any()},
            {ink: (kind, (vectors or {}).get((page, ink))) for ink in own},
            zones.get(page, Zones()),
        )
        for page, own in drawn.items()
    }
    cells = {
        (page, ink): art_of(page, ink, one, job, ppi, kind) for page, own in drawn.items() for ink, one in own.items()
    }
    printing = {cell: bool(drawn[cell[0]][cell[1]].any()) for cell in cells}
    plan = plan_passes(job, imposition, inked_sides(imposition, printing))
    printed = {page: one for page, one in tones.items() if one.inks}
    return Facts(
        job=job,
        table=PageTable(inks=job.ink_names, pages=count, cells=cells),
        measured={},
        imposition=imposition,
        plan=plan,
        seen=seen,
        tones=printed,
        places=places,
        trials=try_drift(job, tones, places, plan),
        facing=facing_pages([BoundPart(imposition=imposition, style=job.binding.style)]),
        tones_of_job=printed,
    )


def art_of(page, ink, tones, job, ppi, kind="image"):
    """A page's art as the table holds it."""
    size = type(job.page.trim)(tones.shape[1] * MM / ppi, tones.shape[0] * MM / ppi)
    source = ArtSource(
        file=Path(f"{ink}/{page}.png"),
        shown=f"{ink}/{page}.png",
        kind=kind,
        size=size,
        pixels=(tones.shape[1], tones.shape[0]),
    )
    shift = Transform.shift((job.page.trim.width - size.width) / 2, (job.page.trim.height - size.height) / 2)
    return PageArt(page=page, ink=ink, source=source, size=size, to_page=shift)


def inside(box: Box, edges, by=0.5):
    """Whether a box is another to within half a millimetre."""
    return all(abs(one - other) <= by for one, other in zip((box.x0, box.y0, box.x1, box.y1), edges, strict=True))


def number(words):
    """The first number in a finding's words."""
    return float("".join(c if c in "0123456789." else " " for c in words).split()[0])
