"""Looks for what has changed since the job was last checked. Level: note.

Pages are held by their tones, so a file that was only copied or saved again is the same; the limit is that nothing is
another. There is nothing to mend: it tells what an artist has sent anew, and what to look at again.
"""

from __future__ import annotations

from imposer.check.facts import Rule, seen_by_steps

RULE = Rule(
    name="changed-since-check",
    looks_for="pages and settings that have changed since the last check",
    limit="nothing changed",
    find=seen_by_steps("changed-since-check"),
)
