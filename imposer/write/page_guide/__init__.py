"""Page guides: what an artist needs to know of a page before drawing it, as layers to draw on and as plain words."""

from __future__ import annotations

from imposer.write.page_guide.folder import page_guides, write_page_guides

__all__ = ["page_guides", "write_page_guides"]
