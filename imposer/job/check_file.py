"""The check's settings: the limits under `[check]` of a shop's file, and what `[[check.accept]]` of a job accepts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields

from imposer.job.check_limits import USUAL_LIMITS, Acceptance, CheckLimits, unit_of
from imposer.job.toml_reader import TomlTable
from imposer.job.values import length, number, percent, text, whole

_LONGEST_RULE = 80
_LONGEST_REASON = 1000
_ACCEPT_MEND = "write [[check.accept]] with a rule, a reason and, if it is of one, a page and an ink"


def read_limits(table: TomlTable) -> CheckLimits:
    """Return a shop's limits: those it states, and the defaults of all others."""
    stated = {
        one.name: table.get(one.name, _parser(one.metadata), getattr(USUAL_LIMITS, one.name))
        for one in fields(CheckLimits)
    }
    return CheckLimits(**stated)


def read_acceptances(table: TomlTable, ink_name: Callable[[str], str]) -> tuple[Acceptance, ...]:
    """Return what a job's `[check]` accepts.

    Args:
        table: The table under `[check]`.
        ink_name: From any name of an ink to the shop's own; a name that is not known comes back as it is.
    """
    if not table.has("accept"):
        table.get("accept", lambda value: value, None)
        return ()
    found = []
    for one in table.tables("accept", _ACCEPT_MEND):
        rule = one.need("rule", text(_LONGEST_RULE), "", "name the rule as the check does")
        page = one.get("page", whole(1, 100_000), None)
        ink = one.get("ink", text(_LONGEST_RULE), None)
        reason = one.need("reason", text(_LONGEST_REASON), "", "write why this is meant or can be borne")
        found.append(Acceptance(rule=rule, page=page, ink=None if ink is None else ink_name(ink), reason=reason))
    return tuple(found)


def _parser(limits: Mapping[str, object]) -> Callable[[object], float]:
    unit, least, most = unit_of(limits)
    match unit:
        case "mm":
            return length(least, most)
        case "%":
            return _share(least, most)
        case _:
            return number(least, most, unit)


def _share(least: float, most: float) -> Callable[[object], float]:
    within = number(least, most, "%")

    def parse(value: object) -> float:
        share = percent(value)
        return within(int(share) if share == int(share) else share)

    return parse
