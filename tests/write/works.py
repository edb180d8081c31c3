"""Small jobs from art files to frames and plan, for tests of what is written and read back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from imposer.geometry import Transform
from imposer.pages.model import PageArt, PageTable
from imposer.pages.readers import reader_for
from imposer.plan.model import PassPlan
from imposer.plan.passes import inked_sides, plan_passes
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.sheet.model import Imposition
from imposer.write.masters import write_masters
from imposer.write.read_back import read_back
from tests.jobs import a_job

AS_IT_IS = Transform.shift(0, 0)


@dataclass
class Work:
    """A job up to its masters. Tests change what they want to see go wrong."""

    table: PageTable
    imposition: Imposition
    frames: dict
    plan: PassPlan
    title: str
    spaces: dict | None = None

    def write(self, folder: Path) -> Path:
        """Write the masters; return the folder."""
        folder.mkdir(parents=True, exist_ok=True)
        self.spaces = write_masters(folder, self.plan, self.frames, self.table, self.imposition, self.title)
        return folder

    def read_back(self, folder: Path) -> None:
        read_back(folder, self.plan, self.frames, self.table, self.imposition, self.spaces)

    @property
    def masters(self):
        return [(run, master) for run in self.plan.passes for master in run.masters]


def a_work(files, *, pages, trim=None, to_page=AS_IT_IS, **job):
    """A work of art files: ink → page → file, or ink → one file with a page for each.

    The trim is the first art's own size unless it is given; `to_page` places art of another size on it.
    """
    cells = {}
    for ink, given in files.items():
        if isinstance(given, dict):
            found = {page: reader_for(file, file.name).survey(file, file.name)[0] for page, file in given.items()}
        else:
            found = dict(enumerate(reader_for(given, given.name).survey(given, given.name), 1))
        for page, source in found.items():
            cells[page, ink] = PageArt(page=page, ink=ink, source=source, size=source.size, to_page=to_page)
    size = next(iter(cells.values())).size
    asked = a_job(trim=trim or (size.width, size.height), inks=tuple(files), creep="none", **job)
    imposition = impose(asked, pages)
    frames = draw_frames(asked, imposition)
    plan = plan_passes(asked, imposition, inked_sides(imposition, dict.fromkeys(cells, True)))
    table = PageTable(inks=tuple(files), pages=pages, cells=cells)
    return Work(table, imposition, dict(frames.sides), plan, asked.title)
