"""Standards and defaults as tables, a source on every row. The only code that knows where data files lie.

Nothing heavy is imported here: the command line asks for names of papers before it draws anything.
"""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).parent
