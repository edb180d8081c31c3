"""A finding: one thing a check or a step saw, told to a person and to other programs in the same words."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal

from imposer.geometry import Box

#: error: no masters are written; warning: look before you print; note: good to know.
Level = Literal["error", "warning", "note"]

Side = Literal["front", "back"]

#: Both sides, in the order they are printed.
SIDES: tuple[Side, ...] = ("front", "back")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing seen. What does not apply is None."""

    #: The rule's name, lower case with hyphens, such as "coloured-layer".
    rule: str
    level: Level
    #: What was seen, one sentence in lower case without a full stop.
    message: str
    #: What to do about it, in the imperative; empty if nothing need be done.
    mend: str = ""
    #: The reader's page number, 1 … N.
    page: int | None = None
    ink: str | None = None
    #: The press sheet's number, 1 … n.
    sheet: int | None = None
    side: Side | None = None
    #: Where, in mm: on the page (origin at the lower left of the trim) or, if `sheet` is given, on the sheet's side.
    box: Box | None = None
    #: What was measured and the limit it was held against, with the unit, as words: "83 %", "2.1 mm".
    measured: str | None = None
    limit: str | None = None
    #: The written reason, if the job accepts this finding.
    accepted: str | None = None
    #: The file it is of, as people know it; not among the facts that other programs are given.
    file: str | None = None
    #: Another ink of the page that `ink` was held against; not among those facts either.
    other_ink: str | None = None
    #: Another page that it is seen on as well, and where (mm, on that page); nor are these.
    other_page: int | None = None
    other_box: Box | None = None

    @property
    def stops(self) -> bool:
        """Whether no masters are written for it: an error that the job does not accept."""
        return self.level == "error" and self.accepted is None

    def as_dict(self) -> dict[str, Any]:
        """Return the finding as the `--json` of the commands gives it: a box as [x0, y0, x1, y1], no mend as null."""
        found = asdict(self)
        for ours in ("file", "other_ink", "other_page", "other_box"):
            del found[ours]
        found["mend"] = self.mend or None
        found["box"] = None if self.box is None else [self.box.x0, self.box.y0, self.box.x1, self.box.y1]
        return found

    def where(self) -> str:
        """Return the place in words: "page 3, marigold" or "sheet 2 front"; empty for the whole job.

        >>> Finding(rule="r", level="note", message="m", page=3, ink="marigold").where()
        'page 3, marigold'
        """
        parts = []
        if self.sheet is not None:
            parts.append(f"sheet {self.sheet}" + (f" {self.side}" if self.side else ""))
        if self.page is not None:
            parts.append(f"page {self.page}")
        if self.ink is not None:
            parts.append(self.ink)
        return ", ".join(parts)
