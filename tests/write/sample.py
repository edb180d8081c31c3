"""Finished values for the guide, made by the real steps from a job of values and pages drawn here."""

from __future__ import annotations

from io import BytesIO

from PIL import Image, ImageDraw

from imposer.findings import Finding
from imposer.geometry import Box, Size
from imposer.pages.model import Measured
from imposer.pages.previews import keep
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.write.guide import GuideFacts
from tests.jobs import a_job

#: Pixels along the longer side of a made-up preview.
_LONG = 160


def a_preview(page: int, ink: int, trim: Size) -> bytes:
    """Return a small page that shows at a glance whether it is turned or mirrored: dark head, a stair at the left."""
    scale = _LONG / max(trim.width, trim.height)
    width, height = round(trim.width * scale), round(trim.height * scale)
    image = Image.new("L", (width, height), 255)
    draw = ImageDraw.Draw(image)
    if ink == 0:
        draw.rectangle((0, 0, width, height // 7), fill=40)
        for i in range(5):
            draw.rectangle((6, 40 + 14 * i, 12 + 8 * i, 48 + 14 * i), fill=90)
    elif ink == 1:
        draw.ellipse((width * 0.3, height * 0.3, width * 0.9, height * 0.7), fill=60 + page * 7 % 120)
    else:
        draw.rectangle((width * 0.5, height * 0.6, width * 0.95, height * 0.95), fill=110)
    png = BytesIO()
    image.save(png, "PNG")
    return png.getvalue()


def guide_facts(pages: int = 16, *, findings: tuple[Finding, ...] = (), blank=frozenset(), **job) -> GuideFacts:
    """Return the facts of a job like `tests.jobs.a_job`; `blank` holds the (page, ink number) that print nothing."""
    asked = a_job(**job)
    imposition = impose(asked, pages)
    trim = asked.page.trim
    measured = {
        (page, ink): Measured(
            coverage=0.08 + 0.11 * number,
            darkest=1.0,
            inked=None if (page, number) in blank else Box(0, 0, trim.width, trim.height),
            kept=keep(a_preview(page, number, trim)),
        )
        for page in range(1, pages + 1)
        for number, ink in enumerate(asked.ink_names)
    }
    frames = draw_frames(asked, imposition)
    inked = inked_sides(imposition, {cell: found.prints for cell, found in measured.items()})
    return GuideFacts(
        job=asked,
        measured=measured,
        imposition=imposition,
        frames=frames.sides,
        plan=plan_passes(asked, imposition, inked),
        findings=(*imposition.findings, *frames.findings, *findings),
    )
