"""Ten thousand mutated jobs, shops, PDFs and images: each is read or refused in plain lines, within bounds.

The ordinary tests run the first two thousand cases; these are the ten thousand after them, in spans, each a process of
its own. See the figures: `pytest tests/bench/test_ten_thousand_mutations.py -s`.
"""

from __future__ import annotations

import time
from collections import Counter

from tests.fuzz.test_mutations import MEMORY, run_span

FIRST, CASES, SPAN = 2000, 10_000, 500
#: No case of a few kilobytes may take longer, s: a hundred times what the slowest takes on a machine at rest.
LONGEST = 30


def test_ten_thousand_mutated_files_are_read_or_refused():
    start, outcomes, spans = time.monotonic(), Counter(), []
    for first in range(FIRST, FIRST + CASES, SPAN):
        spans.append(run_span(first, SPAN))
        outcomes += Counter(spans[-1]["outcomes"])
    slowest = max(spans, key=lambda span: span["slowest_s"])
    reader, worker = (max(span[key] for span in spans) for key in ("reader_mb", "worker_mb"))
    told = ", ".join(f"{count} {outcome}" for outcome, count in sorted(outcomes.items()))
    print(
        f"\n{outcomes.total()} cases in {time.monotonic() - start:.0f} s: {told}; the slowest, "
        f"{slowest['slowest_case']}, took {slowest['slowest_s']:.2f} s; peak {reader} MB, rendering {worker} MB"
    )
    assert outcomes.total() == CASES
    assert set(outcomes) == {"read", "refused"}
    assert slowest["slowest_s"] < LONGEST
    assert 0 < reader < MEMORY
    assert 0 < worker < MEMORY
