"""The pages of a folder of masters, read by a second library: what each says of itself, before a pixel is looked at."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from imposer.errors import Fault, ImposerError, unreadable
from imposer.fold_back.entry import drawing_digest, get_entry
from imposer.fold_back.record import MasterRecord, RecordError
from imposer.geometry import Size
from imposer.units import from_points

if TYPE_CHECKING:
    import pypdf

#: A folder with more PDF files or pages than this is not an output of this program.
_MOST_FILES, _MOST_PAGES = 1000, 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterPage:
    """One page of a file."""

    file: Path
    #: The file as people know it, and which page of it, from 0.
    shown: str
    index: int
    #: The page as a viewer shows it, mm.
    size: Size
    #: What it says of itself; None if it says nothing, for the reason `problem`.
    record: MasterRecord | None
    problem: str = ""
    #: Whether its drawing is the one that was written.
    as_written: bool = True

    @property
    def place(self) -> str:
        """Which page of its file, in words."""
        return f"page {self.index + 1}"


def masters_folder(out: Path) -> Path:
    """Return the folder with the masters: `out` itself, or the one in it.

    Raises:
        ImposerError: there is no such folder.
    """
    inner = out / "masters"
    if inner.is_dir():
        return inner
    if not out.is_dir():
        raise ImposerError(Fault(file=out, problem="is not a folder", mend="name the output folder of a build"))
    return out


def survey_masters(out: Path) -> tuple[MasterPage, ...]:
    """Return every page of every PDF file in a folder of masters, by name and in order.

    Raises:
        ImposerError: there are none, or one cannot be read.
    """
    folder = masters_folder(out)
    try:
        files = sorted(file for file in folder.iterdir() if file.suffix.lower() == ".pdf" and file.is_file())
    except OSError as error:
        raise unreadable(folder, error) from error
    if not files:
        raise ImposerError(Fault(file=out, problem="holds no masters (no PDF file)", mend="name the folder of a build"))
    if len(files) > _MOST_FILES:
        raise ImposerError(Fault(file=out, problem=f"holds {len(files)} PDF files, more than any job has masters"))
    return tuple(page for file in files for page in _pages(file, file.relative_to(out).as_posix()))


def _pages(file: Path, shown: str) -> list[MasterPage]:
    import pypdf
    from pypdf.errors import PyPdfError

    try:
        with file.open("rb") as stream:
            reader = pypdf.PdfReader(stream)
            if len(reader.pages) > _MOST_PAGES:
                raise ImposerError(Fault(file=shown, problem=f"has {len(reader.pages)} pages"))
            return [_page(file, shown, index, page) for index, page in enumerate(reader.pages)]
    except OSError as error:
        raise unreadable(shown, error) from error
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError) as error:
        # What a harmed file does to a reader is not a closed list.
        problem = f"is no PDF that can be read ({error})"
        raise ImposerError(Fault(file=shown, problem=problem, mend="build again")) from error


def _page(file: Path, shown: str, index: int, page: pypdf.PageObject) -> MasterPage:
    record, problem = None, ""
    try:
        record = get_entry(page)
    except RecordError as error:
        problem = str(error)
    contents = page.get_contents()
    drawing = drawing_digest(contents.get_data()) if contents is not None else ""
    return MasterPage(
        file=file,
        shown=shown,
        index=index,
        size=_shown_size(page),
        record=record,
        problem=problem,
        as_written=record is None or not record.drawing or record.drawing == drawing,
    )


def _shown_size(page: pypdf.PageObject) -> Size:
    """Return a page's size as it is shown: its crop box, turned, in its own units (ISO 32000-1, Table 30)."""
    unit = float(page.get("/UserUnit", 1.0))
    width, height = (from_points(abs(float(side)) * unit) for side in (page.cropbox.width, page.cropbox.height))
    return Size(width, height) if page.rotation % 180 == 0 else Size(height, width)
