"""Masters read back before they are delivered: a second library opens them and holds every number against the frames.

What is checked: the count of pages; the page boxes; that every panel's art is drawn with the clip, place and turn that
its frame says, no panel more and none less, one object for one page; that nothing but gray is drawn. It is a module of
its own because it must not share the writer's sums: here every corner is laid out by hand and compared with where the
file's own numbers take it. A page's drawing is read by a strict pattern of what `masters` writes, so that whatever
else stands there is a fault of the file and not a gap in the check. Art itself is not read again: it may be large.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

import pypdf
from pypdf.errors import PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, PdfObject, StreamObject

from imposer.errors import Fault, ImposerError
from imposer.findings import Side
from imposer.geometry import Box, Transform
from imposer.pages.model import PageArt, PageTable
from imposer.plan.model import Master, Pass, PassPlan
from imposer.sheet.model import Art, Frame, Imposition, Layout
from imposer.units import from_points, show
from imposer.write.masters import Spaces

#: How far a place may be off, mm: far coarser than the file's numbers, far finer than print.
NEAR = 0.01
#: No more differences of one file than this are told.
_TOLD = 5

_NUMBER = rb"-?\d+(?:\.\d+)?"
_CLIP = rb" ".join([rb"(%b)" % _NUMBER] * 4)
_MATRIX = rb" ".join([rb"(%b)" % _NUMBER] * 6)
_PANEL = re.compile(rb"q\n%b re W n\n%b cm\n/P(\d+) Do\nQ\n" % (_CLIP, _MATRIX))
_MARKS = re.compile(rb"(?:/Marks Do\n)?(?:/Label Do\n)?")

#: Strings and names, which may hold anything, and then operators that set a colour, or draw with colours of their own.
_COLOUR = re.compile(
    rb"\((?:\\.|[^\\()])*\)|<[^<>]*>|/[^\s/<>()\[\]]*|(?<!\S)(rg|RG|k|K|cs|CS|sc|SC|scn|SCN|sh|BI)(?!\S)"
)

#: The end of a stream's dictionary as it is written, how far into the object it is looked for, and the stream's end.
_STREAM = re.compile(rb"/Length (\d+)(?: /Filter /FlateDecode)? >>\nstream\n")
_HEAD = 65536
_END = b"\nendstream"


class WrongMasterError(ImposerError):
    """A finished master is not what the plan says: its file was harmed on the way, or there is a bug here."""


class _Panel(NamedTuple):
    """A panel as the file draws it: its clip in mm, and the matrix from its object's space to points on the sheet."""

    page: int
    clip: Box
    matrix: Transform


def read_back(
    folder: Path,
    plan: PassPlan,
    frames: Mapping[tuple[int, Side], Frame],
    table: PageTable,
    imposition: Imposition,
    spaces: Spaces,
) -> None:
    """Read every master of a plan back; for arguments and faults see `read_master`."""
    for run in plan.passes:
        for master in run.masters:
            read_master(folder, run, master, frames, table, imposition, spaces)


def read_master(
    folder: Path,
    run: Pass,
    master: Master,
    frames: Mapping[tuple[int, Side], Frame],
    table: PageTable,
    imposition: Imposition,
    spaces: Spaces,
) -> None:
    """Read the file of one drum in one pass back.

    Args:
        folder: the output folder.
        run: the pass.
        master: one of its masters.
        frames: the frame of every side, by sheet number and side.
        table: the art of every page in every ink.
        imposition: how pieces lie on the sheet.
        spaces: how each page's object lies in its art space, as the writer said.

    Raises:
        WrongMasterError: the file does not hold what the plan says; a line a difference, with file, sheet and page.
    """
    faults: list[Fault] = []
    try:
        # A file object, not a path: of a path the library would load the whole file.
        with (folder / master.file).open("rb") as stream:
            reader = pypdf.PdfReader(stream, strict=True)
            for place, problem in _differences(reader, run, master, frames, table, imposition.layout, spaces):
                mend = "build again; if it stays, the disk or the program is at fault"
                faults.append(Fault(file=master.file, place=place, problem=problem, mend=mend))
                if len(faults) == _TOLD:
                    break
    except (OSError, PyPdfError, ValueError, KeyError, TypeError, AttributeError) as error:
        # What a harmed file does to a reader is not a closed list.
        problem = f"cannot be read back ({error})"
        raise WrongMasterError(Fault(file=master.file, problem=problem, mend="build again")) from error
    if faults:
        raise WrongMasterError(faults)


#: A place in the file in words, and what differs there.
_Differences = Iterator[tuple[str, str]]


def _differences(
    reader: pypdf.PdfReader,
    run: Pass,
    master: Master,
    frames: Mapping[tuple[int, Side], Frame],
    table: PageTable,
    layout: Layout,
    spaces: Spaces,
) -> _Differences:
    count = len(reader.pages)
    if count != len(master.sheets):
        yield "", f"the count of its pages is {count}, but the plan has {len(master.sheets)} sheets for it"
        return
    objects: dict[str, int] = {}
    checked: set[int] = set()
    for number, page in zip(master.sheets, reader.pages, strict=True):
        frame = frames[number, run.side]
        place = f"sheet {number} {run.side}"
        yield from ((place, problem) for problem in _boxes(page, frame, layout))
        yield from ((place, problem) for problem in _drawing(page, frame, table, master.ink, spaces))
        yield from ((place, problem) for problem in _objects(page, objects, checked))
    drawn = {name: number for name, number in objects.items() if name.startswith("/P")}
    pictures = [number for name, number in drawn.items() if _kind(table, int(name[2:]), master.ink) == "image"]
    if len(pictures) != len(set(pictures)):
        # PDF pages that are alike may have become one on purpose.
        yield "", "draws two pages by one object"
    for name, number in drawn.items():
        if not _whole(reader, number):
            yield "", f"page {name[2:]} is not whole in the file"


def _kind(table: PageTable, page: int, ink: str) -> str:
    art = table.art(page, ink)
    return art.source.kind if art else ""


def _boxes(page: pypdf.PageObject, frame: Frame, layout: Layout) -> Iterator[str]:
    """Hold the page's boxes against the sheet and the pieces on it."""
    sheet = Box(0, 0, frame.size.width, frame.size.height)
    wanted = {"/MediaBox": sheet, "/CropBox": sheet, "/TrimBox": layout.block}
    for name, box in wanted.items():
        found = _box(page, name)
        if not _near(found, box):
            yield f"{name[1:]} is {_words(found)}, but the plan says {_words(box)}"
    bleed = _box(page, "/BleedBox")
    if not (
        sheet.contains(bleed) and bleed.contains(layout.block) and layout.block.grown(layout.bleed).contains(bleed)
    ):
        yield f"BleedBox is {_words(bleed)}, but the pieces with their bleed lie elsewhere"
    for name in ("/Rotate", "/UserUnit", "/Annots"):
        if name in page:
            yield f"the page has a {name[1:]}, which no master has"


def _box(page: pypdf.PageObject, name: str) -> Box:
    """Return one of a page's boxes, mm.

    Raises:
        TypeError: there is no such box.
    """
    numbers = page[name]
    if not isinstance(numbers, ArrayObject):
        raise TypeError(f"{name[1:]} is not a box")
    return Box(*(from_points(float(number)) for number in numbers))


def _drawing(page: pypdf.PageObject, frame: Frame, table: PageTable, ink: str, spaces: Spaces) -> Iterator[str]:
    """Hold the panels a page draws against its frame."""
    content = page["/Contents"]
    if not isinstance(content, StreamObject):
        yield "its drawing is not one stream"
        return
    panels, rest = _panels(content.get_data())
    if not _MARKS.fullmatch(rest):
        yield f"draws something that is neither a panel nor a mark: {_excerpt(rest)}"
        return
    wanted = [(item, art) for item in frame.art if (art := table.art(item.page, ink))]
    found, expected = [panel.page for panel in panels], [item.page for item, _ in wanted]
    if found != expected:
        yield f"draws pages {_list(found)}, but the plan says {_list(expected)}"
        return
    for panel, (item, art) in zip(panels, wanted, strict=True):
        yield from _panel(panel, item, art, spaces[item.page, ink])


def _panels(content: bytes) -> tuple[list[_Panel], bytes]:
    """Return the panels at the start of a page's drawing, and what stands after them."""
    panels, at = [], 0
    while match := _PANEL.match(content, at):
        x, y, width, height, *matrix = map(float, match.groups()[:-1])
        clip = Box.at(*map(from_points, (x, y, width, height)))
        panels.append(_Panel(int(match.group(11)), clip, Transform(*matrix)))
        at = match.end()
    return panels, content[at:]


def _panel(panel: _Panel, item: Art, art: PageArt, to_art: Transform) -> Iterator[str]:
    """Hold a panel's clip against the frame's, then three corners of its art, which fix place, size, turn and face."""
    if not _near(panel.clip, item.clip):
        yield f"page {item.page} is clipped to {_words(panel.clip)}, but the plan says {_words(item.clip)}"
    from_art = to_art.inverse()
    names = {"lower left": (0.0, 0.0), "lower right": (art.size.width, 0.0), "upper left": (0.0, art.size.height)}
    for name, corner in names.items():
        here = tuple(map(from_points, panel.matrix.apply(*from_art.apply(*corner))))
        there = _on_sheet(item, *art.to_page.apply(*corner))
        if max(abs(here[0] - there[0]), abs(here[1] - there[1])) > NEAR:
            yield (
                f"page {item.page} has the {name} corner of its art at {show(here[0])}, {show(here[1])} mm, "
                f"but the plan says {show(there[0])}, {show(there[1])} mm"
            )
            return


def _on_sheet(item: Art, x: float, y: float) -> tuple[float, float]:
    """Return where a point of the finished page (mm from the lower left of its trim) lies on the sheet, mm."""
    trim = item.trim
    match item.rotation:
        case 0:
            return trim.x0 + x, trim.y0 + y
        case 90:
            return trim.x1 - y, trim.y0 + x
        case 180:
            return trim.x1 - x, trim.y1 - y
        case 270:
            return trim.x0 + y, trim.y1 - x


def _objects(page: pypdf.PageObject, objects: dict[str, int], checked: set[int]) -> Iterator[str]:
    """Hold one name to one object, and one object to one name, over the whole file; let marks be gray.

    References are compared and not followed, so that no art is loaded.
    """
    resources = page["/Resources"]
    found = resources["/XObject"] if isinstance(resources, DictionaryObject) else DictionaryObject()
    if not isinstance(found, DictionaryObject):
        raise TypeError("its objects are no dictionary")
    for name in found:
        number = found.raw_get(name).idnum
        if name == "/Label":
            yield from _coloured(name, found[name])
        elif name == "/Marks" and number not in checked:
            checked.add(number)
            yield from _coloured(name, found[name])
        if name != "/Label" and objects.setdefault(name, number) != number:
            yield f"{name[1:]} is another object here than on an earlier page"


def _coloured(name: str, form: PdfObject) -> Iterator[str]:
    """Look for anything but gray in the drawing of marks."""
    if not isinstance(form, StreamObject):
        raise TypeError(f"{name[1:]} is not a form")
    for match in _COLOUR.finditer(form.get_data()):
        if match.group(1):
            yield f"{name[1:].lower()} set a colour ({match.group(1).decode()}), but masters are gray"
            return


def _whole(reader: pypdf.PdfReader, number: int) -> bool:
    """Tell whether an object begins where the table of offsets says and its stream ends where its length says.

    The stream itself is not read: it may be large.
    """
    offset = reader.xref.get(0, {}).get(number)
    if offset is None:
        return False
    stream = reader.stream
    stream.seek(offset)
    head = stream.read(_HEAD)
    found = _STREAM.search(head)
    if found is None or not head.startswith(b"%d 0 obj" % number):
        return False
    stream.seek(offset + found.end() + int(found[1]))
    return stream.read(len(_END)) == _END


def _near(a: Box, b: Box) -> bool:
    return max(abs(a.x0 - b.x0), abs(a.y0 - b.y0), abs(a.x1 - b.x1), abs(a.y1 - b.y1)) <= NEAR


def _words(box: Box) -> str:
    """Return a box in words, mm, fine enough to show what is held here."""
    return "(" + ", ".join(f"{value:.3f}" for value in (box.x0, box.y0, box.x1, box.y1)) + ") mm"


def _list(pages: list[int]) -> str:
    return ", ".join(map(str, pages)) or "none"


def _excerpt(content: bytes) -> str:
    """Return the start of a drawing on one line."""
    text = " ".join(content[:200].decode("latin-1").split())
    return f"“{text[:60]}”" if text else "nothing at all"
