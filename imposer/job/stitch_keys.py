"""The keys of [binding] that say how a booklet is held together; elsewhere a fault that says why."""

from __future__ import annotations

from imposer.fold.model import Style
from imposer.job.model import Stitch, StitchSpec
from imposer.job.toml_reader import TomlTable
from imposer.job.values import BadValue, length, one_of, whole
from imposer.units import show

#: How each style may be stitched, the usual way first.
STITCHES: dict[Style, tuple[Stitch, ...]] = {"saddle": ("saddle",), "gathered": ("side", "sewn", "stab")}

#: Holes a stab binding may have: the trade's four- and five-hole patterns; common practice, no source.
STAB_HOLES = (4, 5)
#: Holes of a sewn signature: a kettle hole at each end, and pairs between them; common practice, no source.
_SEWN_HOLES = (4, 12)
#: Nothing is stapled or pierced nearer to the spine than this, nor is a margin wider, mm; common practice, no source.
_LINE, _MARGIN = (3.0, 60.0), (5.0, 100.0)


def stitch_spec(table: TomlTable, style: Style) -> StitchSpec:
    """Read how a booklet is stitched, and keep the faults of keys that its stitch has no use for."""
    ways: tuple[Stitch, ...] = ("saddle", "sewn", "side", "stab")
    kind = table.get("stitch", one_of(ways), None)
    spec = StitchSpec(
        kind=kind,
        holes=table.get("holes", whole(2, _SEWN_HOLES[1]), None),
        line=table.get("hole_line", length(*_LINE), None),
        margin=table.get("binding_margin", length(*_MARGIN), None),
    )
    if style not in STITCHES:
        for key in ("stitch", "holes", "hole_line", "binding_margin"):
            if table.has(key):
                table.fault(key, f'style = "{style}" is not stitched', "leave it out")
        return spec
    if kind and kind not in STITCHES[style]:
        table.fault("stitch", _why_not(kind), _instead(style))
        return spec
    _check_use(table, spec, kind or STITCHES[style][0])
    return spec


def _why_not(kind: Stitch) -> str:
    if kind == "saddle":
        return "gathered signatures lie on one another and have no fold in common to be stapled through"
    return "a saddle-stitched booklet is stapled through its fold"


def _instead(style: Style) -> str:
    return 'set style = "gathered"' if style == "saddle" else 'give "side", "sewn" or "stab", or style = "saddle"'


def _check_use(table: TomlTable, spec: StitchSpec, kind: Stitch) -> None:
    """Keep a fault for a key that says nothing to this stitch, and for holes and margins that cannot be."""
    if spec.holes is not None:
        try:
            _check_holes(spec.holes, kind)
        except BadValue as bad:
            table.fault("holes", bad.problem, bad.mend)
    if kind in ("saddle", "sewn"):
        for key in ("hole_line", "binding_margin"):
            if table.has(key):
                table.fault(key, "a booklet held in its folds opens flat and needs none", "leave it out")
    elif spec.line is not None and spec.margin is not None and spec.margin < spec.line:
        table.fault(
            "binding_margin",
            f"{show(spec.margin)} mm end before the holes, {show(spec.line)} mm from the spine",
            f"give at least {show(2 * spec.line)} mm, so that pages open beyond the holes",
        )


def _check_holes(holes: int, kind: Stitch) -> None:
    match kind:
        case "stab" if holes not in STAB_HOLES:
            raise BadValue(f"{holes} is no pattern of a stab binding", "give 4 or 5")
        case "sewn" if holes < _SEWN_HOLES[0] or holes % 2:
            raise BadValue(
                f"thread that goes in must come out: {holes} holes do not sew a signature",
                f"give an even number from {_SEWN_HOLES[0]} to {_SEWN_HOLES[1]}",
            )
        case "saddle" | "side":
            raise BadValue(f"a {kind} stitch is two staples", 'leave it out; it is for stitch = "sewn" or "stab"')
