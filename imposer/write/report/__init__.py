"""The report: what the check found, with pictures, for the operator; and a shorter page for the artist.

`write_report` makes both, each one file that works from a mail on a phone and asks nothing from outside.
"""

from __future__ import annotations

from imposer.write.report.document import ARTIST_FILE, REPORT_FILE, write_report

__all__ = ["ARTIST_FILE", "REPORT_FILE", "write_report"]
