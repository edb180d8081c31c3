"""The steps in order: a job file in, a folder of masters, plan, guide, proofs out. Read it as the table of contents.

1. job      what was asked, and what the studio has          imposer.job
2. pages    what was found, page by page and ink by ink      imposer.pages
3. sheet    folded, laid on press sheets, marked             imposer.fold, imposer.sheet
4. plan     passes, drums, masters, counts                   imposer.plan
5. check    everything held against the rules                imposer.check
6. write    masters, read back, folded back; plan; guide;    imposer.write, imposer.fold_back
            proofs; into place
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from imposer.approval.changes import approval_findings, beside_new_proof, findings_since_check
from imposer.approval.digests import digests_of
from imposer.approval.last_check import keep_check, read_last_check
from imposer.approval.record import read_approval
from imposer.check import accepting, in_order, marking, nothing_prints, run_checks
from imposer.check.facts import Facts
from imposer.findings import Finding
from imposer.fold_back.artwork import artwork_of
from imposer.fold_back.compose import compose_records
from imposer.fold_back.folded import fold_back, must_read
from imposer.fold_back.pictures import SheetPictures
from imposer.impose_parts import ImposedPart, impose_parts
from imposer.job import load_job
from imposer.look_over import survey, try_drift
from imposer.pages.measure import measure_table
from imposer.pages.parts import unprinted_art
from imposer.pages.unprinted_plates import unprinted_plates
from imposer.plan.passes import inked_sides, plan_passes
from imposer.prepared import Prepared, PreparedPart
from imposer.progress import Progress
from imposer.sheet.facing import BoundPart, facing_pages
from imposer.sheet.frames import Frames, draw_frames
from imposer.sheet.places import page_places
from imposer.write.delivery import delivered, proofs_delivered
from imposer.write.fold_page import write_fold_page
from imposer.write.guide import write_guide
from imposer.write.guide.facts import guide_facts
from imposer.write.masters import write_masters
from imposer.write.plan_json import plan_text
from imposer.write.proof import write_proof
from imposer.write.proof_pdf import write_proof_pdf
from imposer.write.read_back import read_back
from imposer.write.report import write_report


def _silent(what: str, done: int, of: int) -> None:
    del what, done, of


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What a build did."""

    prepared: Prepared
    #: The output folder; None if errors kept it from being written.
    folder: Path | None
    #: The proof code that was written; "" where there is no proof.
    code: str = ""


def prepare(job_file: str | Path, progress: Progress = _silent) -> Prepared:
    """Read, find, impose, plan and check a job.

    Raises:
        ImposerError: the job, shop or artwork cannot be used.
    """
    job = load_job(job_file)
    imposed = impose_parts(job)
    sheets = sum(len(part.imposition.sheets) for part in imposed)
    looked: list[_LookedOver] = []
    lost = tuple(unprinted_plates(art for part in imposed for art in part.table.cells.values()))
    for part in imposed:
        passes = sum(len(earlier.facts.plan.passes) for earlier in looked)
        looked.append(_look_at_part(part, sheets, passes, progress, () if looked else lost))
    parts = [_check_part(one) for one in _beside_each_other(looked)]
    found = dict.fromkeys(finding for part in parts for finding in part.findings)
    # Without a master there is nothing to do, so this cannot be accepted.
    empty = nothing_prints.of_whole_job(sum(len(part.plan.passes) for part in parts))
    findings = in_order((*accepting(tuple(found), job.accepted), *empty))
    return _with_changes(Prepared(job=job, parts=tuple(parts), findings=findings))


def _with_changes(prepared: Prepared) -> Prepared:
    """Add what has changed since the last check and since the proof was approved; neither is accepted away."""
    job, digests = prepared.job, digests_of(prepared)
    found = (
        *findings_since_check(read_last_check(job.file), digests),
        *approval_findings(read_approval(job.folder), digests, required=job.shop.approval_required),
    )
    return replace(prepared, findings=in_order((*prepared.findings, *found)))


def remember_check(prepared: Prepared) -> bool:
    """Keep what a job prints as it was checked, so that what changes can be told; False if it cannot be kept.

    A build only reads it: what is written depends on the files alone, however often it is built.
    """
    return keep_check(prepared.job.file, digests_of(prepared))


@dataclass(frozen=True, slots=True)
class _LookedOver:
    """A part on its sheets with all that rules ask of it."""

    part: ImposedPart
    frames: Frames
    facts: Facts


def _look_at_part(
    part: ImposedPart, sheets_in_all: int, passes_before: int, progress: Progress, lost: tuple[Finding, ...]
) -> _LookedOver:
    """Measure, frame and plan one part."""
    job, table, imposition = part.job, part.table, part.imposition
    places = page_places(imposition, job.shop.machine)
    surveyed = survey(job, table, places, progress)
    unprinted = unprinted_art(part.art, measure_table(job, part.art.unprinted))
    frames = draw_frames(job, imposition, sheets_in_all)
    inked = inked_sides(imposition, {cell: found.prints for cell, found in surveyed.measured.items()})
    plan = plan_passes(job, imposition, inked, passes_before=passes_before)
    facts = Facts(
        job=job,
        table=table,
        measured=surveyed.measured,
        imposition=imposition,
        plan=plan,
        seen=(*table.findings, *unprinted, *lost, *imposition.findings, *frames.findings),
        tones=surveyed.pages,
        places=places,
        trials=try_drift(job, surveyed.pages, places, plan, progress),
    )
    return _LookedOver(part, frames, facts)


def _beside_each_other(looked: Sequence[_LookedOver]) -> Iterator[_LookedOver]:
    """Give every part the pages of all parts that lie against its own in the finished thing."""
    facing = facing_pages(
        [
            BoundPart(imposition=one.part.imposition, style=one.part.job.binding.style, extra=one.part.extra)
            for one in looked
        ]
    )
    tones = {page: found for one in looked for page, found in one.facts.tones.items()}
    for one in looked:
        yield replace(one, facts=replace(one.facts, facing=facing, tones_of_job=tones))


def _check_part(looked: _LookedOver) -> PreparedPart:
    """Hold one part against every rule."""
    part, facts = looked.part, looked.facts
    return PreparedPart(
        job=part.job,
        name=part.name,
        pages=part.pages,
        extra=part.extra,
        table=part.table,
        measured=facts.measured,
        imposition=part.imposition,
        frames=looked.frames.sides,
        plan=facts.plan,
        findings=marking(run_checks(facts), part.job.accepted),
        tones=facts.tones,
        trials=facts.trials,
    )


def build(job_file: str | Path, out: str | Path | None = None, progress: Progress = _silent) -> Built:
    """Do the whole job; `out` is the output folder, `out` beside the job file if left out.

    Raises:
        ImposerError: the job, shop or artwork cannot be used, or the folder cannot be written. Whatever was there
            before is still there.
    """
    prepared = prepare(job_file, progress)
    if prepared.errors:
        return Built(prepared=prepared, folder=None)
    folder = Path(out) if out is not None else prepared.job.folder / "out"
    code = _deliver(prepared, folder, progress)
    return Built(prepared=prepared, folder=folder, code=code)


def prove(job_file: str | Path, out: str | Path | None = None, progress: Progress = _silent) -> Built:
    """Make the proofs alone; what else lies in the output folder stays. Errors that the check found forbid no proof.

    Raises:
        ImposerError: the job, shop or artwork cannot be used, or the folder cannot be written.
    """
    prepared = prepare(job_file, progress)
    folder = Path(out) if out is not None else prepared.job.folder / "out"
    with proofs_delivered(folder) as aside:
        code = write_proofs(aside, prepared, progress)
    return Built(prepared=prepared, folder=folder, code=code)


def write_proofs(folder: Path, prepared: Prepared, progress: Progress = _silent) -> str:
    """Write every proof of a job into a folder; return the proof code."""
    digests = digests_of(prepared)
    prepared = replace(prepared, findings=beside_new_proof(prepared.findings))
    write_proof(folder / "proof.html", prepared, progress, digests.code)
    write_proof_pdf(folder / "proof.pdf", prepared, digests, progress)
    return digests.code


def _deliver(prepared: Prepared, folder: Path, progress: Progress) -> str:
    """Write everything aside, read the masters back, and move the whole into place; return the proof code."""
    sources = {prepared.job.file, prepared.job.shop.file, *_artwork(prepared)}
    records = compose_records(prepared)
    with delivered(folder, sources) as aside:
        for part in prepared.parts:
            spaces = write_masters(
                aside, part.plan, part.frames, part.table, part.imposition, part.job.title, progress, records
            )
            progress("reading masters back", 0, 0)
            read_back(aside, part.plan, part.frames, part.table, part.imposition, spaces)
        _fold_back(aside, prepared, progress)
        (aside / "plan.json").write_text(plan_text(prepared), encoding="utf-8")
        progress("drawing the guide", 0, 0)
        write_guide(aside / "guide.pdf", *guide_facts(prepared))
        code = write_proofs(aside, prepared, progress)
        progress("writing the report", 0, 0)
        write_report(aside, prepared)
    return code


def _fold_back(aside: Path, prepared: Prepared, progress: Progress) -> None:
    """Fold the finished masters back, refuse what does not read 1 … N, and show it."""
    pictures = SheetPictures()
    folded = fold_back(
        aside,
        look=artwork_of(prepared),
        on_printed=pictures.add,
        progress=progress,
        limits=prepared.job.shop.limits,
    )
    must_read(folded)
    pictures.done()
    write_fold_page(aside / "fold.html", folded, pictures)


def _artwork(prepared: Prepared) -> set[Path]:
    return {art.source.file for part in prepared.parts for art in part.table.cells.values()}
