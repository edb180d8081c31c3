"""What the program says when it cannot go on: faults of the user's files, each one plain line.

Every fault names the file, the key or page in it, what is wrong and what to do. They are gathered, so that a person
mends a file once and not five times. Bugs are ordinary Python exceptions; only what a person can mend is an
`ImposerError`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing in the user's files that must be mended before the job can run.

    >>> print(Fault(file="job.toml", place="page.trim", problem="0 mm is not a size", mend="give width and height"))
    job.toml: page.trim: 0 mm is not a size; give width and height
    """

    #: The file, as the user named it.
    file: str | Path
    #: What is wrong, with both numbers where two disagree; lower case, no full stop.
    problem: str
    #: The dotted key (`ink[2].pages`) or the page ("page 3") in that file; empty if the whole file is meant.
    place: str = ""
    #: The one thing to do; empty if the problem says it.
    mend: str = ""

    def __str__(self) -> str:
        head = ": ".join(one_line(str(part)) for part in (self.file, self.place, self.problem) if str(part))
        return f"{head}; {one_line(self.mend)}" if self.mend else head


class ImposerError(Exception):
    """The job, the shop or the artwork cannot be used: one or more faults, a line each.

    `exit_code` is what the command line leaves with.
    """

    exit_code = 2

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not self.faults:
            raise ValueError("an ImposerError needs at least one fault")
        super().__init__("\n".join(map(str, self.faults)))


def unreadable(file: str | Path, error: OSError) -> ImposerError:
    """Return the error for a file that the system will not let us read, with the system's own reason."""
    problem = f"cannot be read ({error.strerror or error})"
    return ImposerError(Fault(file=file, problem=problem, mend="check the file and its rights"))


def one_line(text: str) -> str:
    r"""Return `text` on one line, with control characters shown, not obeyed: names come from other people's disks.

    >>> one_line("a\nb\x1b[31m")
    'a\\nb\\x1b[31m'
    """
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)
