"""A page of a PDF in; the same page with every colour turned to gray out, vectors still vectors.

Drawings are rewritten by `gray_operators`; this module knows what the names in them stand for and walks from drawing to
drawing: nested ones, patterns, glyphs that are drawn, soft masks. What is used often is rewritten once a file. Images
are looked at first and turned to gray only when the page is placed (`GrayPage.turn_images`).
"""

from __future__ import annotations

import contextlib
import warnings
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf

from imposer.pages.colour_scan import contents_of, whole_drawing
from imposer.pages.gray_images import gray_image, look_at_image
from imposer.pages.gray_notes import GrayError, Notes, Outcome, PendingImage
from imposer.pages.gray_operators import Rewritten, rewrite
from imposer.pages.gray_scope import NamedThings
from imposer.pages.gray_state import State
from imposer.pages.page_form import gray_group
from imposer.pages.pdf_objects import copy_of, entries_of
from imposer.pages.pdf_samples import SamplesError
from imposer.pages.pdf_source import PdfSource, reason
from imposer.pages.plates import joined as joined_plates
from imposer.pages.raster_images import rendered_image

#: What of a drawing's dictionary has no place in a master: structure, private data, layers, old data's coding.
_LEFT = frozenset(
    {"/Length", "/Filter", "/DecodeParms", "/Resources", "/StructParent", "/StructParents", "/PieceInfo", "/Metadata"}
    | {"/LastModified", "/OC", "/Group", "/OPI", "/Ref"}
)


@dataclass(frozen=True, slots=True)
class GrayPage:
    """A page in gray."""

    #: Its operators, and what they name.
    drawing: bytes
    resources: pikepdf.Object
    #: Something with a colour of its own is painted; on a plate, something that is on none.
    coloured: bool
    #: The plates that it may print on; where no plate was asked for, those of process and spot colours alone.
    plates: tuple[str, ...]
    #: Objects that are drawn as pixels by the renderer, with the reason, in words.
    rasterised: tuple[str, ...]
    _pending: tuple[PendingImage, ...]
    _source: PdfSource
    _index: int

    def turn_images(self) -> None:
        """Turn the page's images to gray, wherever they are named.

        Raises:
            ImposerError: an image can be neither decoded nor rendered.
        """
        for one in self._pending:
            one.holder[one.name] = self._turned(one.image, one.plate)

    def _turned(self, image: pikepdf.Object, plate: str | None) -> pikepdf.Object:
        if look_at_image(self._source, image, plate).way != "render":
            # What could be looked at in small may still be damaged in full.
            with contextlib.suppress(SamplesError):
                return gray_image(self._source, image, plate)
        if plate is not None:
            raise self._source.fault(self._index, *NO_PLATES)
        return rendered_image(self._source, self._index, image)


#: Of an image that cannot be decoded, of which the renderer knows no plates.
NO_PLATES = (
    "has an image that cannot be taken apart into plates",
    "export it with images as TIFF or JPEG would hold them, or a gray file for each ink",
)
#: What it comes to when an object of a damaged file is missing, of another kind, or beyond its bounds.
_DAMAGE = (pikepdf.PdfError, ArithmeticError, AttributeError, IndexError, KeyError, RuntimeError, TypeError, ValueError)


def gray_page(source: PdfSource, index: int, *, lenient: bool = False) -> GrayPage:
    """Return a page in gray; once a file for each.

    Args:
        source: the file.
        index: which page, from 0.
        lenient: whether a shading that cannot be rewritten stays as it is: for a page that is rasterised next.

    Raises:
        GrayError: its vectors cannot be rewritten.
    """
    key = ("gray page", index, lenient)
    if key not in source.seen:
        try:
            source.seen[key] = Walk(source, index, lenient).page()
        except GrayError as error:
            source.seen[key] = error
        except _DAMAGE as error:
            # A foreign file may hold anything anywhere: what is not as the standard has it, the renderer may draw.
            source.seen[key] = GrayError(f"a part of it is damaged ({type(error).__name__})")
    found: GrayPage | GrayError = source.seen[key]
    if isinstance(found, GrayError):
        raise found
    return found


class Walk:
    """From drawing to drawing, for one page."""

    def __init__(self, source: PdfSource, index: int, lenient: bool) -> None:
        self.source = source
        self.index = index
        self.lenient = lenient
        self.notes = Notes()

    def page(self) -> GrayPage:
        """Return the page in gray."""
        page = self.source.pages[self.index]
        resources = page.get("/Resources")
        parts = contents_of(page)
        joined = parts[0] if len(parts) == 1 else self.source.pdf.make_stream(whole_drawing(self.source, self.index))
        scope = NamedThings(self, resources, self.source.plate)
        done = self.rewritten(joined, scope, State(), opening=True)
        drawing = joined.read_bytes() if done.drawing is None else done.drawing
        return GrayPage(
            drawing,
            scope.resources(),
            done.coloured,
            joined_plates(self.notes.plates),
            tuple(dict.fromkeys(self.notes.rasterised)),
            tuple(self.notes.pending),
            self.source,
            self.index,
        )

    def rewritten(
        self, stream: pikepdf.Object, scope: NamedThings, start: State, *, opening: bool = False
    ) -> Rewritten:
        """Rewrite one drawing; see `gray_operators.rewrite`."""
        limits = self.source.limits
        self.notes.drawings += 1
        self.notes.depth += 1
        if self.notes.drawings > limits.drawings or self.notes.depth > 4 * limits.drawing_depth:
            raise GrayError(f"more than {limits.drawings} drawings lie in it")
        try:
            with warnings.catch_warnings():
                # A drawing that breaks off is drawn as far as it goes, as viewers do.
                warnings.simplefilter("ignore")
                instructions = pikepdf.parse_content_stream(stream)
        except (pikepdf.PdfError, RuntimeError, TypeError, ValueError) as error:
            raise GrayError(f"its drawing cannot be parsed ({reason(error)})") from error
        done = rewrite(instructions, scope, start, opening=opening)
        self.notes.depth -= 1
        return done

    def drawing(
        self, stream: pikepdf.Object, start: State, around: object, plate: str | None, *, opening: bool = False
    ) -> Outcome:
        """Return a form or tiling pattern in gray; once for every state that matters to it.

        Args:
            stream: the drawing.
            start: the graphic state it is drawn in.
            around: the resources of what draws it, for old files whose forms have none of their own.
            plate: the plate that is wanted of it; None for its lightness, as in a mask.
            opening: see `gray_operators.rewrite`.
        """
        own = stream.get("/Resources")
        resources = own if isinstance(own, pikepdf.Dictionary) else around
        outside = None if resources is own else _identity(resources)
        key = ("gray drawing", self.lenient, stream.objgen, plate, outside)
        known: list[Outcome] = self.source.seen.setdefault(key, [])
        for outcome in known:
            if outcome.start == start or (not outcome.inherits and outcome.start.overprint == start.overprint):
                self._note(outcome)
                return outcome
        outer = self._apart()
        scope = NamedThings(self, resources, plate)
        done = self.rewritten(stream, scope, start, opening=opening)
        made = self.source.pdf.make_stream(stream.read_bytes() if done.drawing is None else done.drawing)
        for name, value in entries_of(stream).items():
            if name not in _LEFT:
                made[name] = value
        made.Resources = scope.resources()
        group = stream.get("/Group")
        if isinstance(group, pikepdf.Dictionary):
            made.Group = gray_group(group)
        outcome = self._outcome(made, coloured=done.coloured, inherits=done.inherits, start=start)
        self._together(outer, outcome)
        known.append(outcome)
        return outcome

    def glyphs(self, font: pikepdf.Object, around: object, plate: str | None) -> Outcome:
        """Return a font whose glyphs are drawings in gray; once a file. All its glyphs share its resources."""
        own = font.get("/Resources")
        resources = own if isinstance(own, pikepdf.Dictionary) else around
        key = ("gray font", self.lenient, _identity(font), plate, None if resources is own else _identity(resources))
        known: Outcome | None = self.source.seen.get(key)
        if known is not None:
            self._note(known)
            return known
        outer = self._apart()
        scope = NamedThings(self, resources, plate)
        made = copy_of(font)
        glyphs, coloured = pikepdf.Dictionary(), False
        for name, glyph in _streams(font.get("/CharProcs")):
            done = self.rewritten(glyph, scope, State())
            glyphs[name] = glyph if done.drawing is None else self.source.pdf.make_stream(done.drawing)
            coloured |= done.coloured
        made.CharProcs, made.Resources = glyphs, scope.resources()
        made = self.source.pdf.make_indirect(made)
        outcome = self._outcome(made, coloured=coloured, inherits=False, start=State())
        self._together(outer, outcome)
        self.source.seen[key] = outcome
        return outcome

    def _apart(self) -> Notes:
        """Begin to gather for one drawing alone; return what was gathered so far."""
        outer, self.notes = self.notes, Notes(drawings=self.notes.drawings, depth=self.notes.depth)
        return outer

    def _outcome(self, thing: pikepdf.Object, *, coloured: bool, inherits: bool, start: State) -> Outcome:
        notes = self.notes
        return Outcome(thing, coloured, inherits, notes.pending, notes.rasterised, start, notes.plates)

    def _together(self, outer: Notes, outcome: Outcome) -> None:
        outer.drawings = self.notes.drawings
        self.notes = outer
        self._note(outcome)

    def _note(self, outcome: Outcome) -> None:
        self.notes.pending += outcome.pending
        self.notes.rasterised += outcome.rasterised
        self.notes.plates |= outcome.plates


def _streams(things: object) -> Iterator[tuple[str, pikepdf.Object]]:
    if isinstance(things, pikepdf.Dictionary):
        for name, thing in entries_of(things).items():
            if isinstance(thing, pikepdf.Stream):
                yield name, thing


def _identity(thing: object) -> object:
    """Return what tells one dictionary from another: its number, or its content if it has none."""
    if not isinstance(thing, pikepdf.Dictionary):
        return None
    return thing.objgen if thing.is_indirect else thing.unparse()
