"""Looks for art in an ink that the part of the job its page belongs to is not printed in. Level: warning.

No limit. The mend: give the part that ink, or leave the page blank in it.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="unprinted-art",
    looks_for="art in an ink that its part of the job is not printed in",
    limit=None,
    find=seen_by_steps("unprinted-art"),
)
