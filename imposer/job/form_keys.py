"""The keys of [binding] for leaflets and cards: read where they make sense, elsewhere a fault that says why."""

from __future__ import annotations

from collections.abc import Mapping

from imposer.fold.leaflets import FORMS, MOST_PANELS
from imposer.fold.model import Style
from imposer.job.model import FormSpec
from imposer.job.toml_reader import TomlTable
from imposer.job.values import BadValue, flag, length, shown, whole

#: A tuck or a gate's gap beyond this is no tuck, mm.
_MOST_TUCK = 40.0
#: A flap this narrow holds no glue, and a wide one is paper lost, mm; common practice, no source.
_FLAPS = (4.0, 40.0)
#: A jacket has four scores, a map a few more.
_MOST_SCORES = 20

#: Which keys mean something for which forms, and what they say of the rest.
_FOR: Mapping[str, tuple[frozenset[Style], str]] = {
    "panels": (frozenset({"accordion", "roll"}), "has its number of panels by what it is"),
    "sides": (
        frozenset({"accordion", "roll", "letter", "gate", "double-gate", "double-parallel", "flat"}),
        "has pages on one side alone",
    ),
    "poster": (frozenset(FORMS) - {"flat"}, "has no back of its own that a poster could fill"),
    "tuck": (
        frozenset({"roll", "letter", "gate", "double-gate", "double-parallel"}),
        "tucks no panel into another: all are equal",
    ),
    "glue_flap": (frozenset({"accordion"}), "is never joined from several sheets"),
    "scores": (frozenset({"flat"}), "is folded in its own way"),
}
_BOOKLETS: frozenset[Style] = frozenset({"saddle", "gathered"})
#: Keys of booklets, and why no leaflet has them.
_BOOKLET_KEYS = {
    "pieces_per_signature": "is one piece, and nothing nests",
    "fold": "is folded in its own way",
    "creases": "is folded in its own way",
    "creep": "nests no pieces, so nothing creeps",
}


def form_spec(table: TomlTable, style: Style) -> FormSpec:
    """Read what a leaflet or card asks, and keep the faults of keys that its style has no use for."""
    _keep_faults(table, style)
    spec = FormSpec(
        panels=table.get("panels", whole(2, MOST_PANELS), None),
        sides=table.get("sides", _sides, 2),
        poster=table.get("poster", flag, False),
        tuck=table.get("tuck", length(0, _MOST_TUCK), None),
        glue_flap=table.get("glue_flap", length(*_FLAPS), 10.0),
        scores=table.get("scores", _scores, ()),
    )
    if spec.poster and table.raw("sides") == 2:
        table.fault("sides", "the poster fills the back, so pages lie on one side", "leave sides out, or the poster")
    return spec


def _scores(value: object) -> tuple[float, ...]:
    if not isinstance(value, list) or len(value) > _MOST_SCORES:
        raise BadValue(
            f"{shown(value)} is not a list of places", "give mm from the left edge, such as [60, 165, 169, 274]"
        )
    places = tuple(map(length(1, 1500), value))
    if list(places) != sorted(set(places)):
        raise BadValue(f"{shown(value)} is not in order", "give each place once, from the left")
    return places


def _sides(value: object) -> int:
    if value in (1, 2) and not isinstance(value, bool):
        return 1 if value == 1 else 2
    raise BadValue(f"{shown(value)} is no number of sides", "give 1 for pages on the front alone, or 2")


def _keep_faults(table: TomlTable, style: Style) -> None:
    words = FORMS[style].words if style in FORMS else f"a {style} booklet"
    for key, (styles, why) in _FOR.items():
        if not table.has(key) or style in styles:
            continue
        if key == "sides" and table.raw(key) == 1:
            continue
        why = "is read page by page on both sides" if key == "sides" and style in _BOOKLETS else why
        why = "is bound from its pages' own count" if key == "panels" and style in _BOOKLETS else why
        mend = f"leave it out; it is for {', '.join(sorted(styles))}"
        table.fault(key, f"{words} {why}", mend)
    for key, why in _BOOKLET_KEYS.items():
        if style in FORMS and table.has(key):
            if key == "pieces_per_signature" and style == "flat":
                why = "is a single sheet, and nothing nests"
            table.fault(key, f"{words} {why}", 'leave it out; it is for style = "saddle" or "gathered"')
