"""Places along a line moved apart, so that names and numbers beside them do not touch. Numbers in, numbers out."""

from __future__ import annotations

from collections.abc import Sequence


def spread(places: Sequence[float], least: float) -> tuple[float, ...]:
    """Return places in rising order moved so that neighbours stand at least `least` apart, as near as that allows.

    >>> spread((0, 1, 20), 4)
    (-1.5, 2.5, 20.0)
    """
    groups: list[list[float]] = []
    for place in places:
        groups.append([place])
        while len(groups) > 1 and _last(groups[-2], least) + least > _first(groups[-1], least):
            groups[-2:] = [groups[-2] + groups[-1]]
    return tuple(_first(group, least) + i * least for group in groups for i in range(len(group)))


def _first(group: Sequence[float], least: float) -> float:
    """Return where a group begins whose members stand `least` apart around their mean."""
    return sum(group) / len(group) - least * (len(group) - 1) / 2


def _last(group: Sequence[float], least: float) -> float:
    return _first(group, least) + least * (len(group) - 1)
