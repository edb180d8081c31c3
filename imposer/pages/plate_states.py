"""Graphic states of a PDF on one plate: what overprints, and how colours blend (ISO 32000-1, 8.4.5, 8.6.7, 11.7.4)."""

from __future__ import annotations

import pikepdf

from imposer.pages.gray_notes import GrayError
from imposer.pages.gray_state import Overprint
from imposer.pages.pdf_objects import copy_of, number_of
from imposer.pages.plates import process_number

#: Blend modes that take the parts of a colour together, and those that make something of bare paper (11.3.5.3 and
#: 11.7.4.2): the plates of spot colours know neither.
_TOGETHER = frozenset({"/Hue", "/Saturation", "/Color", "/Luminosity"})
_NOT_BARE = frozenset({"/Difference", "/Exclusion"})


def overprint_of(state: pikepdf.Object, before: Overprint) -> Overprint:
    """Return what overprints from a graphic state on; `op` follows `OP` where it is not stated (Table 58)."""
    stroke, fill, mode = state.get("/OP"), state.get("/op", state.get("/OP")), number_of(state.get("/OPM"))
    return Overprint(
        fill=before.fill if fill is None else bool(fill),
        stroke=before.stroke if stroke is None else bool(stroke),
        nonzero=before.nonzero if mode is None else mode == 1,
    )


def state_on_plate(state: pikepdf.Object, plate: str) -> pikepdf.Object:
    """Return a graphic state without what is worked out here, blending as its plate does.

    Raises:
        GrayError: it blends so that what is on one plate depends on the others.
    """
    made = copy_of(state)
    for key in ("/OP", "/op", "/OPM"):
        if key in made:
            del made[key]
    modes = made.get("/BM")
    mode = str(modes[0] if isinstance(modes, pikepdf.Array) and len(modes) else modes)
    if mode in _TOGETHER | _NOT_BARE and process_number(plate) is None:
        made.BM = pikepdf.Name.Normal
    elif mode in _TOGETHER:
        raise GrayError(f"it blends by {mode[1:].lower()}, which mixes plates")
    return made
