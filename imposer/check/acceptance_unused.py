"""Says which acceptance of the job nothing answers: what it accepted was mended, or its rule, page or ink is wrong.

Level: note. Found once all other rules have been run (`check.accepting`). The mend: take it out of the job, or name
what was meant.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="acceptance-unused",
    looks_for="an acceptance in the job that no finding answers",
    limit=None,
    find=seen_by_steps("acceptance-unused"),
)
