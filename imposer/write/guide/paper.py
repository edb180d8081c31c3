"""The guide's own paper: A4, or letter where the job is printed on a US size."""

from __future__ import annotations

from dataclasses import dataclass

from imposer.data.papers import name_of, paper_sizes
from imposer.geometry import Box, Size

#: The families of sizes (`data/paper_sizes.toml`) of places that print on letter.
_US_SERIES = frozenset({"US", "US part", "ANSI", "architectural"})


@dataclass(frozen=True, slots=True)
class GuidePaper:
    """A page of the guide, mm."""

    size: Size
    side: float = 18.0
    head: float = 24.0
    foot: float = 19.0

    @property
    def text(self) -> Box:
        """The text area."""
        return Box(self.side, self.foot, self.size.width - self.side, self.size.height - self.head)


def guide_paper(sheet: Size) -> GuidePaper:
    """Return the paper of the guide for a job on a press sheet.

    >>> guide_paper(Size(420, 297)).size, guide_paper(Size(279.4, 431.8)).size
    (Size(width=210, height=297), Size(width=215.9, height=279.4))
    """
    name = name_of(sheet)
    series = next((row.series for row in paper_sizes() if row.name == name), "")
    return GuidePaper(Size(215.9, 279.4) if series in _US_SERIES else Size(210, 297))
