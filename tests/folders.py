"""Job folders on disk with small pages of their own, for tests that go the whole way."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from imposer.units import to_points

TRIM = (60, 80)


def page_tones(page, *, ppi=300, trim=TRIM, salt=0):
    """Gray art whose every turn and mirror image differs: noise in one corner, bars for the page number, a ramp."""
    wide, high = (round(side * ppi / 25.4) for side in trim)
    rows, columns = np.mgrid[0:high, 0:wide]
    tones = np.full((high, wide), 255, np.uint8)
    edge = max(4, wide // 12)
    tones[edge : 3 * edge, edge : wide // 2] = ((rows * 31 + columns * 17 + page * 13 + salt) % 251)[
        edge : 3 * edge, edge : wide // 2
    ]
    for bar in range(page % 16 + 1):
        top = high // 2 + bar * edge // 2
        tones[top : top + edge // 4, edge : edge + edge * (1 + page // 16)] = 0
    tones[-2 * edge : -edge, edge:-edge] = (columns * 255 // wide)[-2 * edge : -edge, edge:-edge]
    return tones


def write_png(file: Path, tones, ppi=300):
    file.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(tones).save(file, dpi=(ppi, ppi))


def write_vector_pdf(file: Path, pages, trim=TRIM):
    """A PDF of vector pages in gray: a big number, strokes, a tint; a page given as None stays blank."""
    file.parent.mkdir(parents=True, exist_ok=True)
    wide, high = (to_points(side) for side in trim)
    canvas = Canvas(str(file), pagesize=(wide, high), invariant=1)
    for page in pages:
        if page is not None:
            canvas.setFont("Helvetica", 60)
            canvas.drawString(20, 40, str(page))
            canvas.setFillGray(0.6)
            canvas.rect(wide / 2, high / 2, wide / 3, high / 5, stroke=0, fill=1)
            canvas.setLineWidth(2)
            canvas.bezier(10, 10, wide / 2, high, wide, high / 2, wide - 12, high - 12)
        canvas.showPage()
    canvas.save()
    return file


def job_folder(folder: Path, *, pages=8, second=True, extra="", binding="", sheet='size = "A4"', copies=25, ppi=300):
    """A folder with PNG pages in lamp black and, if `second`, a vector PDF in marigold."""
    folder.mkdir(parents=True, exist_ok=True)
    for page in range(1, pages + 1):
        write_png(folder / "black" / f"{page}.png", page_tones(page, ppi=ppi), ppi)
    inks = '[[ink]]\nname = "k"\npages = "black/*.png"\n'
    if second:
        write_vector_pdf(folder / "marigold.pdf", [p if p % 3 else None for p in range(1, pages + 1)])
        inks += '[[ink]]\nname = "marigold"\npages = "marigold.pdf"\n'
    (folder / "job.toml").write_text(
        f'title = "Small <b>job</b> & co"\ncopies = {copies}\n[page]\ntrim = [{TRIM[0]}, {TRIM[1]}]\n'
        f"[binding]\n{binding}\n[sheet]\n{sheet}\n{extra}\n{inks}",
        encoding="utf-8",
    )
    return folder
