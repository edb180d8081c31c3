"""A PDF on disk in; an opened, bounded, prepared source of pages out.

Opening is a module of its own because it is the gate: limits are set before the first byte is read, a password, damage
and an empty file are met here, and what is drawn beside the pages' own content (annotations, form fields) is laid into
it once. Opened files are kept for a while, so that fonts shared by the pages of one file stay shared.
"""

from __future__ import annotations

import contextlib
import io
import logging
import re
import sys
import weakref
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import pikepdf
from pikepdf import settings

from imposer.errors import Fault, ImposerError, unreadable
from imposer.limits import Limits, check_file_size, or_raise
from imposer.pages import layers
from imposer.pages.page_boxes import PageSpace, no_size, page_space
from imposer.pages.pdf_extras import NOTHING, FileExtras, look_for_extras
from imposer.pages.pdf_objects import number_of

#: What the library says where it gives a page a size of its own.
_NO_SIZE = re.compile(r"object (\d+) (\d+)\b.*MediaBox is undefined")
_ATTRIBUTE = "_imposer_stream"
# What the library logs of damaged files it says in its list of complaints too; unheard, it would go to the screen.
logging.getLogger("pikepdf").addHandler(logging.NullHandler())
#: How many files are kept open: a job has few files of many pages, or many of one.
_KEPT = 128
#: Files up to this size are read whole, bytes: a booklet may have a thousand of them, more than may be open at once,
#: and the library reads objects in many small pieces.
_SMALL = 4 * 1024 * 1024
#: All files that are held whole may have this many bytes together.
_WHOLE = 64 * 1024 * 1024
#: Files that a process may have open, if the system agrees: what was placed from a file keeps it open until saved.
_FILES = 4096

_kept: OrderedDict[tuple[Path, tuple[int, int], Limits, str | None], PdfSource] = OrderedDict()
#: The state each file was in when its pages were surveyed: what changes later is not what was checked.
_surveyed: dict[Path, tuple[int, int]] = {}


@dataclass(eq=False, slots=True, kw_only=True)
class PdfSource:
    """One opened file. `seen` holds what later steps learn about its objects, each under its own key."""

    pdf: pikepdf.Pdf
    file: Path
    shown: str
    limits: Limits
    #: The plate that is wanted of its pages; None for their lightness.
    plate: str | None = None
    #: The pages' dictionaries, in order; valid as long as this source is.
    pages: tuple[pikepdf.Object, ...]
    #: Optional content that does not print.
    hidden: layers.Hidden
    #: Whether the file as it is shows more than its page content (annotations, layers) or was repaired: then only what
    #: was prepared here is true, and no other reader may be given the file itself.
    prepared: bool
    repaired: bool
    #: What it held besides its pages' drawings before notes and fields were laid flat.
    extras: FileExtras = NOTHING
    seen: dict[Any, Any] = field(default_factory=dict)

    @property
    def minor_version(self) -> int:
        """The second number of the version of PDF 1 that the file claims; 7 if it claims none, or a later one."""
        first, _, second = self.pdf.pdf_version.partition(".")
        return int(second) if first == "1" and second.isdigit() else 7

    def place(self, index: int) -> str:
        """Return a page in words for faults."""
        return f"page {index + 1}"

    def fault(self, index: int, problem: str, mend: str = "") -> ImposerError:
        """Return the error that names this file and a page of it."""
        return ImposerError(Fault(file=self.shown, place=self.place(index), problem=problem, mend=mend))

    def damaged(self, index: int) -> bool:
        """Tell whether damage was met on a page since the file was opened; asked when the page has been looked at.

        What a page draws is read only then: a stream that breaks off, an object that is not where it should be.
        """
        key = ("damaged", index)
        if key not in self.seen:
            self.seen[key] = any(_is_damage(complaint) for complaint in _complaints(self.pdf))
        return self.seen[key]  # type: ignore[no-any-return]

    def space(self, index: int) -> PageSpace:
        """Return the art space of a page."""
        key = ("space", index)
        if key not in self.seen:
            self.seen[key] = page_space(self.pages[index], self.shown, self.place(index), self.limits)
        return self.seen[key]  # type: ignore[no-any-return]


def open_source(
    file: Path, shown: str, limits: Limits, *, plate: str | None = None, surveying: bool = False
) -> PdfSource:
    """Return a file, opened; the same object while it stays among the last few that were asked for.

    Args:
        file: the PDF.
        shown: its name for people.
        limits: what it may cost.
        plate: the plate that is wanted of it; every plate is a source of its own, for each turns the pages its way.
        surveying: whether its pages are being counted now; every later call must find the file unchanged.

    Raises:
        ImposerError: the file cannot be read, is damaged beyond repair, needs a password or holds no page.
    """
    state = _state(file, shown, limits)
    if surveying:
        _surveyed[file] = state
    elif _surveyed.get(file, state) != state:
        raise ImposerError(Fault(file=shown, problem="has changed while the job was being read", mend="run it again"))
    key = (file, state, limits, plate)
    set_limits(limits)
    if key in _kept:
        _kept.move_to_end(key)
        return _kept[key]
    source = _open(file, shown, limits, plate)
    _kept[key] = source
    while len(_kept) > _KEPT:
        _kept.popitem(last=False)
    return source


def close_sources() -> None:
    """Forget every opened file."""
    _kept.clear()
    _surveyed.clear()


@lru_cache(maxsize=1)
def set_limits(limits: Limits) -> None:
    """Set what any PDF of this process may cost; the PDF library has no limits of its own by default."""
    memory = min(limits.stream_bytes, 2**32 - 1)
    settings.set_qpdf_limits(
        doc_max_warnings=limits.pdf_warnings,
        # Content beyond the last error would be dropped without a word: never stop early.
        parser_max_errors=0,
        max_stream_filters=limits.stream_filters,
        dct_max_memory=memory,
        dct_max_progressive_scans=100,
        flate_max_memory=memory,
        png_max_memory=memory,
        run_length_max_memory=memory,
        tiff_max_memory=memory,
    )


def _state(file: Path, shown: str, limits: Limits) -> tuple[int, int]:
    try:
        stat = file.stat()
    except OSError as error:
        raise unreadable(shown, error) from error
    check_file_size(stat.st_size, shown, limits)
    return stat.st_mtime_ns, stat.st_size


def _open(file: Path, shown: str, limits: Limits, plate: str | None) -> PdfSource:
    try:
        pdf = _opened(file)
        complaints = _complaints(pdf)
        if complaints and not _has_end(file):
            raise ImposerError(Fault(file=shown, problem="breaks off before its end", mend="copy or export it again"))
        pages = _pages(pdf, shown, limits)
        complaints += _complaints(pdf)
        _check_sizes(pages, complaints, shown)
        hidden = layers.hidden_layers(pdf)
        extras = look_for_extras(pdf, pages)
        annotated = _flatten(pdf, pages, hidden)
    except pikepdf.PasswordError as error:
        raise ImposerError(
            Fault(file=shown, problem="is locked with a password", mend="save it without one")
        ) from error
    except OSError as error:
        raise unreadable(shown, error) from error
    except (pikepdf.PdfError, RuntimeError, ValueError, TypeError) as error:
        if "no pages found" in str(error):
            raise ImposerError(_no_pages(shown)) from error
        raise ImposerError(_beyond_repair(shown, reason(error), limits)) from error
    repaired = any(map(_is_damage, complaints))
    return PdfSource(
        pdf=pdf,
        file=file,
        shown=shown,
        limits=limits,
        plate=plate,
        pages=pages,
        hidden=hidden,
        prepared=annotated or bool(complaints) or bool(hidden),
        repaired=repaired,
        extras=extras,
    )


def _opened(file: Path) -> pikepdf.Pdf:
    """Open a PDF, not mapped into memory: a mapped file that another program cuts short would end this one."""
    size = file.stat().st_size
    if size <= _SMALL and _whole.taken + size <= _WHOLE:
        pdf = pikepdf.Pdf.open(io.BytesIO(file.read_bytes()))
        setattr(pdf, _ATTRIBUTE, _whole.held(size))
        return pdf
    _allow_files()
    stream = file.open("rb")
    try:
        pdf = pikepdf.Pdf.open(stream, access_mode=pikepdf.AccessMode.stream)
    except BaseException:
        stream.close()
        raise
    setattr(pdf, _ATTRIBUTE, _Ending(stream.close))
    return pdf


@cache
def _allow_files() -> None:
    """Ask the system, once, to let this process have as many files open as a booklet has pages."""
    if sys.platform != "win32":
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        wanted = _FILES if hard == resource.RLIM_INFINITY else min(_FILES, hard)
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, wanted), hard))


class _Ending:
    """Does something when the PDF that holds this is gone."""

    def __init__(self, do: Callable[[], None]) -> None:
        weakref.finalize(self, do)


class _Whole:
    """How many bytes of files are held whole."""

    taken = 0

    def held(self, size: int) -> _Ending:
        """Count so many bytes until what is returned is gone."""
        self.taken += size
        return _Ending(lambda: self._given_back(size))

    def _given_back(self, size: int) -> None:
        self.taken -= size


_whole = _Whole()


def _complaints(pdf: pikepdf.Pdf) -> list[str]:
    return [str(complaint) for complaint in pdf.get_warnings()]


def _is_damage(complaint: str) -> bool:
    # A page without resources draws only shapes: nothing was lost.
    return "Resources is missing" not in complaint


def _pages(pdf: pikepdf.Pdf, shown: str, limits: Limits) -> tuple[pikepdf.Object, ...]:
    count = len(pdf.pages)
    if count == 0:
        raise ImposerError(_no_pages(shown))
    if count > limits.pages:
        problem = f"has {count} pages; at most {limits.pages} are read"
        raise ImposerError(Fault(file=shown, problem=problem, mend=or_raise("pages", "split it")))
    return tuple(page.obj for page in pdf.pages)


def _beyond_repair(shown: str, why: str, limits: Limits) -> Fault:
    if "Too many warnings" in why:
        problem = f"is damaged in more than {limits.pdf_warnings} places"
        return Fault(file=shown, problem=problem, mend=or_raise("pdf_warnings", "export it again"))
    return Fault(file=shown, problem=f"is damaged beyond repair ({why})", mend="export it again")


def _no_pages(shown: str) -> Fault:
    return Fault(file=shown, problem="has no pages", mend="export it again")


def _check_sizes(pages: tuple[pikepdf.Object, ...], complaints: list[str], shown: str) -> None:
    """Refuse pages to which the library gave a size of its own because they have none."""
    numbers = {page.objgen: index for index, page in enumerate(pages)}
    faults = []
    for complaint in complaints:
        found = _NO_SIZE.search(complaint)
        if found:
            index = numbers.get((int(found[1]), int(found[2])))
            place = "" if index is None else f"page {index + 1}"
            faults.append(no_size(shown, place))
    if faults:
        raise ImposerError(faults)


def reason(error: Exception) -> str:
    """Return what a PDF library said, short and without the file's own name and offset before it."""
    lines = str(error).strip().splitlines()
    return lines[0].rsplit(": ", 1)[-1][:120] if lines else type(error).__name__


def _has_end(file: Path) -> bool:
    """Tell whether the end-of-file marker stands where readers look for it, with room for what mail adds after it."""
    with file.open("rb") as stream:
        stream.seek(0, 2)
        stream.seek(max(0, stream.tell() - 65536))
        return b"%%EOF" in stream.read()


def _flatten(pdf: pikepdf.Pdf, pages: tuple[pikepdf.Object, ...], hidden: layers.Hidden) -> bool:
    """Lay what annotations and form fields show in print into the pages; tell whether there were any."""
    annotated = False
    for page in pages:
        annotations = page.get("/Annots")
        if annotations is None:
            continue
        annotated = True
        if hidden and isinstance(annotations, pikepdf.Array):
            page.Annots = pikepdf.Array([one for one in annotations if not hidden.hides(_content_of(one))])
    if annotated:
        if "/AcroForm" in pdf.Root:
            _hide_secrets(pages)
            pdf.generate_appearance_streams()
        pdf.flatten_annotations("print")
    return annotated


#: The flag of a text field whose value must not be read (ISO 32000-1, Table 228).
_SECRET = 1 << 13


def _hide_secrets(pages: tuple[pikepdf.Object, ...]) -> None:
    """Put stars in the place of passwords that a form holds, as viewers print them."""
    for page in pages:
        annotations = page.get("/Annots")
        for entry in annotations.as_list() if isinstance(annotations, pikepdf.Array) else ():
            if not isinstance(entry, pikepdf.Dictionary) or "/AP" in entry:
                continue
            parent = entry.get("/Parent")
            above = parent if isinstance(parent, pikepdf.Dictionary) else pikepdf.Dictionary()
            flags, value = (entry.get(key, above.get(key)) for key in ("/Ff", "/V"))
            if int(number_of(flags) or 0) & _SECRET and isinstance(value, pikepdf.String):
                (entry if "/V" in entry else above).V = pikepdf.String("*" * len(str(value)))


def _content_of(thing: object) -> object:
    return thing.get("/OC") if isinstance(thing, pikepdf.Dictionary) else None
