"""The check: one rule a file, each a pure function from finished values to findings.

A rule registers by being there: every module of this package (but `facts`) holds a `RULE`. What the steps before the
check saw themselves (a coloured layer, a mark without room) has a rule here too, so the report can list every rule
and what it found.
"""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module
from pkgutil import iter_modules

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding, Level

_ORDER: dict[Level, int] = {"error": 0, "warning": 1, "note": 2}


def rules() -> tuple[Rule, ...]:
    """Return every rule, by name."""
    modules = (m.name for m in iter_modules(__path__) if m.name != "facts")
    found = (import_module(f"{__name__}.{name}").RULE for name in modules)
    return tuple(sorted(found, key=lambda rule: rule.name))


def run_checks(facts: Facts) -> tuple[Finding, ...]:
    """Return what all rules find: errors first, then by sheet, page and ink."""
    every = rules()
    known = {rule.name for rule in every}
    found = [finding for rule in every for finding in rule.find(facts)]
    found += [finding for finding in facts.seen if finding.rule not in known]
    return in_order(found)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings as people read them: errors first, then by rule, sheet, page and ink."""
    return tuple(
        sorted(
            findings,
            key=lambda f: (_ORDER[f.level], f.rule, f.sheet or 0, f.side or "", f.page or 0, f.ink or "", f.message),
        )
    )
