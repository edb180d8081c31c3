"""What a test asks of the art that ships with the program: that it is gray, and comes out of its script as it is."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
from PIL import Image

#: Operators that set a colour other than DeviceGray (ISO 32000-2, Table 73).
_COLOURED = {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN"}


def art_files(folder: Path) -> list[Path]:
    """The art of a job folder, without what a build may have left there."""
    files = (file for file in folder.rglob("*") if file.suffix in (".png", ".pdf"))
    return sorted(file for file in files if "out" not in file.relative_to(folder).parts)


def size_of(folder: Path) -> int:
    """How many bytes a folder ships, without caches and finished work."""
    skipped = {"out", "__pycache__"}
    return sum(
        file.stat().st_size
        for file in folder.rglob("*")
        if file.is_file() and not skipped & set(file.relative_to(folder).parts)
    )


def tones(file: Path, page: int = 0, ppi: float = 72) -> np.ndarray:
    """A page as dots, 0 = full tone: an image as it is, a PDF rendered by pdfium, which did not write it."""
    if file.suffix == ".png":
        with Image.open(file) as image:
            return np.asarray(image.convert("L"))
    with pypdfium2.PdfDocument(file) as document:
        return np.asarray(document[page].render(scale=ppi / 72).to_pil().convert("L"))


def not_gray(file: Path) -> list[str]:
    """Whatever in a file is not gray alone, in words; empty if all is well."""
    if file.suffix == ".png":
        with Image.open(file) as image:
            return [] if image.mode in ("1", "L") and "transparency" not in image.info else [image.mode]
    with pikepdf.open(file) as pdf:
        operators = {str(step.operator) for page in pdf.pages for step in pikepdf.parse_content_stream(page)}
        fonts = [font for page in pdf.pages for font in page.resources.get("/Font", {}).values()]
        bare = [str(font.BaseFont) for font in fonts if "/FontFile2" not in font.get("/FontDescriptor", {})]
        return [*sorted(operators & _COLOURED), *bare]


def drawn_again(script: Path, into: Path, *asked: str) -> Path:
    """Run a drawing script into another folder and return it."""
    subprocess.run([sys.executable, "-B", script, "--into", into, *asked], check=True)
    return into


def far_apart(one: np.ndarray, other: np.ndarray) -> str:
    """How two pages of dots differ, in words; empty if they are alike.

    A few dots may flip where another version of a library rounds a corner the other way: one in a hundred thousand.
    """
    if one.shape != other.shape:
        return f"{one.shape} and {other.shape} dots"
    differing = int((np.abs(one.astype(int) - other) > 64).sum())
    return f"{differing} of {one.size} dots" if differing > one.size / 100_000 else ""
