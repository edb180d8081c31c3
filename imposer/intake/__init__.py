"""Intake: what an artist sent becomes a job folder, with nothing guessed silently.

`delivery` looks at the files, `clues` reads their paths, `inks` and `numbers` hold all of them against each other,
`page_size` finds the finished page; `take_in` writes the job file, the page with thumbnails and copies of the art.
"""

from __future__ import annotations

from imposer.intake.take_in import TakenIn, take_in

__all__ = ["TakenIn", "take_in"]
