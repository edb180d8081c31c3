"""A PDF page in; whether it is gray as it stands out. Nothing is parsed: this runs on every page of every job.

The drawing is cut into tokens at every delimiter and looked at as a set; what only looks like a colour operator is
taken for one, so an answer "gray" is certain and an answer "not gray" only costs a closer look. What pages share
(fonts, pictures, resources) is looked at once a file.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import pikepdf

from imposer.limits import millions, or_raise
from imposer.pages.pdf_objects import name_of
from imposer.pages.pdf_samples import filters_of
from imposer.pages.pdf_source import PdfSource, reason
from imposer.pages.plates import is_black

#: Operators that may set another colour than gray, or hold one (ISO 32000-1, Table 74; 8.9.7 for inline images).
_COLOUR = frozenset(b"rg RG k K cs CS sc SC scn SCN BI".split())
#: White space and delimiters (ISO 32000-1, 7.2.2) become spaces.
_CUT = bytes(32 if byte in b"\0()<>[]{}/%" else byte for byte in range(256))
#: A string without another pair of parentheses in it (7.3.4.2).
_STRING = re.compile(rb"\([^()\\]*(?:\\.[^()\\]*)*\)", re.DOTALL)
#: How much of a drawing is cut into tokens at a time, bytes: a hostile one has millions.
_CHUNK = 1 << 20

_PLAIN_SPACES = frozenset({"/DeviceGray", "/G"})


@dataclass(frozen=True, slots=True)
class Look:
    """What was seen of a drawing and everything it draws."""

    #: Every colour in it is DeviceGray, every layer shows and its graphic states are balanced.
    gray: bool = True
    #: It may blend or be seen through.
    blends: bool = False
    #: How deep drawings lie in one another.
    depth: int = 0
    #: It has more tokens than are parsed.
    too_long: bool = False

    def __or__(self, other: Look) -> Look:
        return Look(
            self.gray and other.gray,
            self.blends or other.blends,
            max(self.depth, other.depth),
            self.too_long or other.too_long,
        )


_Looking = Callable[[pikepdf.Object], Look]

_GRAY = Look()
_NOT_GRAY = Look(gray=False)


def look_at_page(source: PdfSource, index: int) -> Look:
    """Return whether a page is gray as it stands; on a plate, whether it is there as it stands.

    Raises:
        ImposerError: the page is beyond the limits or its drawing cannot be read.
    """
    return _Scan(source, index).page()


def contents_of(page: pikepdf.Object) -> list[pikepdf.Object]:
    """Return a page's content streams, in order; what is no stream is left out."""
    contents = page.get("/Contents")
    parts = list(contents) if isinstance(contents, pikepdf.Array) else [contents]
    return [part for part in parts if isinstance(part, pikepdf.Stream)]


def whole_drawing(source: PdfSource, index: int) -> bytes:
    """Return a page's drawing, its streams joined.

    The division of an array may fall between any two tokens (ISO 32000-1, 7.8.2): they are joined with white space.

    Raises:
        ImposerError: it unfolds to more than the limit.
    """
    parts, length = [], 0
    for part in contents_of(source.pages[index]):
        parts.append(part.read_bytes())
        length += len(parts[-1])
        if length > source.limits.stream_bytes:
            # One stream may be listed over and over.
            raise source.fault(index, *_unfolds(source))
    return b"\n".join(parts)


def pixels_of(image: pikepdf.Object) -> tuple[int, int]:
    """Return an image's width and height as its dictionary says; (0, 0) if it does not."""
    try:
        return int(image.get("/Width", 0)), int(image.get("/Height", 0))
    except (TypeError, ValueError):
        return 0, 0


def _unfolds(source: PdfSource) -> tuple[str, str]:
    most = f"{source.limits.stream_bytes / 1e6:.4g} MB"
    problem = f"its drawing cannot be read: it unfolds to more than {most}"
    return problem, or_raise("stream_bytes", "export it simpler")


def _tokens(data: bytes) -> tuple[int, bool, int]:
    """Return how many tokens a piece of a drawing has, whether none sets a colour, and saves less restores of state."""
    words = data.translate(_CUT).split()
    count, gray, saves = len(words), _COLOUR.isdisjoint(words), words.count(b"q") - words.count(b"Q")
    if (not gray or saves) and b"BI" not in words and b"%" not in data:
        # A letter of text, perhaps. Without images and remarks in it, parentheses begin and end strings only.
        words = _STRING.sub(b" ", data).translate(_CUT).split()
        gray, saves = _COLOUR.isdisjoint(words), words.count(b"q") - words.count(b"Q")
    return count, gray, saves


class _Scan:
    def __init__(self, source: PdfSource, index: int) -> None:
        self._source = source
        self._index = index
        self._open: set[object] = set()

    def page(self) -> Look:
        key = ("look", self._index)
        if key not in self._source.seen:
            page = self._source.pages[self._index]
            look = self._drawing(contents_of(page)) | self._resources(page.get("/Resources"))
            # Gray is on the plate of black alone.
            self._source.seen[key] = look | Look(gray=is_black(self._source.plate))
        return self._source.seen[key]  # type: ignore[no-any-return]

    def _once(self, thing: pikepdf.Object, look_at: _Looking) -> Look:
        """Look at a shared object once a file; a thing met inside itself is a drawing without end."""
        # The same object may be named as two kinds of thing, and is then not the same.
        key = ("look", look_at.__name__, thing.objgen) if thing.is_indirect else None
        if key is None:
            return self._deeper(None, thing, look_at)
        found = self._source.seen.get(key)
        if found is None:
            if key in self._open:
                raise self._source.fault(self._index, "draws itself without end", "export it again")
            found = self._source.seen[key] = self._deeper(key, thing, look_at)
        return found

    def _deeper(self, key: object, thing: pikepdf.Object, look_at: _Looking) -> Look:
        limits = self._source.limits
        mark = key or object()
        self._open.add(mark)
        if len(self._open) > 4 * limits.drawing_depth:
            raise self._too_deep()
        look = look_at(thing)
        self._open.discard(mark)
        return look

    def _too_deep(self) -> Exception:
        most = self._source.limits.drawing_depth
        return self._source.fault(
            self._index, f"has drawings inside drawings more than {most} deep", "flatten it or export it as an image"
        )

    def _drawing(self, streams: list[pikepdf.Object]) -> Look:
        """Cut a drawing into tokens and look whether any of them sets a colour."""
        gray, tokens, saves, length = True, 0, 0, 0
        for stream in streams:
            data = self._read(stream)
            length += len(data)
            if length > self._source.limits.stream_bytes:
                # One stream may be listed over and over.
                raise self._source.fault(self._index, *_unfolds(self._source))
            for start in range(0, len(data), _CHUNK):
                # A token cut in two at the seam is seen whole by looking a few bytes further.
                count, more_gray, more_saves = _tokens(data[start : start + _CHUNK + 8])
                tokens, gray, saves = tokens + count, gray and more_gray, saves + more_saves
                if tokens > self._source.limits.drawing_tokens:
                    return Look(gray=False, too_long=True)
        return Look(gray=gray and saves == 0)

    def _read(self, stream: pikepdf.Object) -> bytes:
        if "/F" in stream:
            raise self._source.fault(self._index, "keeps its drawing in another file", "export it as one file")
        try:
            return stream.read_bytes()
        except (pikepdf.PdfError, RuntimeError) as error:
            raise self._source.fault(self._index, *self._unread(stream, error)) from error

    def _unread(self, stream: pikepdf.Object, error: Exception) -> tuple[str, str]:
        """Return why a drawing could not be read, and the mend."""
        limits, filters = self._source.limits, len(filters_of(stream))
        unread = "its drawing cannot be read"
        if "memory limit" in str(error):
            return _unfolds(self._source)
        if filters > limits.stream_filters:
            most = f"at most {limits.stream_filters} are undone"
            return f"{unread}: {filters} filters lie on it; {most}", or_raise("stream_filters", "export it again")
        return f"{unread} ({reason(error)})", "export it again"

    def _resources(self, resources: object) -> Look:
        if not isinstance(resources, pikepdf.Dictionary):
            return _GRAY
        return self._once(resources, self._each_resource)

    def _each_resource(self, resources: pikepdf.Object) -> Look:
        look = _GRAY
        for kind, look_at in (
            ("/XObject", self._xobject),
            ("/Font", self._font),
            ("/ExtGState", self._state),
            ("/Pattern", self._pattern),
            ("/Shading", self._shading),
            ("/Properties", self._property),
        ):
            things = resources.get(kind)
            if not isinstance(things, pikepdf.Dictionary):
                continue
            for thing in things.as_dict().values():
                if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
                    look = look | self._once(thing, look_at)
        spaces = resources.get("/ColorSpace")
        if isinstance(spaces, pikepdf.Dictionary) and any(str(name).startswith("/Default") for name in spaces):
            look = look | _NOT_GRAY
        return look

    def _xobject(self, thing: pikepdf.Object) -> Look:
        look = _NOT_GRAY if self._source.hidden.hides(thing.get("/OC")) else _GRAY
        match name_of(thing.get("/Subtype", "")):
            case "/Image":
                return look | self._image(thing)
            case "/Form":
                return look | self._form(thing)
            case _:
                return look

    def _image(self, image: pikepdf.Object) -> Look:
        width, height = pixels_of(image)
        most = self._source.limits.image_pixels
        if width * height > most:
            problem = f"holds an image of {width} × {height} pixels; at most {millions(most)} are read"
            raise self._source.fault(self._index, problem, or_raise("image_pixels", "make it smaller"))
        if "/F" in image:
            raise self._source.fault(self._index, "keeps an image in another file", "export it as one file")
        mask = image.get("/ImageMask", False)
        space = image.get("/ColorSpace")
        gray = bool(mask) or (isinstance(space, pikepdf.Name) and name_of(space) in _PLAIN_SPACES)
        seen_through = any(key in image for key in ("/SMask", "/SMaskInData"))
        return Look(gray=gray, blends=seen_through)

    def _form(self, form: pikepdf.Object) -> Look:
        look = self._drawing([form]) | self._resources(form.get("/Resources"))
        group = form.get("/Group")
        if isinstance(group, pikepdf.Dictionary):
            space = group.get("/CS")
            # A group may be isolated or knock out: that shows only where something blends, but keep it either way.
            look = look | Look(gray=space is None or space == pikepdf.Name.DeviceGray)
        depth = look.depth + 1
        if depth > self._source.limits.drawing_depth:
            raise self._too_deep()
        return Look(look.gray, look.blends, depth, look.too_long)

    def _font(self, font: pikepdf.Object) -> Look:
        if font.get("/Subtype") != pikepdf.Name.Type3:
            return _GRAY
        look = self._resources(font.get("/Resources"))
        glyphs = font.get("/CharProcs")
        if isinstance(glyphs, pikepdf.Dictionary):
            for glyph in glyphs.as_dict().values():
                if isinstance(glyph, pikepdf.Stream):
                    look = look | self._once(glyph, self._glyph)
        return look

    def _glyph(self, glyph: pikepdf.Object) -> Look:
        return self._drawing([glyph])

    def _state(self, state: pikepdf.Object) -> Look:
        look = _GRAY
        mask = state.get("/SMask")
        if isinstance(mask, pikepdf.Dictionary):
            group = mask.get("/G")
            look = Look(blends=True, gray="/BC" not in mask)
            if isinstance(group, pikepdf.Stream):
                look = look | self._once(group, self._form)
        blends = any(state.get(key, 1) != 1 for key in ("/ca", "/CA"))
        blends = blends or state.get("/BM", pikepdf.Name.Normal) not in (pikepdf.Name.Normal, pikepdf.Name.Compatible)
        return look | Look(blends=blends)

    def _pattern(self, pattern: pikepdf.Object) -> Look:
        if isinstance(pattern, pikepdf.Stream):
            return self._drawing([pattern]) | self._resources(pattern.get("/Resources"))
        look = _GRAY
        shading, state = pattern.get("/Shading"), pattern.get("/ExtGState")
        if isinstance(shading, pikepdf.Dictionary | pikepdf.Stream):
            look = look | self._once(shading, self._shading)
        if isinstance(state, pikepdf.Dictionary):
            look = look | self._once(state, self._state)
        return look

    def _shading(self, shading: pikepdf.Object) -> Look:
        return _GRAY if shading.get("/ColorSpace") == pikepdf.Name.DeviceGray else _NOT_GRAY

    def _property(self, thing: pikepdf.Object) -> Look:
        return _NOT_GRAY if self._source.hidden.hides(thing) else _GRAY
