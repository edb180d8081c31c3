"""What a PDF page draws, read from its operators: type with its size and tone, strokes with their width, images.

Vectors say what pixels only show: how many points type is set in, how wide a stroke is, how many pixels an image brings
to how many millimetres. An opened page goes in, a `Drawn` with boxes in page space comes out, small whatever the page
holds. Words are as wide as their font says its glyphs are, with the spacing they are set with; letters that lean out of
their own width stand out of the box by as much. Type drawn as outlines is no type here, and neither is what a font
draws by procedures of its own. Source of the operators: ISO 32000-1, Annex A.
"""

from __future__ import annotations

import hashlib
import math
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pikepdf

from imposer.geometry import Box, Transform
from imposer.pages.colour_scan import pixels_of, whole_drawing
from imposer.pages.drawn_facts import CutPicture, Drawn, Pen, Picture, Words
from imposer.pages.gray import GrayPage
from imposer.pages.luminance import tone_of
from imposer.pages.pdf_objects import number_of
from imposer.pages.pdf_source import PdfSource
from imposer.pages.picture_data import data_missing
from imposer.pages.type_widths import TypeFace, type_face

#: Drawings with more bytes than this are not read operator by operator: they are pictures made of paths.
_MOST_BYTES = 2_000_000
#: Words kept for holding inks against one another.
_MOST_WORDS = 2_000
#: Strokes kept, the thinnest: a file's marks and colour bars beyond the bleed are fewer.
_MOST_PENS = 200
#: Images kept that lack data.
_MOST_CUT = 10
#: What is said of type in a font that the page's resources lack.
_NO_FACE = type_face(None)
#: How text is drawn that leaves no ink: invisible, or only a clip (Table 106).
_UNSEEN = (3, 7)
#: What draws along a path.
_STROKES = frozenset({"S", "s", "B", "B*", "b", "b*"})
_PATHS = frozenset({"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n"})


def read_drawn(source: PdfSource, index: int, to_page: Transform, plate: GrayPage | None = None) -> Drawn:
    """Return what a page draws.

    Args:
        source: The opened file.
        index: Which page, from 0.
        to_page: From art space to page space.
        plate: The page as it is on one plate, if that is meant. What is white there is mostly the ink of another
            plate, so no white type is told of.
    """
    page = source.pages[index]
    reading = _Reading(source, white=plate is None)
    matrix = source.space(index).to_art.then(to_page)
    try:
        if plate is None:
            reading.take(whole_drawing(source, index), page.get("/Resources"), _State(matrix=matrix), 0)
        else:
            reading.take(plate.drawing, plate.resources, _State(matrix=matrix), 0)
    except (pikepdf.PdfError, RuntimeError, ValueError, TypeError):
        # Whoever draws the page tells what is wrong with it; here it is only not looked at.
        reading.whole = False
    return reading.drawn()


@dataclass(frozen=True, slots=True, kw_only=True)
class _State:
    """What the graphic state says of type and strokes. `matrix` leads to page space."""

    matrix: Transform
    fill: float | None = 1.0
    stroke: float | None = 1.0
    width: float = 1.0
    face: TypeFace | None = None
    size: float = 0.0
    leading: float = 0.0
    rise: float = 0.0
    across: float = 1.0
    spaced: float = 0.0
    words_spaced: float = 0.0
    mode: int = 0


class _Reading:
    """Goes through a drawing and what it draws, and keeps what matters."""

    def __init__(self, source: PdfSource, *, white: bool) -> None:
        self._source = source
        self._white = white
        self._left = _MOST_BYTES
        self._words: list[Words] = []
        self._smallest: dict[str, Words] = {}
        self._pens: list[Pen] = []
        self._coarsest: Picture | None = None
        self._cut: list[CutPicture] = []
        self._fonts: dict[str, bool] = {}
        self._faces: dict[tuple[int, int], TypeFace] = {}
        self.whole = True

    def drawn(self) -> Drawn:
        return Drawn(
            words=tuple(self._words),
            smallest=self._smallest.get("printed"),
            smallest_reversed=self._smallest.get("reversed"),
            smallest_tinted=self._smallest.get("tinted"),
            pens=self._thinnest(),
            coarsest=self._coarsest,
            cut=tuple(self._cut),
            fonts_missing=tuple(sorted(name for name, embedded in self._fonts.items() if not embedded)),
            whole=self.whole,
        )

    def take(self, data: bytes, resources: object, start: _State, depth: int) -> None:
        """Go through one drawing."""
        self._left -= len(data)
        if self._left < 0 or depth > self._source.limits.drawing_depth:
            self.whole = False
            return
        _Drawing(self, resources, start, depth).go(data)

    def face(self, font: pikepdf.Object) -> TypeFace:
        """Return what a font says of its setting; it is read once."""
        if font.objgen == (0, 0):
            return type_face(font)
        if font.objgen not in self._faces:
            self._faces[font.objgen] = type_face(font)
        return self._faces[font.objgen]

    def type(self, words: Words, face: TypeFace | None) -> None:
        """Keep a run of type."""
        kind = words.shade
        if not self._white and kind == "reversed":
            return
        if face is not None:
            self._fonts.setdefault(face.name, face.embedded)
        if len(self._words) < _MOST_WORDS:
            self._words.append(words)
        for name in ("printed", kind) if kind != "reversed" else (kind,):
            known = self._smallest.get(name)
            if known is None or words.size < known.size:
                self._smallest[name] = words

    def pen(self, pen: Pen) -> None:
        """Keep a stroke."""
        self._pens.append(pen)
        if len(self._pens) > 2 * _MOST_PENS:
            self._pens = list(self._thinnest())

    def _thinnest(self) -> tuple[Pen, ...]:
        return tuple(sorted(self._pens, key=lambda pen: pen.width)[:_MOST_PENS])

    def picture(self, picture: Picture, image: pikepdf.Object) -> None:
        """Keep an image."""
        if self._coarsest is None or picture.ppi < self._coarsest.ppi:
            self._coarsest = picture
        missing = data_missing(self._source, image)
        if missing != 0 and len(self._cut) < _MOST_CUT:
            self._cut.append(CutPicture(missing=missing, box=picture.box))


#: What to do with an operator's operands.
_Act = Callable[[Any], None]


class _Drawing:
    """One drawing's operators, in order."""

    def __init__(self, reading: _Reading, resources: object, start: _State, depth: int) -> None:
        self._reading, self._resources, self._depth = reading, resources, depth
        self._state, self._saved = start, list[_State]()
        self._line = self._text = Transform(1, 0, 0, 1, 0, 0)
        self._path: list[tuple[float, float]] = []

    def go(self, data: bytes) -> None:
        """Take every operator."""
        acts = self._acts()
        holder = pikepdf.Pdf.new()
        with warnings.catch_warnings():
            # Of a drawing that breaks off: whoever draws the page tells.
            warnings.simplefilter("ignore")
            instructions = pikepdf.parse_content_stream(pikepdf.Stream(holder, data))
        for instruction in instructions:
            name = str(instruction.operator)
            if name in acts:
                acts[name](instruction.operands)
            elif name in _PATHS:
                self._paint(name)

    def _acts(self) -> dict[str, _Act]:
        """Return what to do at each operator."""
        return {
            "q": self._save,
            "Q": self._restore,
            "cm": self._concat,
            "w": lambda operands: self._set("width", operands),
            **dict.fromkeys(("g", "rg", "k"), lambda operands: self._colour("fill", operands)),
            **dict.fromkeys(("G", "RG", "K"), lambda operands: self._colour("stroke", operands)),
            **dict.fromkeys(("sc", "scn"), lambda operands: self._colour("fill", operands, named=True)),
            **dict.fromkeys(("SC", "SCN"), lambda operands: self._colour("stroke", operands, named=True)),
            "BT": self._begin,
            "Tf": self._font,
            "Tr": self._mode,
            "Tm": self._place,
            "Td": self._next,
            "TD": self._next_leading,
            "T*": self._new_line,
            "TL": lambda operands: self._set("leading", operands),
            "Ts": lambda operands: self._set("rise", operands),
            "Tz": lambda operands: self._set("across", operands, 0.01),
            "Tc": lambda operands: self._set("spaced", operands),
            "Tw": lambda operands: self._set("words_spaced", operands),
            "Tj": self._show,
            "TJ": self._show,
            "'": self._show_on_new_line,
            '"': self._show_spaced,
            **dict.fromkeys(("m", "l", "c", "v", "y"), self._point),
            "re": self._rectangle,
            "Do": self._do,
        }

    # --- the graphic state ---

    def _save(self, operands: Any) -> None:  # noqa: ANN401 - as the library parses them
        del operands
        self._saved.append(self._state)

    def _restore(self, operands: Any) -> None:  # noqa: ANN401
        del operands
        if self._saved:
            self._state = self._saved.pop()

    def _concat(self, operands: Any) -> None:  # noqa: ANN401
        matrix = _matrix(operands)
        if matrix is not None:
            self._state = replace(self._state, matrix=matrix.then(self._state.matrix))

    def _set(self, name: str, operands: Any, scale: float = 1.0) -> None:  # noqa: ANN401
        values = _numbers(operands)
        if values:
            self._state = replace(self._state, **{name: values[0] * scale})  # type: ignore[arg-type]

    def _colour(self, which: str, operands: Any, *, named: bool = False) -> None:  # noqa: ANN401
        values = _numbers(operands)
        # One component in a space that was named may be a tint of anything: its tone is not known.
        tone = None if named and len(values) == 1 else tone_of(values)
        self._state = replace(self._state, **{which: tone})  # type: ignore[arg-type]

    def _mode(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        self._state = replace(self._state, mode=int(values[0]) if values else 0)

    def _font(self, operands: Any) -> None:  # noqa: ANN401
        fonts = self._resources.get("/Font") if isinstance(self._resources, pikepdf.Dictionary) else None
        font = fonts.get(str(operands[0])) if isinstance(fonts, pikepdf.Dictionary) and len(operands) == 2 else None
        size = number_of(operands[1]) if len(operands) == 2 else None
        face = self._reading.face(font) if isinstance(font, pikepdf.Dictionary) else None
        self._state = replace(self._state, face=face, size=size or 0.0)

    # --- text ---

    def _begin(self, operands: Any) -> None:  # noqa: ANN401
        del operands
        self._line = self._text = Transform(1, 0, 0, 1, 0, 0)

    def _place(self, operands: Any) -> None:  # noqa: ANN401
        matrix = _matrix(operands)
        if matrix is not None:
            self._line = self._text = matrix

    def _next(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        if len(values) == 2:
            self._line = self._text = Transform.shift(*values).then(self._line)

    def _next_leading(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        if len(values) == 2:
            self._state = replace(self._state, leading=-values[1])
        self._next(operands)

    def _new_line(self, operands: Any) -> None:  # noqa: ANN401
        del operands
        self._line = self._text = Transform.shift(0, -self._state.leading).then(self._line)

    def _show(self, operands: Any) -> None:  # noqa: ANN401
        parts = operands[-1] if len(operands) else b""
        listed = parts.as_list() if isinstance(parts, pikepdf.Array) else [parts]
        state, face = self._state, self._state.face or _NO_FACE
        at, ends, said = 0.0, [], b""
        for part in listed:
            if isinstance(part, pikepdf.String):
                letters = bytes(part)
                spaces = face.glyphs_in(letters) * state.spaced + face.spaces_in(letters) * state.words_spaced
                ends.append(at)
                at += (face.widths_of(letters) * state.size + spaces) * state.across
                ends.append(at)
                said += letters
            else:
                at -= (number_of(part) or 0.0) / 1000 * state.size * state.across
        if said:
            self._run(said, min(ends), max(ends), face)
        self._text = Transform.shift(at, 0).then(self._text)

    def _show_on_new_line(self, operands: Any) -> None:  # noqa: ANN401
        self._new_line(operands)
        self._show(operands)

    def _show_spaced(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        if len(values) == 2:
            self._state = replace(self._state, words_spaced=values[0], spaced=values[1])
        self._show_on_new_line(operands)

    def _run(self, said: bytes, start: float, end: float, face: TypeFace) -> None:
        """Keep a run of type from `start` to `end` along its base line."""
        state = self._state
        whole = self._text.then(state.matrix)
        size = abs(state.size) * math.hypot(whole.c, whole.d)
        if state.mode in _UNSEEN or face.drawn or not size:
            return
        foot, head = sorted((state.rise + face.below * state.size, state.rise + face.above * state.size))
        tone = state.stroke if state.mode in (1, 5) else state.fill
        mark = hashlib.blake2b(said, digest_size=8).digest()
        box = whole.apply_box(Box(start, foot, end, head))
        self._reading.type(Words(size=size, tone=tone, box=box, said=mark), state.face)

    # --- paths and what is drawn by name ---

    def _point(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        self._path += [self._state.matrix.apply(*values[i : i + 2]) for i in range(0, len(values) - 1, 2)]

    def _rectangle(self, operands: Any) -> None:  # noqa: ANN401
        values = _numbers(operands)
        if len(values) == 4:
            x, y, width, height = values
            self._path += [self._state.matrix.apply(x, y), self._state.matrix.apply(x + width, y + height)]

    def _paint(self, name: str) -> None:
        if name in _STROKES and self._path and (self._state.stroke is None or self._state.stroke > 0.005):
            xs, ys = zip(*self._path, strict=True)
            matrix = self._state.matrix
            width = self._state.width * math.sqrt(abs(matrix.a * matrix.d - matrix.b * matrix.c))
            self._reading.pen(Pen(width=width, box=Box(min(xs), min(ys), max(xs), max(ys))))
        self._path = []

    def _do(self, operands: Any) -> None:  # noqa: ANN401
        things = self._resources.get("/XObject") if isinstance(self._resources, pikepdf.Dictionary) else None
        thing = things.get(str(operands[0])) if isinstance(things, pikepdf.Dictionary) and len(operands) else None
        if not isinstance(thing, pikepdf.Stream):
            return
        if thing.get("/Subtype") == pikepdf.Name.Form:
            matrix = _matrix(list(thing.get("/Matrix", [])))
            state = self._state if matrix is None else replace(self._state, matrix=matrix.then(self._state.matrix))
            own = thing.get("/Resources", self._resources)
            self._reading.take(thing.read_bytes(), own, state, self._depth + 1)
        elif thing.get("/Subtype") == pikepdf.Name.Image:
            self._image(thing)

    def _image(self, image: pikepdf.Object) -> None:
        wide, high = pixels_of(image)
        matrix = self._state.matrix
        across, up = math.hypot(matrix.a, matrix.b), math.hypot(matrix.c, matrix.d)
        if min(wide, high) < 2 or min(across, up) <= 0:
            return
        one_bit = bool(image.get("/ImageMask", False)) or image.get("/BitsPerComponent") == 1
        self._reading.picture(
            Picture(
                ppi=min(wide / across, high / up) * 25.4,
                bilevel=one_bit,
                box=matrix.apply_box(Box(0, 0, 1, 1)),
            ),
            image,
        )


def _numbers(operands: Any) -> list[float]:  # noqa: ANN401
    return [value for value in map(number_of, operands) if value is not None]


def _matrix(operands: Any) -> Transform | None:  # noqa: ANN401
    values = _numbers(operands)
    return Transform(*values) if len(values) == 6 else None
