"""Does one thing with a job of one picture, in a process of its own, and says its processor time, s, and peak, MB.

`python -m tests.bench.one_picture WAY JOB`: `copy` copies the picture and nothing else, `masters` finds the page and
writes its master, `build` does the whole main job. Everything is imported before the clock starts, whatever the way.
"""

from __future__ import annotations

import json
import shutil
import sys
import time
from pathlib import Path

from imposer.job import load_job
from imposer.main_job import build
from imposer.pages.find import find_pages
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.write.masters import write_masters
from tests.bench.peak import peak


def copy(folder: Path) -> None:
    shutil.copyfile(folder / "art" / "1.png", folder / "copy.png")


def masters(folder: Path) -> None:
    job = load_job(folder)
    table = find_pages(job)
    imposition = impose(job, table.pages)
    frames = draw_frames(job, imposition)
    plan = plan_passes(job, imposition, inked_sides(imposition, dict.fromkeys(table.cells, True)))
    out = folder / "masters"
    out.mkdir()
    write_masters(out, plan, frames.sides, table, imposition, job.title)


WAYS = {"copy": copy, "masters": masters, "build": build}


def main(way: str, folder: str) -> None:
    start = time.process_time()
    WAYS[way](Path(folder))
    print(json.dumps({"seconds": time.process_time() - start, "peak": peak()}))


if __name__ == "__main__":
    main(*sys.argv[1:])
