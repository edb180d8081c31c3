"""The names in one drawing: what each stands for in its resources, and what stands for it in gray."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pikepdf

from imposer.pages.colour_spaces import GRAY, ColourSpace, ColourSpaceError, read_colour_space
from imposer.pages.gray_images import look_at_image
from imposer.pages.gray_notes import GrayError, PendingImage
from imposer.pages.gray_shadings import ShadingError, gray_shading
from imposer.pages.gray_state import Drawn, Overprint, State
from imposer.pages.pdf_functions import FunctionError, numbers
from imposer.pages.pdf_objects import copy_of, entries_of
from imposer.pages.pdf_source import reason
from imposer.pages.plate_spaces import on_plate, plates_of
from imposer.pages.plate_states import overprint_of, state_on_plate

if TYPE_CHECKING:
    from imposer.pages.gray import Walk

#: Kinds of resources that are taken over as they are; the rest are rebuilt from what is used.
_TAKEN = ("/Font", "/ProcSet")


class NamedThings:
    """What the names in one drawing stand for, and its resources in gray: a `gray_state.Scope`."""

    def __init__(self, walk: Walk, resources: object, plate: str | None) -> None:
        self._walk = walk
        self._plate = plate
        self._old = resources if isinstance(resources, pikepdf.Dictionary) else pikepdf.Dictionary()
        self._new: dict[str, pikepdf.Object] = {}
        self._drawn: dict[tuple[str, str, object], Drawn] = {}
        self._spaces: dict[str, ColourSpace] = {}
        self._fonts: dict[str, Drawn | None] = {}

    def resources(self) -> pikepdf.Object:
        """Return what the drawing in gray needs."""
        made = pikepdf.Dictionary()
        for kind in _TAKEN:
            if kind in self._old and kind not in self._new:
                made[kind] = self._old[kind]
        for kind, things in self._new.items():
            made[kind] = things
        return made

    def _find(self, kind: str, name: object) -> Any:  # noqa: ANN401 - whatever a file may hold
        things = self._old.get(kind)
        return things.get(str(name)) if isinstance(things, pikepdf.Dictionary) and name is not None else None

    def _keep(self, kind: str, name: str, thing: pikepdf.Object) -> str:
        """Note a thing under its name, or under another where the name is taken by something else; return the name."""
        things = self._new.setdefault(kind, pikepdf.Dictionary())
        free, number = name, 2
        while free in things and things[free].objgen != thing.objgen:
            free, number = f"{name}_{number}", number + 1
        things[free] = thing
        return free

    def space(self, name: object) -> ColourSpace:
        """Return a colour space; the same for the same name, so that states can be compared."""
        key = str(name)
        if key not in self._spaces:
            self._spaces[key] = on_plate(read_colour_space(name, self._old), self._plate)
        return self._spaces[key]

    def device(self, space: ColourSpace) -> ColourSpace:
        """Return a space that needs no name, as it is on the plate."""
        return on_plate(space, self._plate)

    def uses(self, space: ColourSpace, colour: tuple[float, ...] | None = None) -> None:
        """Note the plates that a colour, or any colour of a space, prints on."""
        if self._plate is not None or space.plates or space.base:
            self._walk.notes.plates |= dict.fromkeys(plates_of(space, colour))

    def gray_pattern_space(self) -> str:
        """Return the name of the space in which uncoloured patterns are painted gray."""
        space = pikepdf.Array([pikepdf.Name.Pattern, pikepdf.Name.DeviceGray])
        things = self._new.setdefault("/ColorSpace", pikepdf.Dictionary())
        things["/GrayPattern"] = space
        return "/GrayPattern"

    def pattern(self, name: object) -> Drawn:
        """Return a pattern in gray."""
        return self._once("/Pattern", name, self._pattern)

    def shading(self, name: object) -> Drawn:
        """Return a shading in gray."""
        return self._once("/Shading", name, self._shading)

    def _once(self, kind: str, name: object, make: Any) -> Drawn:  # noqa: ANN401
        key = (kind, str(name), None)
        if key not in self._drawn:
            thing = self._find(kind, name)
            usable = isinstance(thing, pikepdf.Dictionary | pikepdf.Stream)
            self._drawn[key] = make(str(name), thing) if usable else Drawn(None)
        return self._drawn[key]

    def _pattern(self, name: str, pattern: Any) -> Drawn:  # noqa: ANN401
        if isinstance(pattern, pikepdf.Stream):
            outcome = self._walk.drawing(pattern, State(), self._old, self._plate, opening=True)
            return Drawn(self._keep("/Pattern", name, outcome.thing), outcome.coloured)
        shading = pattern.get("/Shading")
        if not isinstance(shading, pikepdf.Dictionary | pikepdf.Stream):
            return Drawn(None)
        made = copy_of(pattern)
        made.Shading, coloured, spares = self._turned(shading)
        state = pattern.get("/ExtGState")
        if isinstance(state, pikepdf.Dictionary):
            made.ExtGState = self._gray_state(state)
        kept = self._keep("/Pattern", name, self._walk.source.pdf.make_indirect(made))
        return Drawn(kept, coloured, spares=spares)

    def _shading(self, name: str, shading: Any) -> Drawn:  # noqa: ANN401
        thing, coloured, spares = self._turned(shading)
        return Drawn(self._keep("/Shading", name, thing), coloured, spares=spares)

    def _turned(self, shading: pikepdf.Object) -> tuple[pikepdf.Object, bool, bool]:
        """Return a shading in gray, whether it is coloured, and whether it spares the plate where it overprints."""
        try:
            thing, coloured, space = gray_shading(self._walk.source, shading, self._old, self._plate)
        except (ShadingError, ColourSpaceError, FunctionError, pikepdf.PdfError, RuntimeError) as error:
            if self._walk.lenient:
                return shading, True, False
            raise GrayError(f"it has a shading that cannot be rewritten ({reason(error)})") from error
        self.uses(space)
        return thing, coloured, space.spares

    def xobject(self, name: object, state: State) -> Drawn:
        """Return an image, still to be turned, or a nested drawing in gray."""
        key = ("/XObject", str(name), (state.fill, state.stroke, state.overprint))
        if key not in self._drawn:
            thing = self._find("/XObject", name)
            self._drawn[key] = (
                self._xobject(str(name), thing, state) if isinstance(thing, pikepdf.Stream) else Drawn(None)
            )
        return self._drawn[key]

    def _xobject(self, name: str, thing: pikepdf.Object, state: State) -> Drawn:
        if self._walk.source.hidden.hides(thing.get("/OC")):
            return Drawn(None)
        if thing.get("/Subtype") == pikepdf.Name.Image:
            return self._image(name, thing)
        if thing.get("/Subtype") != pikepdf.Name.Form:
            return Drawn(None)
        inherited = State(state.fill, state.stroke, overprint=state.overprint)
        outcome = self._walk.drawing(thing, inherited, self._old, self._plate)
        return Drawn(self._keep("/XObject", name, outcome.thing), outcome.coloured, outcome.inherits)

    def _image(self, name: str, image: pikepdf.Object) -> Drawn:
        look = look_at_image(self._walk.source, image, self._plate)
        if look.nothing:
            return Drawn(None)
        if look.space is not None:
            self.uses(look.space)
        free = self._keep("/XObject", name, image)
        if look.way != "keep":
            self._walk.notes.pending.append(PendingImage(self._new["/XObject"], free, image, self._plate))
        if look.way == "render":
            size = f"{image.get('/Width')} × {image.get('/Height')} pixels"
            self._walk.notes.rasterised.append(f"an image of {size} ({look.problem})")
        stencil = bool(image.get("/ImageMask", False))
        return Drawn(free, look.coloured, stencil=stencil, spares=look.space is not None and look.space.spares)

    def inline_image(self, image: Any) -> Drawn | None:  # noqa: ANN401
        """Return an inline image as a named one; None if it is gray."""
        about = image.obj
        gray = self.device(GRAY) is GRAY and about.get("/ColorSpace") == pikepdf.Name.DeviceGray
        if bool(about.get("/ImageMask", False)) or gray:
            self.uses(GRAY)
            return None
        made = self._walk.source.pdf.make_stream(image.read_raw_bytes())
        for key, value in entries_of(about).items():
            made[key] = value
        space = about.get("/ColorSpace")
        named = self._find("/ColorSpace", space) if isinstance(space, pikepdf.Name) else None
        if named is not None:
            made.ColorSpace = named
        made.Type, made.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
        return self._image("/Inline", made)

    def graphic_state(self, name: object, overprint: Overprint) -> Overprint:
        """Take a graphic state over, its soft mask in gray; on a plate, return what overprints from there on."""
        state = self._find("/ExtGState", name)
        if not isinstance(state, pikepdf.Dictionary):
            return overprint
        if str(name) not in self._new.get("/ExtGState", ()):
            self._new.setdefault("/ExtGState", pikepdf.Dictionary())[str(name)] = self._gray_state(state)
        return overprint if self._plate is None else overprint_of(state, overprint)

    def _gray_state(self, state: pikepdf.Object) -> pikepdf.Object:
        if self._plate is not None:
            state = state_on_plate(state, self._plate)
        mask = state.get("/SMask")
        group = mask.get("/G") if isinstance(mask, pikepdf.Dictionary) else None
        if mask is None or not isinstance(group, pikepdf.Stream):
            return state
        made = copy_of(state)
        made.SMask = copy_of(mask)
        # A mask is no ink: its lightness lets through, whatever the plate.
        made.SMask.G = self._walk.drawing(group, State(), self._old, None).thing
        backdrop = numbers(mask.get("/BC"))
        if backdrop:
            made.SMask.BC = pikepdf.Array([round(self._backdrop(group, tuple(backdrop)), 6)])
        return self._walk.source.pdf.make_indirect(made)

    def _backdrop(self, group: pikepdf.Object, colour: tuple[float, ...]) -> float:
        about = group.get("/Group")
        stated = about.get("/CS") if isinstance(about, pikepdf.Dictionary) else None
        try:
            if stated is not None:
                return read_colour_space(stated, self._old).gray(colour)[0]
            return {1: colour[0], 3: sum(colour) / 3}.get(len(colour), 0.0)
        except ColourSpaceError:
            return 0.0

    def font(self, name: object) -> Drawn | None:
        """Return a font whose glyphs are drawings in gray; None for every other font."""
        key = str(name)
        if key not in self._fonts:
            font = self._find("/Font", name)
            drawn = isinstance(font, pikepdf.Dictionary) and font.get("/Subtype") == pikepdf.Name.Type3
            self._fonts[key] = self._glyphs(key, font) if drawn else None
        return self._fonts[key]

    def _glyphs(self, name: str, font: pikepdf.Object) -> Drawn:
        outcome = self._walk.glyphs(font, self._old, self._plate)
        fonts = self._new.setdefault("/Font", copy_of(self._old.Font))
        fonts[name] = outcome.thing
        return Drawn(name, outcome.coloured)

    def hides(self, content: object) -> bool:
        """Tell whether marked content does not print."""
        marked = self._find("/Properties", content) if isinstance(content, pikepdf.Name) else content
        return self._walk.source.hidden.hides(marked)
