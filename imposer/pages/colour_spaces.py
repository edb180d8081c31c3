"""PDF colour spaces in (ISO 32000-1, 8.6); what gray a colour of theirs is out, by the rule of `luminance`.

A module of its own because drawings, pictures and shadings all ask it, and because nothing else knows what a colour
space looks like in a file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import pikepdf

from imposer.pages import luminance
from imposer.pages.pdf_functions import FunctionError, numbers, read_function
from imposer.pages.pdf_objects import name_of, number_of
from imposer.pages.plates import PROCESS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rows = NDArray[np.float64]

#: How deep colour spaces may be built on one another.
_DEPTH = 6
#: A Lab colour whose a and b reach no further than this is neutral. A working value of our own.
_NEUTRAL_LAB = 3.0


class ColourSpaceError(ValueError):
    """A colour space that is damaged or unknown."""


@dataclass(frozen=True, slots=True, eq=False)
class ColourSpace:
    """One colour space, as far as gray goes."""

    #: The family: "DeviceGray", "ICCBased", "Separation", …
    family: str
    #: How many numbers a colour has; 0 for a pattern alone.
    components: int
    #: From colours (n, components) to grays (n,), 0 = black, and how far they are from neutral (n,).
    convert: Callable[[Rows], tuple[Rows, Rows]]
    #: The colour that is current when the space is chosen (ISO 32000-1, Table 74, operator CS).
    initial: tuple[float, ...]
    #: The range of each number, from which an image's default decoding follows (Table 90).
    ranges: tuple[tuple[float, float], ...]
    #: What is painted in it leaves no mark (a spot colour named None).
    nothing: bool = False
    #: The space of the colour that an uncoloured pattern is painted in, or an index points into.
    base: ColourSpace | None = None
    #: The palette of an indexed space as grays and spreads, and as colours of its base.
    palette: tuple[Rows, Rows] | None = None
    colours: Rows | None = None
    #: The plate that each number is the tone on; empty where its numbers are light and no ink.
    plates: tuple[str, ...] = ()
    #: As it is on one plate (see `plate_spaces`): which number is its tone there; whether it is always bare there; and
    #: whether what overprints in it leaves the plate as it is.
    part: int | None = None
    bare: bool = False
    spares: bool = False

    def gray(self, colour: tuple[float, ...]) -> tuple[float, bool]:
        """Return the gray of one colour, and whether it is coloured.

        Raises:
            ColourSpaceError: it has another number of components, or cannot be worked out.
        """
        if len(colour) != self.components:
            raise ColourSpaceError(f"a colour of {self.components} numbers has {len(colour)}")
        grays, spreads = self.rows(np.array([colour], dtype=float))
        return float(grays[0]), bool(spreads[0] > luminance.NEUTRAL)

    def rows(self, colours: Rows) -> tuple[Rows, Rows]:
        """Return the grays and spreads of many colours.

        Raises:
            ColourSpaceError: they cannot be worked out.
        """
        try:
            grays, spreads = self.convert(colours)
        except FunctionError as error:
            raise ColourSpaceError(str(error)) from error
        return np.clip(grays, 0.0, 1.0), spreads


def _gray_rows(colours: Rows) -> tuple[Rows, Rows]:
    return np.clip(colours[:, 0], 0, 1), np.zeros(len(colours))


def _rgb_rows(colours: Rows) -> tuple[Rows, Rows]:
    bounded = np.clip(colours, 0, 1)
    return luminance.gray_of_rgb_rows(bounded), luminance.spread_of_rgb_rows(bounded)


def _cmyk_rows(colours: Rows) -> tuple[Rows, Rows]:
    bounded = np.clip(colours, 0, 1)
    return luminance.gray_of_cmyk_rows(bounded), luminance.spread_of_cmyk_rows(bounded)


def _unit(count: int) -> tuple[tuple[float, float], ...]:
    return ((0.0, 1.0),) * count


GRAY = ColourSpace("DeviceGray", 1, _gray_rows, (0.0,), _unit(1))
RGB = ColourSpace("DeviceRGB", 3, _rgb_rows, (0.0, 0.0, 0.0), _unit(3))
CMYK = ColourSpace("DeviceCMYK", 4, _cmyk_rows, (0.0, 0.0, 0.0, 1.0), _unit(4), plates=PROCESS)
PATTERN = ColourSpace("Pattern", 0, _gray_rows, (), ())

#: Names of the spaces that need no array, those of inline images included (ISO 32000-1, Table 94).
_NAMED = {
    "/DeviceGray": GRAY,
    "/G": GRAY,
    "/CalGray": GRAY,
    "/DeviceRGB": RGB,
    "/RGB": RGB,
    "/CalRGB": RGB,
    "/DeviceCMYK": CMYK,
    "/CMYK": CMYK,
    "/CalCMYK": CMYK,
    "/Pattern": PATTERN,
}
_BY_COUNT = {1: GRAY, 3: RGB, 4: CMYK}


def by_components(count: int) -> ColourSpace:
    """Return the device space of so many numbers.

    Raises:
        ColourSpaceError: there is none.
    """
    if count not in _BY_COUNT:
        raise ColourSpaceError(f"no colour space has {count} numbers")
    return _BY_COUNT[count]


def read_colour_space(value: object, resources: object = None, depth: int = 0) -> ColourSpace:
    """Return a colour space.

    Args:
        value: its name or array.
        resources: where a name that is no device space is looked up.
        depth: how deep it lies in another.

    Raises:
        ColourSpaceError: it is damaged or unknown.
    """
    if depth > _DEPTH:
        raise ColourSpaceError("colour spaces lie too deep in one another")
    if isinstance(value, pikepdf.Name):
        return _by_name(str(value), resources, depth)
    if not isinstance(value, pikepdf.Array) or len(value) == 0:
        raise ColourSpaceError("a colour space is missing")
    family = str(value[0])
    if family in _FAMILIES and len(value) >= 2:
        try:
            return _FAMILIES[family](value, resources, depth)
        except ColourSpaceError:
            raise
        except (pikepdf.PdfError, RuntimeError, TypeError, ValueError, AttributeError) as error:
            raise ColourSpaceError(f"the colour space {family} is damaged") from error
    if family in _NAMED:
        return _NAMED[family]
    raise ColourSpaceError(f"the colour space {family[:40]} is unknown")


def _by_name(name: str, resources: object, depth: int) -> ColourSpace:
    if name in _NAMED:
        return _NAMED[name]
    spaces = resources.get("/ColorSpace") if isinstance(resources, pikepdf.Dictionary) else None
    found = spaces.get(name) if isinstance(spaces, pikepdf.Dictionary) else None
    if found is None:
        raise ColourSpaceError(f"the colour space {name[:40]} is nowhere defined")
    return read_colour_space(found, resources, depth + 1)


def _icc(value: pikepdf.Object, resources: object, depth: int) -> ColourSpace:
    profile = value[1]
    if not isinstance(profile, pikepdf.Stream):
        raise ColourSpaceError("a colour profile is missing")
    alternate = profile.get("/Alternate")
    if isinstance(alternate, pikepdf.Array) and str(alternate[0]) == "/Lab":
        return read_colour_space(alternate, resources, depth + 1)
    count = profile.get("/N")
    return by_components(count if isinstance(count, int) else 0)


def _lab(value: pikepdf.Object, _resources: object, _depth: int) -> ColourSpace:
    details = value[1]
    limits = numbers(details.get("/Range")) if isinstance(details, pikepdf.Dictionary) else []
    low_a, high_a, low_b, high_b = limits if len(limits) == 4 else (-100.0, 100.0, -100.0, 100.0)
    start = (0.0, min(max(0.0, low_a), high_a), min(max(0.0, low_b), high_b))
    return ColourSpace("Lab", 3, _lab_rows, start, ((0.0, 100.0), (low_a, high_a), (low_b, high_b)))


#: From CIE XYZ, white at 1, to the red, green and blue of a screen (IEC 61966-2-1), the white point divided out.
_XYZ_TO_RGB = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
_SCREEN_WHITE = np.array([0.9505, 1.0, 1.0890])


def _lab_rows(colours: Rows) -> tuple[Rows, Rows]:
    """Convert by way of a screen's red, green and blue, as a viewer does (ISO 32000-1, 8.6.5.4; IEC 61966-2-1)."""
    middle = (np.clip(colours[:, 0], 0, 100) + 16) / 116
    parts = np.stack([middle + colours[:, 1] / 500, middle, middle - colours[:, 2] / 200], axis=1)
    xyz = np.where(parts >= 6 / 29, parts**3, (108 / 841) * (parts - 4 / 29))
    # Rows of the matrix are made to sum to one, so that white is white in spite of its four decimals.
    matrix = _XYZ_TO_RGB * _SCREEN_WHITE
    light = np.clip(xyz @ (matrix / matrix.sum(axis=1, keepdims=True)).T, 0, 1)
    rgb = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    spread = np.where(np.hypot(colours[:, 1], colours[:, 2]) <= _NEUTRAL_LAB, 0.0, np.ptp(rgb, axis=1))
    return luminance.gray_of_rgb_rows(rgb), spread


def _indexed(value: pikepdf.Object, resources: object, depth: int) -> ColourSpace:
    if len(value) < 4:
        raise ColourSpaceError("an indexed colour space is damaged")
    base = read_colour_space(value[1], resources, depth + 1)
    most, table = number_of(value[2]), value[3]
    data = table.read_bytes() if isinstance(table, pikepdf.Stream) else bytes(table)
    if most is None or base.components == 0 or base.palette is not None:
        raise ColourSpaceError("an indexed colour space is damaged")
    count = min(max(int(most), 0), 255) + 1
    needed = count * base.components
    entries = np.frombuffer(data[:needed].ljust(needed, b"\0"), np.uint8).reshape(count, base.components) / 255
    bounds = np.array(base.ranges)
    return indexed(base, bounds[:, 0] + entries * (bounds[:, 1] - bounds[:, 0]))


def indexed(base: ColourSpace, colours: Rows) -> ColourSpace:
    """Return the space whose one number points into a palette.

    Args:
        base: the space of its colours.
        colours: the palette (n, components of the base).

    Raises:
        ColourSpaceError: the colours cannot be worked out.
    """
    grays, spreads = base.rows(colours)

    def convert(places: Rows) -> tuple[Rows, Rows]:
        at = np.clip(np.nan_to_num(places[:, 0]), 0, len(colours) - 1).astype(int)
        return grays[at], spreads[at]

    palette = (grays, spreads)
    return ColourSpace("Indexed", 1, convert, (0.0,), ((0.0, 255.0),), base=base, palette=palette, colours=colours)


def _spot(value: pikepdf.Object, resources: object, depth: int) -> ColourSpace:
    """Read a Separation or DeviceN space (ISO 32000-1, 8.6.6.4 and 8.6.6.5)."""
    if len(value) < 4:
        raise ColourSpaceError("a spot colour space is damaged")
    single = str(value[0]) == "/Separation"
    names = [name_of(value[1])] if single else [name_of(one) for one in value[1].as_list()]
    count = len(names)
    full, unit = (1.0,) * count, _unit(count)
    family = "Separation" if single else "DeviceN"
    nothing = all(name == "/None" for name in names)
    plates = tuple(name.removeprefix("/") for name in names)
    if nothing or all(name.lower() in ("/all", "/black", "/none") for name in names):
        printing = [at for at, name in enumerate(names) if name != "/None"]
        return ColourSpace(family, count, _as_inks(printing), full, unit, nothing=nothing, plates=plates)
    plainly = _as_inks(list(range(count)))
    try:
        alternate = read_colour_space(value[2], resources, depth + 1)
        tint = read_function(value[3])
    except (FunctionError, ColourSpaceError):
        # What it looks like cannot be known: its tone is its tone.
        return ColourSpace(family, count, plainly, full, unit, plates=plates)

    def convert(colours: Rows) -> tuple[Rows, Rows]:
        try:
            shown = tint(np.clip(colours, 0, 1))
        except FunctionError:
            return plainly(colours)
        return alternate.convert(shown) if shown.shape[1] == alternate.components else plainly(colours)

    return ColourSpace(family, count, convert, full, unit, plates=plates)


def _as_inks(printing: list[int]) -> Callable[[Rows], tuple[Rows, Rows]]:
    """Convert inks whose tone is their tone: black, what prints everywhere, what looks like nothing known."""

    def convert(colours: Rows) -> tuple[Rows, Rows]:
        tone = np.minimum(1, np.clip(colours[:, printing], 0, 1).sum(axis=1))
        return 1 - tone, np.zeros(len(colours))

    return convert


def _pattern(value: pikepdf.Object, resources: object, depth: int) -> ColourSpace:
    base = read_colour_space(value[1], resources, depth + 1)
    return ColourSpace("Pattern", 0, _gray_rows, (), (), base=base)


_FAMILIES: dict[str, Callable[[pikepdf.Object, object, int], ColourSpace]] = {
    "/ICCBased": _icc,
    "/Lab": _lab,
    "/Indexed": _indexed,
    "/I": _indexed,
    "/Separation": _spot,
    "/DeviceN": _spot,
    "/Pattern": _pattern,
}
