"""A page's object in one of many PDFs in; its copy in a PDF that is being made out, sharing what other files brought.

A zine often comes as a file a page, and every file brings the same fonts along. Here a form is copied with its fonts,
pictures and further forms one by one, and what is like something that was copied before is not copied again. That
costs less than copying everything and merging it afterwards; what lies deeper than this looks is left to `merge`, and
`twins_are_left` says whether there is any.

Only a PDF that was told to share does so (`let_share`): for one file, the library's own copying is quicker.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf

from imposer.pages.likeness import DEPTH, REFERS, Alike, Likeness, Number
from imposer.pages.pdf_objects import entries_of

_ATTRIBUTE = "_imposer_sharing"
#: Dictionaries that are copied entry by entry: a form's resources, and in them those of each kind.
_LEVELS = 2


@dataclass(slots=True)
class _Shared:
    """What was copied into a PDF so far. The PDF holds it, so it must not hold the PDF."""

    likeness: Likeness = field(default_factory=Likeness)
    #: Each source with the numbers of its objects; held, so that its identity stays its own.
    sources: dict[int, tuple[pikepdf.Pdf, Alike]] = field(default_factory=dict)
    copies: dict[int, pikepdf.Object] = field(default_factory=dict)
    #: Where each object that the library copied came from.
    places: dict[int, tuple[int, Number]] = field(default_factory=dict)
    twins: bool = False


def let_share(target: pikepdf.Pdf) -> None:
    """Let a PDF that is being made share what is alike in the PDFs that are copied from."""
    setattr(target, _ATTRIBUTE, _Shared())


def copy_sharing(target: pikepdf.Pdf, source: pikepdf.Pdf, thing: pikepdf.Object) -> pikepdf.Object:
    """Copy an indirect object of `source`, which must stay open and unchanged but for new objects, into `target`."""
    shared: _Shared | None = getattr(target, _ATTRIBUTE, None)
    if shared is None:
        return target.copy_foreign(thing)
    _, alike = shared.sources.setdefault(id(source), (source, shared.likeness.of(source)))
    return _Copying(target, source, shared, alike).copied(thing)


def twins_are_left(target: pikepdf.Pdf) -> bool:
    """Tell whether objects may have been copied that are like others: then it is worth merging them."""
    shared: _Shared | None = getattr(target, _ATTRIBUTE, None)
    return shared is not None and shared.twins


@dataclass(frozen=True, slots=True)
class _Copying:
    target: pikepdf.Pdf
    source: pikepdf.Pdf
    shared: _Shared
    alike: Alike

    def copied(self, thing: pikepdf.Object, levels: int = 0, depth: int = 0) -> pikepdf.Object:
        """Return the copy of an indirect object; `levels` of dictionaries from it on are copied entry by entry."""
        number = self.alike.of(thing.objgen)
        copies = self.shared.copies
        if number not in copies:
            if depth > DEPTH:
                copies[number] = self._whole(thing)
            elif isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == pikepdf.Name.Form:
                copies[number] = self._form(thing, depth)
            elif levels and isinstance(thing, pikepdf.Dictionary):
                copies[number] = self.target.make_indirect(self._entries(thing, levels, depth))
            else:
                copies[number] = self._whole(thing)
        return copies[number]

    def _form(self, form: pikepdf.Object, depth: int) -> pikepdf.Object:
        made = self.target.make_stream(form.read_raw_bytes())
        for key, value in entries_of(form).items():
            if key != "/Length":
                made[key] = self._value(value, _LEVELS if key == "/Resources" else 0, depth)
        return made

    def _entries(self, thing: pikepdf.Object, levels: int, depth: int) -> pikepdf.Dictionary:
        made = pikepdf.Dictionary()
        # One by one: names that are no text cannot be given all at once.
        for key, value in entries_of(thing).items():
            made[key] = self._value(value, levels - 1, depth)
        return made

    def _value(self, value: object, levels: int, depth: int) -> object:
        """Return the copy of a value, direct or not."""
        if not isinstance(value, pikepdf.Object):
            return value
        if value.is_indirect:
            return self.copied(value, levels, depth + 1)
        if levels and isinstance(value, pikepdf.Dictionary):
            return self._entries(value, levels, depth)
        text = value.unparse()
        if REFERS not in text:
            return pikepdf.Object.parse(text)
        # The library copies indirect objects only.
        return self.copied(self.source.make_indirect(pikepdf.Array([value])), 0, depth + 1)[0]

    def _whole(self, thing: pikepdf.Object) -> pikepdf.Object:
        """Have the library copy an object with all that it refers to, and note whether any of it was there before."""
        for number in self._below(thing.objgen):
            place = id(self.source), number
            if self.shared.places.setdefault(self.alike.of(number), place) != place:
                self.shared.twins = True
        return self.target.copy_foreign(thing)

    def _below(self, top: Number) -> Iterator[Number]:
        """Give an object and everything that it leads to."""
        seen, ahead = {top}, [top]
        while ahead:
            number = ahead.pop()
            yield number
            further = self.alike.refers(number) - seen
            seen |= further
            ahead += further
