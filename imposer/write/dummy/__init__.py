"""The folding dummy: page numbers, heads, spines, creases and cuts on every side, to fold before a master is cut."""

from __future__ import annotations

from imposer.write.dummy.document import DummyPart, dummy_pdf, refuse_other_files, write_dummy

__all__ = ["DummyPart", "dummy_pdf", "refuse_other_files", "write_dummy"]
