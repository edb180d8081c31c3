"""Art for the benchmarks, made anew: pages of type, pictures and curves as a PDF; gray pages of 600 ppi as PNG."""

from __future__ import annotations

import random
import shutil
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
from PIL import Image
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from imposer.data import FOLDER

#: A page of the PDF, points.
PAGE = (420, 595)
LINES = 36
#: Four subsets of two typefaces: every name is a font of its own to the PDF.
FONTS = {"BenchA": "sans.ttf", "BenchB": "sans-bold.ttf", "BenchC": "sans.ttf", "BenchD": "sans-bold.ttf"}
#: A5 at 600 ppi, and how many pages differ; more are copies, which costs reader and floor alike.
A5_DOTS = (3496, 4961)
DIFFERENT = 8


def vector_pdf(file: Path, pages: int, *, full: bool = False) -> Path:
    """Pages of 36 lines in embedded fonts; on every fourth a picture, on every fourth curves; on all of them if `full`.

    A full page has an ornament too, the same on all.

    Streams are Flate alone: with the text encoding that reportlab adds by default, the floor would be slower still.
    """
    for name, font in FONTS.items():
        pdfmetrics.registerFont(TTFont(name, str(FOLDER / "fonts" / font)))
    text_streams, rl_config.useA85 = rl_config.useA85, 0
    try:
        canvas = Canvas(str(file), pagesize=PAGE, invariant=1, pageCompression=1)
        for page in range(pages):
            _draw_page(canvas, page, full)
            canvas.showPage()
        canvas.save()
    finally:
        rl_config.useA85 = text_streams
    return file


def single_pages(file: Path, folder: Path) -> dict[int, Path]:
    """Split a PDF into a file for each page, each with all that the page needs, by a library that is not ours."""
    folder.mkdir()
    reader = pypdf.PdfReader(file)
    found = {}
    for number, page in enumerate(reader.pages, start=1):
        found[number] = folder / f"page {number:03}.pdf"
        writer = pypdf.PdfWriter()
        writer.add_page(page)
        writer.write(found[number])
    return found


def _draw_page(canvas: Canvas, page: int, full: bool) -> None:
    chance = random.Random(page)
    for line in range(LINES):
        canvas.setFont(list(FONTS)[line % len(FONTS)], 9)
        words = "".join(chance.choice("abcdefghijklmnopqrstuvwxyz      ") for _ in range(60))
        canvas.drawString(30, 560 - 14 * line, words)
    if full:
        canvas.drawImage(_ornament(), 180, 10, 40, 40)
    if full or page % 4 == 0:
        picture = _photograph(page) if full else np.random.default_rng(page).integers(0, 256, (460, 480), np.uint8)
        canvas.drawImage(ImageReader(Image.fromarray(picture)), 110, 60, 200, 190)
    if full or page % 4 == 1:
        for _ in range(200):
            canvas.bezier(*(chance.uniform(20, 400) for _ in range(8)))


def _photograph(number: int) -> np.ndarray:
    """Return a picture of soft shapes with some grain, which packs as a photograph does."""
    dice = np.random.default_rng(number)
    soft = Image.fromarray(dice.integers(0, 256, (8, 8), np.uint8)).resize((480, 460), Image.Resampling.BICUBIC)
    return np.clip(np.asarray(soft) + dice.normal(0, 3, (460, 480)), 0, 255).astype(np.uint8)


@cache
def _ornament() -> ImageReader:
    return ImageReader(Image.fromarray(np.random.default_rng(1).integers(0, 256, (200, 200), np.uint8)))


def gray_pages(folder: Path, inks: tuple[str, ...], pages: int) -> dict[str, dict[int, Path]]:
    """PNG pages of A5 at 600 ppi for each ink: every fourth noise all over, the others ramps and a block of it."""
    folder.mkdir(parents=True, exist_ok=True)
    drawn = []
    for number in range(DIFFERENT):
        drawn.append(folder / f"drawn-{number}.png")
        Image.fromarray(_tones(number)).save(drawn[-1], dpi=(600, 600), compress_level=1)
    found: dict[str, dict[int, Path]] = {}
    for ink in inks:
        found[ink] = {page: folder / f"{ink} {page}.png" for page in range(1, pages + 1)}
        for page, file in found[ink].items():
            shutil.copy(drawn[page % DIFFERENT], file)
    return found


def _tones(number: int) -> np.ndarray:
    wide, high = A5_DOTS
    rows, columns = np.mgrid[0:high, 0:wide]
    tones = ((columns * 255 // wide + rows // (number + 3)) % 256).astype(np.uint8)
    noise = np.random.default_rng(number)
    if number % 4 == 0:
        tones ^= noise.integers(0, 16, tones.shape, np.uint8)
    else:
        tones[900:1900, 400:1900] = noise.integers(0, 256, (1000, 1500), np.uint8)
    return tones
