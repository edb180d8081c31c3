"""Every finding that any step can give belongs to a rule, so that the report can tell of all of them."""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

import pytest

import imposer
from imposer.check import rules

PACKAGE = Path(imposer.__file__).parent


def rule_names():
    """The rule of every `Finding(…)` in the program, with the file and line that makes it."""
    found = []
    for file in sorted(PACKAGE.rglob("*.py")):
        module = None
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding"):
                continue
            (value,) = [keyword.value for keyword in node.keywords if keyword.arg == "rule"]
            if isinstance(value, ast.Constant):
                name = value.value
            elif isinstance(value, ast.Name | ast.Attribute):
                dotted = ".".join(file.relative_to(PACKAGE.parent).with_suffix("").parts)
                module = module or importlib.import_module(dotted.removesuffix(".__init__"))
                name = name_in(module, value)
            else:
                name = None
            found.append((f"{file.relative_to(PACKAGE)}:{node.lineno}", name))
    return found


def name_in(module, value):
    """What `_NAME` or `RULE.name` is in a module; None for anything that is only known when it runs."""
    if isinstance(value, ast.Name):
        return getattr(module, value.id, None)
    return getattr(getattr(module, getattr(value.value, "id", ""), None), value.attr, None)


FOUND = rule_names()
KNOWN = {rule.name for rule in rules()}


@pytest.mark.parametrize(("where", "name"), [(where, name) for where, name in FOUND if name], ids=lambda one: one)
def test_a_finding_belongs_to_a_rule(where, name):
    assert name in KNOWN


def test_the_findings_are_seen():
    """Few are named by what a function is given: then the name stands where the function is called."""
    assert len(FOUND) > 40
    assert len([where for where, name in FOUND if not name]) <= len(FOUND) // 4


def test_rules_have_names_of_their_own_that_say_what_they_are_in_a_file_of_that_name():
    names = [rule.name for rule in rules()]
    assert len(set(names)) == len(names)
    for name in names:
        assert (PACKAGE / "check" / f"{name.replace('-', '_')}.py").is_file(), name
