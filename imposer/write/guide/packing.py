"""The last step: count, number, pack, and write down what really went."""

from __future__ import annotations

from imposer.write.guide.blocks import gap, kept, paragraph, subheading, ticks
from imposer.write.guide.facts import GuideFacts
from imposer.write.guide.flow import Section
from imposer.write.guide.form import fields
from imposer.write.guide.table import Cell, table

_STAPLED = "a staple out of place, open, or not through every leaf"
_SEWN = "a hole beside its place, a stitch that is loose or missed, thread cut into the paper"

_REJECT = (
    "a page missing, twice, upside down or out of order",
    "smears, wheel marks across type, ink that comes off on a finger",
    "trimmed into type or page numbers",
)


def _rejects(facts: GuideFacts) -> tuple[str, ...]:
    stitch = facts.job.binding.stitch
    if stitch is None:
        return _REJECT
    return (_REJECT[0], _SEWN if stitch in ("sewn", "stab") else _STAPLED, *_REJECT[1:])


def packing(facts: GuideFacts, width: float) -> Section:
    """Return the step that closes the job."""
    counts = facts.plan.counts
    copies = facts.job.copies
    planned = (
        ("sheets of the job's paper", f"{facts.sheets_to_pull}"),
        ("sheets of scrap", f"{counts.scrap}"),
        ("masters", f"{counts.masters}"),
        ("passes", f"{counts.passes}"),
        ("drum changes", f"{counts.drum_changes}"),
        ("copies", f"{copies}"),
        ("minutes at the machine", ""),
        ("minutes at the bench", ""),
    )
    rows = [(name, Cell(number, bold=True), "") for name, number in planned]
    return Section(
        "Count, number, pack",
        (
            *subheading("Put aside copies with", width),
            *ticks(_rejects(facts), width),
            *paragraph("Number by hand after rejects are out. Band in tens or twenty-fives, box, and label.", width),
            gap(2.0),
            *fields((f"good copies of {copies}", "overs given", "spoilt", "numbered from – to"), width),
            *fields(("boxes", "packed by", "date"), width),
            *subheading("Planned and actual: what the next quote learns from", width),
            *kept(table(("", "Planned", "Actual"), rows, (80, 40, width - 120))),
        ),
    )
