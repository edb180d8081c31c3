"""Numbers in the words of a sentence: a count with its unit, whole numbers with their runs. A leaf."""

from __future__ import annotations

from collections.abc import Iterable


def number_of(count: int, one: str, many: str = "") -> str:
    """Return a count with its unit.

    >>> number_of(1, "master"), number_of(3, "copy", "copies")
    ('1 master', '3 copies')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def pages_of(numbers: Iterable[int], *, least: int = 3) -> str:
    """Return the numbers of some pages with the word for them.

    >>> pages_of([4]), pages_of([1, 2, 3, 7])
    ('page 4', 'pages 1–3, 7')
    """
    distinct = set(numbers)
    return f"page{'' if len(distinct) == 1 else 's'} {runs_of(distinct, least=least)}"


def runs_of(numbers: Iterable[int], *, least: int = 3) -> str:
    """Return whole numbers with their runs of at least `least` drawn together.

    >>> runs_of([1, 2, 3, 7, 9, 10]), runs_of([9, 10], least=2)
    ('1–3, 7, 9, 10', '9–10')
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [f"{run[0]}–{run[-1]}" if len(run) >= least else ", ".join(map(str, run)) for run in runs]
    return ", ".join(parts)
