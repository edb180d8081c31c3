"""The limits that the check holds art, sheets and paper against: settings of the shop, each with a default.

Values only. A default without a source says so; a studio prints a page of lines, tints and type once and writes down
what its own machine holds. Lengths are mm, shares per cent, as they are written in the shop's file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Unit = Literal["mm", "%", "% sum", "ppi", "mm²", "g/m²", "ΔE", "of 1"]


def _limit(default: float, unit: Unit, least: float, most: float) -> float:
    """Make a field with the unit and the range that a shop's file may give."""
    return field(default=default, metadata={"unit": unit, "least": least, "most": most})


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLimits:
    """Limits of the rules."""

    #: How much of a page's ink may fall outside the printable area before no master is cut. Working default, no source.
    lost_ink: float = _limit(1.0, "%", 0, 100)
    #: From which tone on ink near the sheet's edge is heavy. Common practice, no source.
    careful_tone: float = _limit(50.0, "%", 1, 100)
    #: How much heavy ink one page may have near the sheet's edge. Working default, no source.
    careful_area: float = _limit(100.0, "mm²", 0, 100_000)
    #: How far type and fine detail stay from trim and fold. Common practice (5 to 6 mm), no source.
    edge_detail: float = _limit(5.0, "mm", 0, 50)
    #: How long ink may run along a trimmed edge that has no bleed. Working default, no source.
    bare_edge: float = _limit(10.0, "mm", 0, 1500)
    #: Mean tone of a page in one ink, worth a note. Working default, no source.
    page_coverage: float = _limit(70.0, "%", 0, 100)
    #: Coverage of one master's printable area, worth a note and a warning. Working defaults, no source.
    master_note: float = _limit(40.0, "%", 0, 100)
    master_coverage: float = _limit(60.0, "%", 0, 100)
    #: All inks of one side together, worth a note and a warning. Working defaults, no source.
    side_note: float = _limit(120.0, "% sum", 0, 800)
    side_coverage: float = _limit(200.0, "% sum", 0, 800)
    #: Mean tone of the worst 20 mm. Common practice (70 to 85 % for large areas), no source.
    window_coverage: float = _limit(85.0, "%", 0, 100)
    #: From which tone on an area is a solid. Common practice (70 to 85 % for large areas), no source.
    solid_tone: float = _limit(85.0, "%", 50, 100)
    #: How wide it must be somewhere, so that type and lines are none. Working default, no source.
    solid_width: float = _limit(6.0, "mm", 1, 7)
    #: How much ink it may lay down: tone × area. Working default, no source: a square of 32 mm at full tone.
    solid_ink: float = _limit(1000.0, "mm²", 0, 1_000_000)
    #: Tones of all inks together in one place of 5 mm. Working default, no source.
    spot_sum: float = _limit(200.0, "% sum", 100, 800)
    #: Mean tone of the printable strip nearest to the lead edge, as wide as the careful margin. Working default, no
    #: source.
    lead_edge: float = _limit(40.0, "%", 0, 100)
    #: Mean tone of an ink under the feed roller while it is wet. Common practice (under 30 %), no source.
    track_coverage: float = _limit(30.0, "%", 0, 100)
    #: The same for the front while the back is printed, dried a day by then. Working default, no source.
    track_dried: float = _limit(60.0, "%", 0, 100)
    #: Tones of all inks together over 10 mm that mark a bare place pressed against them. Working default, no source.
    set_off: float = _limit(160.0, "% sum", 0, 800)
    #: Resolution that line art wants: what the machine draws at. Common practice, no source.
    line_ppi: float = _limit(600.0, "ppi", 36, 4800)
    #: Resolution that pictures want: two pixels a line of the finest usual screen, 150 an inch. Common practice, no
    #: source.
    tone_ppi: float = _limit(300.0, "ppi", 36, 4800)
    #: Below this the pixels show. Common practice, no source.
    least_ppi: float = _limit(150.0, "ppi", 36, 4800)
    #: The lightest and the darkest tone the press holds. Common practice (10 to 15 %; 90 %), no source.
    lightest: float = _limit(10.0, "%", 0, 50)
    darkest: float = _limit(90.0, "%", 50, 100)
    #: How much of a page may have such tones. Working default, no source.
    lost_tones: float = _limit(5.0, "%", 0, 100)
    #: How much of a page may have one faint tone all over, the paper of a scan. Working default, no source.
    ground: float = _limit(30.0, "%", 0, 100)
    #: The thinnest line and gap. Screen-print film specification of a packaging printer: 0.5 pt positive, 0.75 pt
    #: reversed; 1 pt reversed is common practice for coarser stencils.
    line: float = _limit(0.1764, "mm", 0.02, 1)
    gap: float = _limit(0.3528, "mm", 0.02, 1)
    #: How much of a page's ink may be thinner than that before it is more than hatching. Working default, no
    #: source.
    thin: float = _limit(10.0, "%", 0, 100)
    #: The smallest type: positive, and reversed or in two inks; the font's em. Common practice (7 pt sans; 8 pt), no
    #: source.
    type_size: float = _limit(2.4694, "mm", 0, 20)
    type_reversed: float = _limit(2.8222, "mm", 0, 20)
    #: What drift may show on a page: the mean colour difference over it. Working default, no source.
    register: float = _limit(0.3, "ΔE", 0, 100)
    #: How long inks of different passes may meet edge to edge without trap, worth a note and a warning. Working
    #: defaults, no source.
    kiss: float = _limit(50.0, "mm", 0, 100_000)
    kiss_long: float = _limit(500.0, "mm", 0, 100_000)
    #: How much of a page may be screened already. Working default, no source.
    screened: float = _limit(2.0, "%", 0, 100)
    #: How much better a layer must match the others to be called misplaced: correlation of outlines, and its gain.
    #: Working defaults, no source.
    match: float = _limit(0.35, "of 1", 0, 1)
    match_gain: float = _limit(0.2, "of 1", 0, 1)
    #: From which correlation on two inks carry the same art. Working default, no source.
    same_art: float = _limit(0.97, "of 1", 0, 1)
    #: How little ink in all makes a whole ink one small spot. Working default, no source.
    small_spot: float = _limit(200.0, "mm²", 0, 1_000_000)
    #: Weights a machine of this kind takes. An operator's handbook after its maker's manual.
    lightest_paper: float = _limit(46.0, "g/m²", 1, 1000)
    heaviest_paper: float = _limit(210.0, "g/m²", 1, 1000)
    #: The thickest sheet: 210 g/m² at 1.25 µm for every g/m². Worked out.
    thickest_paper: float = _limit(0.2625, "mm", 0.02, 5)
    #: At or below this weight the other side shows through. Common practice, no source.
    show_through: float = _limit(70.0, "g/m²", 0, 1000)
    #: Coverage of either side from which that is seen. Working default, no source.
    show_coverage: float = _limit(30.0, "%", 0, 100)
    #: How thick a stack a stapler goes through: 20 sheets of 80 g/m² for a long-arm one. Common practice, no source.
    stitch: float = _limit(2.0, "mm", 0.1, 100)


#: The limits of a shop that states none.
USUAL_LIMITS = CheckLimits()


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """Findings that the job accepts, with the written reason."""

    rule: str
    #: The page and ink they are of; None for any.
    page: int | None = None
    ink: str | None = None
    reason: str

    def covers(self, rule: str, page: int | None, ink: str | None) -> bool:
        """Tell whether a finding of this rule, page and ink is meant.

        >>> Acceptance(rule="large-solid", page=3, reason="meant so").covers("large-solid", 3, "marigold")
        True
        """
        return rule == self.rule and self.page in (None, page) and self.ink in (None, ink)

    def words(self) -> str:
        """Return what is accepted, in words."""
        where = [f"page {self.page}"] if self.page is not None else []
        return ", ".join([self.rule, *where, *([self.ink] if self.ink is not None else [])])


def unit_of(limits: Mapping[str, Any]) -> tuple[Unit, float, float]:
    """Return the unit and range that a field's metadata holds."""
    return limits["unit"], limits["least"], limits["most"]
