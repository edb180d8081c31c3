"""Jobs made for proofs: pages of known tones, whose pixels are those of the layers."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from imposer.main_job import prepare
from imposer.write.proof import write_proof
from tests.folders import write_png

#: 300 × 450 pixels at 150 ppi, so that no layer is resampled.
TRIM = (50.8, 76.2)
WIDE, HIGH = 300, 450
PPI = 150
TITLE = "Kiss </script> & fit"


def bare():
    return np.zeros((HIGH, WIDE), np.uint8)


def job_of(folder: Path, inks, *, extra="", binding="", sheet='size = "A4"', shop=None, title=TITLE, page=""):
    """A job folder: `inks` holds for each ink its pages' tones (0 = paper, 255 = full tone), None for a blank page."""
    folder.mkdir(parents=True, exist_ok=True)
    text = f'title = "{title}"\ncopies = 10\n{"shop = " + repr(shop) if shop else ""}\n'
    text += f"[page]\ntrim = {list(TRIM)}\n{page}\n[binding]\n{binding}\n[sheet]\n{sheet}\n{extra}\n"
    for ink, pages in inks.items():
        place = ink.replace(" ", "-")
        for number, tones in enumerate(pages, 1):
            if tones is not None:
                write_png(folder / place / f"{number:03}.png", 255 - tones, PPI)
        text += f'[[ink]]\nname = "{ink}"\npages = "{place}/*.png"\n'
    (folder / "job.toml").write_text(text, encoding="utf-8")
    return folder


def proof_of(folder: Path, inks, **rest):
    """A job and its proof page; returns the prepared job and the file."""
    prepared = prepare(job_of(folder, inks, **rest))
    file = folder / "proof.html"
    write_proof(file, prepared)
    return prepared, file


def kiss_fit():
    """A field of one ink with a square of another knocked out of it: 20 to 35 mm from the left and from the top."""
    field, square = bare(), bare()
    hole = (slice(118, 207), slice(118, 207))
    field[40:400, 30:270] = 255
    field[hole] = 0
    square[hole] = 255
    return field, square


def patches():
    """Three inks, four tones each: 64 patches on one page, every overprint among them."""
    tones = np.array([0, 80, 170, 255], np.uint8)
    planes = [bare() for _ in range(3)]
    for number in range(64):
        row, column = divmod(number, 8)
        place = (slice(20 + 50 * row, 64 + 50 * row), slice(12 + 35 * column, 44 + 35 * column))
        for ink, plane in enumerate(planes):
            plane[place] = tones[number >> 2 * ink & 3]
    return planes


def grain(seed):
    """Every tone, pixel by pixel, that a photograph might hold: soft waves and a little noise."""
    rows, columns = np.mgrid[0:HIGH, 0:WIDE]
    waves = np.sin(rows / (9 + 3 * seed)) + np.cos(columns / (13 + 2 * seed)) + np.sin((rows + columns) / 31)
    noise = np.random.default_rng(seed).normal(0, 0.1, waves.shape)
    level = waves + noise
    return np.round(255 * (level - level.min()) / np.ptp(level)).astype(np.uint8)
