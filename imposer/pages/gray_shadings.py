"""A shading of a PDF in; the same shading in DeviceGray out (ISO 32000-1, 8.7.4.5)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pikepdf

from imposer.pages import luminance
from imposer.pages.colour_spaces import ColourSpace, read_colour_space
from imposer.pages.gray_functions import domain_of, function_is_coloured, gray_function
from imposer.pages.pdf_functions import numbers, unpack
from imposer.pages.pdf_objects import entries_of, number_of
from imposer.pages.pdf_source import PdfSource
from imposer.pages.plate_spaces import on_plate

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Bits of a gray in a mesh that is written here.
_BITS = 16
#: Bytes of a mesh that are rewritten.
_MESH = 64 * 1024 * 1024
#: Points and colours of a patch, by type and by whether it hangs on the one before (Tables 84 and 86).
_PATCH = {(6, False): (12, 4), (6, True): (8, 2), (7, False): (16, 4), (7, True): (12, 2)}


class ShadingError(ValueError):
    """A shading that cannot be rewritten."""


def gray_shading(
    source: PdfSource, shading: pikepdf.Object, resources: object, plate: str | None = None
) -> tuple[pikepdf.Object, bool, ColourSpace]:
    """Return a shading in gray, or on a plate, whether it was coloured, and its space there; once a file for each.

    Raises:
        ShadingError: it cannot be rewritten.
        ColourSpaceError: its colour space is unknown.
        FunctionError: a function of it is damaged or beyond the limits.
    """
    key = ("gray shading", plate, shading.objgen if shading.is_indirect else shading.unparse())
    if key not in source.seen:
        space = on_plate(read_colour_space(shading.get("/ColorSpace"), resources), plate)
        source.seen[key] = (*_Shading(source, shading, space).turned(), space)
    found: tuple[pikepdf.Object, bool, ColourSpace] = source.seen[key]
    return found


class _Shading:
    def __init__(self, source: PdfSource, shading: pikepdf.Object, space: ColourSpace) -> None:
        self._pdf = source.pdf
        self._shading = shading
        self._space = space

    def turned(self) -> tuple[pikepdf.Object, bool]:
        kind = int(number_of(self._shading.get("/ShadingType")) or 0)
        if kind in (1, 2, 3):
            made = pikepdf.Dictionary()
            coloured = self._function(made, domain_of(self._shading.get("/Domain"), 2 if kind == 1 else 1))
            self._copy(made)
            return self._pdf.make_indirect(made), coloured
        if kind in (4, 5, 6, 7) and isinstance(self._shading, pikepdf.Stream):
            return self._mesh(kind)
        raise ShadingError(f"its type {kind} is unknown")

    def _copy(self, made: pikepdf.Object) -> None:
        """Take over what is not about colour."""
        for key, value in entries_of(self._shading).items():
            if key not in ("/ColorSpace", "/Function", "/Background", "/Length", "/Filter", "/DecodeParms"):
                made[key] = made.get(key, value)
        made.ColorSpace = pikepdf.Name.DeviceGray
        background = tuple(numbers(self._shading.get("/Background")))
        if background:
            made.Background = pikepdf.Array([round(self._space.gray(background)[0], 6)])

    def _function(self, made: pikepdf.Object, domain: list[tuple[float, float]]) -> bool:
        function = self._shading.get("/Function")
        made.Function = gray_function(self._pdf, function, self._space, domain)
        return function_is_coloured(function, self._space, domain, luminance.NEUTRAL)

    def _mesh(self, kind: int) -> tuple[pikepdf.Object, bool]:
        shading = self._shading
        decode = numbers(shading.get("/Decode"))
        data = shading.read_bytes()
        if "/Function" in shading:
            made = self._pdf.make_stream(data)
            coloured = self._function(made, domain_of(pikepdf.Array(decode[4:6]), 1))
        else:
            mesh = _Mesh(shading, kind, self._space, decode)
            made = self._pdf.make_stream(mesh.turned(data))
            made.BitsPerComponent = _BITS
            made.Decode = pikepdf.Array([*decode[:4], 0, 1])
            coloured = mesh.coloured
        self._copy(made)
        return made, coloured


class _Mesh:
    """A mesh whose corners have colours, not values of a function."""

    def __init__(self, shading: pikepdf.Object, kind: int, space: ColourSpace, decode: list[float]) -> None:
        bits = [number_of(shading.get(f"/BitsPer{name}", 0)) for name in ("Coordinate", "Component", "Flag")]
        self._place, self._part, self._flag = (int(one or 0) for one in bits)
        self._kind = kind
        self._space = space
        if kind == 5:
            self._flag = 0
        if len(decode) != 4 + 2 * space.components or not 1 <= self._part <= 16 or not 1 <= self._place <= 32:
            raise ShadingError("its mesh is damaged")
        self._decode = np.array(decode[4:]).reshape(-1, 2)
        self.coloured = False

    def turned(self, data: bytes) -> bytes:
        """Return the data with one gray in the place of each colour."""
        if len(data) > _MESH:
            raise ShadingError("its mesh is too large")
        return self._corners(data) if self._kind in (4, 5) else self._patches(data)

    def _grays(self, raw: NDArray[np.uint64]) -> NDArray[np.uint8]:
        """Return the grays of raw colours (n, components) as bits (n, 16)."""
        values = raw / (2.0**self._part - 1)
        values = self._decode[:, 0] + values * (self._decode[:, 1] - self._decode[:, 0])
        grays, spreads = self._space.rows(values)
        self.coloured |= bool((spreads > luminance.NEUTRAL).any())
        packed = np.rint(grays * (2**_BITS - 1)).astype(">u2")
        return np.unpackbits(packed.view(np.uint8).reshape(-1, 2), axis=1)

    def _corners(self, data: bytes) -> bytes:
        """Turn a mesh of triangles: every corner is one record of whole bytes."""
        count = self._space.components
        head = self._flag + 2 * self._place
        record = (head + count * self._part + 7) // 8
        corners = len(data) // record
        if corners == 0:
            raise ShadingError("its mesh is empty")
        rows = np.frombuffer(data[: corners * record], np.uint8).reshape(corners, record)
        bits = np.unpackbits(rows, axis=1)
        parts = bits[:, head : head + count * self._part]
        raw = unpack(np.packbits(parts).tobytes(), self._part, corners * count).reshape(corners, count)
        return np.packbits(np.concatenate([bits[:, :head], self._grays(raw)], axis=1), axis=1).tobytes()

    def _patches(self, data: bytes) -> bytes:
        """Turn a mesh of patches, each of whole bytes; its flag says how long it is."""
        bits = np.unpackbits(np.frombuffer(data, np.uint8))
        count, at, pieces = self._space.components, 0, []
        while at + self._flag <= len(bits):
            flag = int(unpack(np.packbits(bits[at : at + self._flag]).tobytes(), self._flag, 1)[0]) & 3
            points, colours = _PATCH[(self._kind, flag != 0)]
            head, tail = self._flag + 2 * points * self._place, colours * count * self._part
            if (head + tail) % 8:
                raise ShadingError("its patches are not of whole bytes")
            if at + head + tail > len(bits):
                break
            parts = np.packbits(bits[at + head : at + head + tail]).tobytes()
            grays = self._grays(unpack(parts, self._part, colours * count).reshape(colours, count))
            pieces.append(np.concatenate([bits[at : at + head], grays.ravel()]))
            at += head + tail
        if not pieces or len(pieces[0]) % 8:
            raise ShadingError("its patches are not of whole bytes")
        return np.packbits(np.concatenate(pieces)).tobytes()
