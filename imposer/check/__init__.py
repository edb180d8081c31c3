"""The check: one rule a file, each a pure function from finished values to findings.

A rule registers by being there: every module of this package that holds a `RULE` is one. What the steps before the
check saw themselves (a coloured layer, a mark without room) has a rule here too, so the report can list every rule
and what it found.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from importlib import import_module
from pkgutil import iter_modules

from imposer.check.facts import Facts, Rule
from imposer.findings import Finding, Level
from imposer.job.check_limits import Acceptance
from imposer.nearest import did_you_mean

_ORDER: dict[Level, int] = {"error": 0, "warning": 1, "note": 2}
#: The rule that the acceptances themselves are held against.
_UNUSED = "acceptance-unused"


def rules() -> tuple[Rule, ...]:
    """Return every rule, by name."""
    modules = (import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__))
    return tuple(sorted((m.RULE for m in modules if hasattr(m, "RULE")), key=lambda rule: rule.name))


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


def accepting(findings: Sequence[Finding], accepted: Sequence[Acceptance]) -> tuple[Finding, ...]:
    """Return the findings with those that the job accepts marked so; nothing is left out.

    An acceptance that no finding of the whole job answers is told as a note, so call this once a job.
    """
    told = marking(findings, accepted)
    unused = [one for one in accepted if not any(one.covers(f.rule, f.page, f.ink) for f in findings)]
    return in_order([*told, *map(_unused, unused)])


def marking(findings: Sequence[Finding], accepted: Sequence[Acceptance]) -> tuple[Finding, ...]:
    """Return the findings with those that the job accepts marked so."""
    return tuple(replace(finding, accepted=_reason(finding, accepted)) for finding in findings)


def _reason(finding: Finding, accepted: Sequence[Acceptance]) -> str | None:
    return next((a.reason for a in accepted if a.covers(finding.rule, finding.page, finding.ink)), finding.accepted)


def _unused(acceptance: Acceptance) -> Finding:
    names = [rule.name for rule in rules()]
    otherwise = "take it out of the job, or look at the page, ink and rule it names"
    known = acceptance.rule in names
    return Finding(
        rule=_UNUSED,
        level="note",
        message=f"the job accepts {acceptance.words()}, but nothing of that kind was found",
        mend=otherwise if known else did_you_mean(acceptance.rule, names, otherwise),
        page=acceptance.page,
        ink=acceptance.ink,
    )
