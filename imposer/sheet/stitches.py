"""Where a booklet is held together, mm from the head and from the spine: staples, sewing stations, stab holes.

All places follow from the page's height by rules that are common practice and have no source; a job may set the number
of holes, the line they stand on and the margin that is kept clear for them.
"""

from __future__ import annotations

from dataclasses import dataclass

from imposer.geometry import Size
from imposer.job.model import BindingSpec, Stitch

#: A side stitch stands this far from the spine, mm.
SIDE_STITCH = 6.0
#: A stab binding's holes stand this far from the spine, mm, but never beyond this share of the page's width.
STAB_LINE, _STAB_SHARE = 10.0, 1 / 8
#: The margin reaches as far beyond the line of the holes as the spine lies before it.
_MARGIN_OF_LINE = 2.0
#: The kettle holes of a sewn signature: from head and foot, mm, but never beyond this share of the height.
KETTLE, _KETTLE_SHARE = 12.0, 1 / 8
#: Between the kettle holes stations stand no farther apart than this, mm.
_STATIONS_APART = 45.0
#: A stab binding has this many holes if the job does not say.
_STAB_HOLES = 4


@dataclass(frozen=True, slots=True)
class Stitching:
    """How one booklet is held."""

    kind: Stitch
    #: Middles of staples, or holes: mm from the head, in order.
    places: tuple[float, ...]
    #: mm from the spine; 0 in the fold.
    from_spine: float
    #: What is kept clear at the spine of every page, mm.
    margin: float
    #: The job names its stitch; else it is the usual one of its style, and nothing is marked for it.
    named: bool


def stitching_of(binding: BindingSpec, trim: Size) -> Stitching | None:
    """Return how a booklet of pages of `trim` is held; None where nothing is stitched.

    >>> stitching_of(BindingSpec(), Size(140, 200)).places
    (50.0, 150.0)
    """
    kind, spec = binding.stitch, binding.stitching
    named = spec.kind is not None
    match kind:
        case None:
            return None
        case "saddle":
            return Stitching(kind, staple_places(trim.height), 0.0, 0.0, named)
        case "sewn":
            return Stitching(kind, sewing_stations(trim.height, spec.holes), 0.0, 0.0, named)
        case "side":
            line = spec.line or SIDE_STITCH
            return Stitching(kind, staple_places(trim.height), line, spec.margin or _MARGIN_OF_LINE * line, named)
        case "stab":
            line = spec.line or min(STAB_LINE, trim.width * _STAB_SHARE)
            places = stab_holes(trim.height, spec.holes or _STAB_HOLES, line)
            return Stitching(kind, places, line, spec.margin or _MARGIN_OF_LINE * line, named)


def staple_places(height: float) -> tuple[float, float]:
    """Return where two staples have their middle, mm from the head: at a quarter and three quarters.

    >>> staple_places(200.0)
    (50.0, 150.0)
    """
    return height / 4, height * 3 / 4


def sewing_stations(height: float, holes: int | None = None) -> tuple[float, ...]:
    """Return the holes through the fold of a signature, mm from the head: kettle holes and even stations between them.

    Args:
        height: of the page, mm.
        holes: how many in all, an even number; left out, as few as stand no farther apart than 45 mm.

    >>> sewing_stations(210.0)
    (12.0, 49.2, 86.4, 123.6, 160.8, 198.0)
    """
    end = min(KETTLE, height * _KETTLE_SHARE)
    inner = height - 2 * end
    if holes is None:
        holes = 4
        while inner / (holes - 1) > _STATIONS_APART:
            holes += 2
    return _evenly(end, height - end, holes)


def stab_holes(height: float, holes: int, line: float) -> tuple[float, ...]:
    """Return the holes of a stab binding, mm from the head: the outer ones as far from head and foot as from the spine.

    >>> stab_holes(210.0, 5, 10.0)
    (10.0, 57.5, 105.0, 152.5, 200.0)
    """
    end = min(line, height / 4)
    return _evenly(end, height - end, holes)


def _evenly(first: float, last: float, count: int) -> tuple[float, ...]:
    return tuple(round(first + (last - first) * i / (count - 1), 3) for i in range(count))
