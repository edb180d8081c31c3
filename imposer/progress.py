"""How long work tells how far it is: one kind of function, given by whoever watches. A leaf."""

from __future__ import annotations

from collections.abc import Callable

#: Told what is being done, and how many of how many are done; 0 of 0 where that cannot be counted.
Progress = Callable[[str, int, int], None]
