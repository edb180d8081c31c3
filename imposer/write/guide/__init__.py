"""The collating guide: everything decided, drawn for the people who print, cut, fold and staple.

`GuideFacts` goes in, `guide.pdf` comes out. One module a subject: each step of the work gives a `flow.Section` made of
`blocks`, the sections are set on pages, and `pen` puts them on a canvas.
"""

from __future__ import annotations

from imposer.write.guide.document import guide_pdf, write_guide
from imposer.write.guide.facts import GuideFacts

__all__ = ["GuideFacts", "guide_pdf", "write_guide"]
