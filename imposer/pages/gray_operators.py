"""The operators of a drawing in; the same drawing in gray out.

Only what says a colour is written anew; paths, text and places stay as they stand. What a drawing refers to by name
(images, nested drawings, patterns) is asked of a `Scope`. Layers that do not print and inks that leave no mark are
left out here too, so that clips and text still move on; states that are saved too often or too seldom are evened out.
Source of the operators: ISO 32000-1, Annex A.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, ClassVar

import pikepdf

from imposer.pages.colour_spaces import CMYK, GRAY, PATTERN, RGB, ColourSpace, ColourSpaceError, by_components
from imposer.pages.gray_state import Drawn, Overprint, Paint, Scope, State
from imposer.pages.pdf_objects import number_of

#: An operator with its operands.
Instruction = tuple[list[Any], pikepdf.Operator]


@dataclass(frozen=True, slots=True)
class Rewritten:
    """A drawing in gray."""

    #: Its operators; None if they are as before.
    drawing: bytes | None
    coloured: bool
    #: It paints in colours that were current where it is drawn.
    inherits: bool


def rewrite(instructions: Iterable[Any], scope: Scope, start: State, *, opening: bool = False) -> Rewritten:
    """Return a drawing in gray.

    Args:
        instructions: as the PDF library parses them.
        scope: what its names stand for.
        start: the graphic state it is drawn in.
        opening: whether nothing is drawn around it, so that it begins in the black that a page begins in.
    """
    rewriter = _Rewriter(scope, start)
    if opening:
        rewriter.open()
    for instruction in instructions:
        rewriter.take(instruction)
    return rewriter.done()


def _operator(name: str) -> pikepdf.Operator:
    return pikepdf.Operator(name)


_G, _STROKED_G, _CS, _STROKED_CS, _SCN, _STROKED_SCN, _N, _H, _TR, _DO, _SAVE, _RESTORE = map(
    _operator, ("g", "G", "cs", "CS", "scn", "SCN", "n", "h", "Tr", "Do", "q", "Q")
)
#: What is left of a path operator if it fills only, strokes only or does neither; `h` closes the path before.
_FILLS = {"f": "f", "F": "f", "f*": "f*", "B": "f", "B*": "f*", "b": "f", "b*": "f*"}
_STROKES = {"S": "S", "s": "s", "B": "S", "B*": "S", "b": "s", "b*": "s"}
_CLOSES = frozenset({"b", "b*"})


def _table(*rows: tuple[str, Callable[[Any, str, Any], None]]) -> dict[str, Callable[[Any, str, Any], None]]:
    return {name: handler for names, handler in rows for name in names.split()}


class _Rewriter:
    def __init__(self, scope: Scope, start: State) -> None:
        self._scope = scope
        self._start = start
        self._state = start
        self._saved: list[State] = []
        self._marks: list[bool] = []
        self._type3: Drawn | None = None
        self._out: list[Any] = []
        self._changed = False
        self._coloured = False
        self._inherits = False
        self._opening = False

    @property
    def _hidden(self) -> bool:
        return True in self._marks

    def take(self, instruction: Any) -> None:  # noqa: ANN401 - an instruction or an inline image
        """Rewrite one operator."""
        name = str(instruction.operator)
        handler = self._handlers.get(name)
        if handler is None:
            self._out.append(instruction)
        else:
            handler(self, name, instruction)

    def open(self) -> None:
        """Begin in black, on the plate that is wanted; that of black has it already."""
        for stroked in (False, True):
            if self._scope.device(GRAY) is not GRAY:
                self._colour(stroked, self._scope.device(GRAY), [0])
        self._start, self._opening = self._state, True

    def done(self) -> Rewritten:
        """Close what is open and return the drawing."""
        for _ in self._saved:
            self._emit([], _RESTORE)
        drawing = pikepdf.unparse_content_stream(self._out) if self._changed else None
        return Rewritten(drawing, self._coloured, self._inherits)

    def _emit(self, operands: list[Any], operator: pikepdf.Operator) -> None:
        self._out.append((operands, operator))
        self._changed = True

    def _drop(self) -> None:
        self._changed = True

    # Colours.

    def _set(self, stroked: bool, paint: Paint) -> None:
        self._state = replace(self._state, stroke=paint) if stroked else replace(self._state, fill=paint)

    def _gray(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        if self._scope.device(GRAY) is not GRAY:
            self._colour(name == "G", self._scope.device(GRAY), instruction.operands)
            return
        self._scope.uses(GRAY, tuple(map(_value, instruction.operands)))
        self._set(name == "G", Paint())
        self._out.append(instruction)

    def _device(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        space = RGB if name.lower() == "rg" else CMYK
        self._colour(name.isupper(), self._scope.device(space), instruction.operands)

    def _colour(self, stroked: bool, space: ColourSpace, operands: Iterable[Any]) -> None:
        colour = tuple(map(_value, operands))
        colour = colour[-space.components :] if space.components else ()
        try:
            gray, coloured = space.gray(colour)
        except ColourSpaceError:
            # A colour that no reader understands: what is current stays.
            self._drop()
            return
        self._scope.uses(space, colour)
        no_tone = space.family == CMYK.family and space.part is not None and colour[space.part] <= 0
        self._set(stroked, Paint(space, coloured, space.nothing, space.spares, no_tone))
        self._emit([_number(gray)], _STROKED_G if stroked else _G)

    def _space(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        stroked = name == "CS"
        wanted = instruction.operands[0] if len(instruction.operands) else None
        try:
            space = self._scope.space(wanted)
        except ColourSpaceError:
            # Unknown: it starts black, and the number of its colours will tell.
            self._set(stroked, Paint(_UNKNOWN))
            self._emit([_number(self._scope.device(GRAY).gray((0.0,))[0])], _STROKED_G if stroked else _G)
            return
        if space.family == "Pattern":
            self._set(stroked, Paint(space))
            shown = "/Pattern" if space.base is None else self._scope.gray_pattern_space()
            self._emit([pikepdf.Name(shown)], _STROKED_CS if stroked else _CS)
        else:
            self._colour(stroked, space, space.initial)

    def _component(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        stroked = name.startswith("S")
        operands = list(instruction.operands)
        paint = self._state.stroke if stroked else self._state.fill
        self._inherits |= paint is (self._start.stroke if stroked else self._start.fill)
        if operands and isinstance(operands[-1], pikepdf.Name):
            self._pattern(stroked, paint, operands)
            return
        space = paint.space
        if space is _UNKNOWN:
            try:
                space = self._scope.device(by_components(len(operands)))
            except ColourSpaceError:
                self._drop()
                return
        self._colour(stroked, space, operands)

    def _pattern(self, stroked: bool, paint: Paint, operands: list[Any]) -> None:
        drawn = self._scope.pattern(operands[-1])
        base = paint.space.base
        tint, coloured, nothing, spares = operands[:-1], drawn.coloured, drawn.name is None, drawn.spares
        if base is not None and tint:
            colour = tuple(map(_value, tint))
            self._scope.uses(base, colour)
            try:
                gray, coloured = base.gray(colour)
            except ColourSpaceError:
                gray, coloured = 0.0, False
            nothing |= base.nothing
            spares = base.spares
            tint = [_number(gray)]
        space = paint.space if paint.space.family == "Pattern" else PATTERN
        if space is not paint.space:
            self._emit([pikepdf.Name.Pattern], _STROKED_CS if stroked else _CS)
        self._set(stroked, Paint(space, coloured, nothing, spares))
        if drawn.name is not None:
            self._emit([*tint, pikepdf.Name(drawn.name)], _STROKED_SCN if stroked else _SCN)

    # Painting.

    def _painted(self, *, fill: bool = False, stroke: bool = False) -> tuple[bool, bool]:
        """Note that something is painted; return whether its fill and its stroke leave a mark."""
        overprint = self._state.overprint
        fills = fill and not self._hidden and _marks(self._state.fill, overprint, on=overprint.fill)
        strokes = stroke and not self._hidden and _marks(self._state.stroke, overprint, on=overprint.stroke)
        self._coloured |= (fills and self._state.fill.coloured) or (strokes and self._state.stroke.coloured)
        inherited = (fill and self._state.fill is self._start.fill) or (
            stroke and self._state.stroke is self._start.stroke
        )
        self._inherits |= inherited
        if inherited and self._opening:
            self._scope.uses(GRAY, (0.0,))
        return fills, strokes

    def _path(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        fill, stroke = name in _FILLS, name in _STROKES
        fills, strokes = self._painted(fill=fill, stroke=stroke)
        if (fills, strokes) == (fill, stroke):
            self._out.append(instruction)
            return
        if fills and name in _CLOSES:
            self._emit([], _H)
        left = _FILLS[name] if fills else _STROKES[name] if strokes else "n"
        self._emit([], _operator(left))

    def _text(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        mode = self._state.text_mode
        fill, stroke, clip = mode in (0, 2, 4, 6), mode in (1, 2, 5, 6), mode >= 4
        if self._type3 is not None:
            # Drawn glyphs obey no text mode.
            fill, stroke, clip = True, False, False
        fills, strokes = self._painted(fill=fill, stroke=stroke)
        if self._type3 is not None and fills:
            self._coloured |= self._type3.coloured
        if (fills, strokes) == (fill, stroke):
            self._out.append(instruction)
        elif self._type3 is not None:
            self._drop()
        else:
            left = {(True, False): 0, (False, True): 1, (False, False): 3}[(fills, strokes)] + (4 if clip else 0)
            self._emit([left], _TR)
            self._out.append(instruction)
            self._emit([mode], _TR)

    def _shading(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        drawn = self._scope.shading(_first(instruction))
        if self._hidden or self._drawn_as(drawn) is None:
            self._drop()
            return
        self._coloured |= drawn.coloured
        self._out.append(instruction)

    def _drawn_as(self, drawn: Drawn) -> str | None:
        """Return the name of what is drawn; None if nothing is, or what overprints and has no part for the plate."""
        return None if drawn.spares and self._state.overprint.fill else drawn.name

    def _do(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        if self._hidden:
            self._drop()
            return
        wanted = _first(instruction)
        self._drawn(self._scope.xobject(wanted, self._state), instruction, str(wanted))

    def _inline(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        if self._hidden:
            self._drop()
            return
        drawn = self._scope.inline_image(instruction.iimage)
        if drawn is not None:
            self._drawn(drawn, instruction, "")
            return
        if bool(instruction.iimage.obj.get("/ImageMask", False)) and not self._painted(fill=True)[0]:
            self._drop()
        else:
            self._out.append(instruction)

    def _drawn(self, drawn: Drawn, instruction: Any, name: str) -> None:  # noqa: ANN401
        drawn_as = self._drawn_as(drawn)
        if drawn_as is None or (drawn.stencil and not self._painted(fill=True)[0]):
            self._drop()
            return
        if drawn.inherits:
            self._inherits |= self._state.fill is self._start.fill or self._state.stroke is self._start.stroke
        self._coloured |= drawn.coloured
        if drawn_as == name:
            self._out.append(instruction)
        else:
            self._emit([pikepdf.Name(drawn_as)], _DO)

    # State.

    def _save(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        self._saved.append(self._state)
        self._out.append(instruction)

    def _restore(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        if not self._saved:
            self._drop()
            return
        self._state = self._saved.pop()
        self._out.append(instruction)

    def _text_mode(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        mode = number_of(_first(instruction)) or 0
        self._state = replace(self._state, text_mode=int(mode) if 0 <= mode <= 7 else 0)
        self._out.append(instruction)

    def _graphic_state(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        overprint = self._scope.graphic_state(_first(instruction), self._state.overprint)
        if overprint != self._state.overprint:
            self._state = replace(self._state, overprint=overprint)
        self._out.append(instruction)

    def _font(self, _name: str, instruction: Any) -> None:  # noqa: ANN401
        self._type3 = self._scope.font(_first(instruction))
        self._out.append(instruction)

    def _begin(self, name: str, instruction: Any) -> None:  # noqa: ANN401
        operands = list(instruction.operands)
        layer = name == "BDC" and len(operands) == 2 and operands[0] == pikepdf.Name.OC
        self._marks.append(layer and self._scope.hides(operands[1]))
        self._drop()

    def _end(self, _name: str, _instruction: Any) -> None:  # noqa: ANN401
        if self._marks:
            self._marks.pop()
        self._drop()

    def _mark(self, _name: str, _instruction: Any) -> None:  # noqa: ANN401
        self._drop()

    _handlers: ClassVar = _table(
        ("g G", _gray),
        ("rg RG k K", _device),
        ("cs CS", _space),
        ("sc SC scn SCN", _component),
        ("f F f* B B* b b* S s", _path),
        ("Tj TJ ' \"", _text),
        ("sh", _shading),
        ("Do", _do),
        ("q", _save),
        ("Q", _restore),
        ("Tr", _text_mode),
        ("gs", _graphic_state),
        ("Tf", _font),
        ("BMC BDC", _begin),
        ("EMC", _end),
        ("MP DP", _mark),
    ) | {"INLINE IMAGE": _inline}


#: A colour space that is nowhere defined.
_UNKNOWN = replace(GRAY, family="unknown")


def _marks(paint: Paint, overprint: Overprint, *, on: bool) -> bool:
    """Tell whether a paint leaves a mark, with overprinting on or off."""
    return not paint.nothing and not (on and (paint.spares or (overprint.nonzero and paint.spares_nonzero)))


def _value(operand: object) -> float:
    return number_of(operand) or 0.0


def _first(instruction: Any) -> object:  # noqa: ANN401
    operands = instruction.operands
    return operands[0] if len(operands) else None


def _number(gray: float) -> Decimal:
    """Return a gray as it is written: five decimals are far finer than any tone."""
    return Decimal(f"{gray:.5f}").normalize() + 0
