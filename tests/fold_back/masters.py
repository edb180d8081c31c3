"""Finished masters, and what other programs may do to them: panels swapped, turned, moved, taken from elsewhere."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pikepdf

from imposer import build
from imposer.fold_back.folded import fold_back
from tests.folders import job_folder

FRONT_BLACK = "masters/pass-1-front-drum-1-lamp-black.pdf"
FRONT_MARIGOLD = "masters/pass-1-front-drum-2-marigold.pdf"
BACK_BLACK = "masters/pass-2-back-drum-1-lamp-black.pdf"

#: One panel as a master draws it: clip, matrix, object.
_PANEL = re.compile(rb"q\n[^\n]+ re W n\n([^\n]+) cm\n/P(\d+) Do\nQ\n")


def built(folder: Path, **job) -> Path:
    """Build a job of images and vector pages; return its output folder."""
    return build(job_folder(folder, **job)).folder


def copied(out: Path, to: Path) -> Path:
    return Path(shutil.copytree(out, to / "out"))


def spoil(out: Path, file: str, change, page=0):
    """Let `change` have the panels of a page by number, as (matrix, whole drawing); write what it returns."""
    with pikepdf.open(out / file, allow_overwriting_input=True) as pdf:
        contents = pdf.pages[page].Contents
        contents.write(change(contents.read_bytes()))
        pdf.save(out / file)


def panels(content: bytes) -> dict[int, bytes]:
    """The matrix of every page on a side."""
    return {int(match[2]): match[1] for match in _PANEL.finditer(content)}


def with_matrix(content: bytes, page: int, numbers) -> bytes:
    old = panels(content)[page]
    return content.replace(old + b" cm\n/P%d Do" % page, b"%s cm\n/P%d Do" % (numbers, page))


def told(out: Path) -> list[str]:
    """The faults of a folder, file, place and problem."""
    return [f"{fault.file}: {fault.place}: {fault.problem}" for fault in fold_back(out).faults]


def pages_read(out: Path) -> list:
    (part,) = fold_back(out).parts
    return [place.face.page if place.face and not place.face.bare else None for place in part.copies[0]]
