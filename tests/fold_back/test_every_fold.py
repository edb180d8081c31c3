"""Every fold of the catalogue through jobs, and any fold at all: the masters, folded back, read from first to last."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.data.folds import catalogue_folds
from imposer.fold.creases import scheme
from imposer.fold_back.compose import compose_records
from imposer.fold_back.paper import fold_part
from imposer.fold_back.record import read_record, record_text, sketch_bytes
from imposer.job.binding import fold_by_id
from tests.fold.test_creases import random_schemes
from tests.fold_back.works import a_bound_job, faces_of, masters_folded_back, numbered_pages, prepared, record_of

FOLDS = catalogue_folds()


@pytest.fixture(scope="module")
def art(tmp_path_factory):
    return numbered_pages(tmp_path_factory.mktemp("art") / "pages.pdf", 64)


@pytest.mark.parametrize("row", FOLDS.values(), ids=FOLDS)
def test_masters_of_every_catalogue_fold_read_through(row, art, tmp_path):
    """CIP4, XJDF 2.2, App. A.3.8 and Table E.5. Folds that leave leaves loose are no booklet, but fold all the same."""
    try:
        folded = fold_by_id(row.name)
    except ValueError:
        folded = scheme(row.columns, row.rows, row.folds)
    made = prepared(a_bound_job(folded, sheet="A4", pieces=1), folded.pages, art)
    found = masters_folded_back(tmp_path / "out", made)
    assert [str(fault) for fault in found.faults] == []
    ((pages,),) = [part.copies for part in found.parts]
    assert [place.face.page for place in pages] == list(range(1, folded.pages + 1))
    assert {place.head for place in pages} == {"up"}


def swapped(frames):
    """The pages of two panels of the first front change places."""
    frame = frames[1, "front"]
    one, other, *rest = frame.art
    mixed = (replace(one, page=other.page), replace(other, page=one.page), *rest)
    return frames | {(1, "front"): replace(frame, art=mixed)}


@pytest.mark.parametrize("name", ["F4-2", "F8-7", "F16-6", "F24-1", "F32-5"])
def test_a_sheet_imposed_wrongly_does_not_read_through(name, art, tmp_path):
    """What the writer drew is judged, and not what the plan says it drew."""
    folded = fold_by_id(name)
    made = prepared(a_bound_job(folded, sheet="A4", pieces=1), folded.pages, art)
    one, other = (item.page for item in made.parts[0].frames[1, "front"].art[:2])
    found = masters_folded_back(tmp_path / "out", made, swapped)
    problems = [fault.problem for fault in found.faults]
    assert f"page {other} lies where page {one} belongs" in problems
    assert f"page {one} lies where page {other} belongs" in problems
    assert f"does not read: page {other} comes there" in problems


@st.composite
def bound_jobs(draw):
    """Any fold on any grid, nested, gathered, read either way, turned or tumbled, several copies on a sheet."""
    folded = draw(random_schemes())
    nests = folded.pages % 4 == 0
    style = draw(st.sampled_from(["gathered", "saddle"] if nests else ["gathered"]))
    job = a_bound_job(
        folded,
        style=style,
        pieces=draw(st.integers(1, 4)),
        per_signature=draw(st.integers(1, 3)) if nests and style == "gathered" else 1,
        reading=draw(st.sampled_from(["left-to-right", "right-to-left"])),
        turn=draw(st.sampled_from(["turn", "tumble"])),
        lead=draw(st.sampled_from(["short edge", "long edge"])),
        creep=draw(st.sampled_from(["none", "flat"])),
        # Pages of 11 mm: creep must stay small beside them, as it is beside real ones.
        caliper=0.02,
        bleed=draw(st.sampled_from([0.0, 2.0])),
    )
    return job, draw(st.integers(1, 3 * folded.pages))


@settings(deadline=None, derandomize=True, max_examples=100)
@given(bound_jobs())
def test_folding_undoes_imposing(asked):
    """From boxes on the sheet alone: every page once and in order, leaves of two pages, heads up."""
    job, pages = asked
    made = prepared(job, pages)
    (part,) = made.parts
    copies = fold_part(record_of(made), faces_of(part.imposition))
    assert len(copies) == part.imposition.copies_per_set
    for places in copies:
        assert [place.face.page for place in places] == list(range(1, part.imposition.booklet.pages + 1))
        assert {place.head for place in places} == {"up"}
        for up, down in zip(places[::2], places[1::2], strict=True):
            # A leaf is one panel of the sheet with its other side.
            assert up.face.panel.piece == down.face.panel.piece
            assert {up.face.side, down.face.side} == {"front", "back"}


@settings(deadline=None, derandomize=True, max_examples=40)
@given(bound_jobs(), st.data())
def test_any_two_pages_that_change_places_are_seen(asked, data):
    job, pages = asked
    made = prepared(job, pages)
    (part,) = made.parts
    faces = faces_of(part.imposition)
    ours = [(where, i) for where, side in faces.items() for i, face in enumerate(side) if face.panel.copy == 1]
    ours = [(where, i) for where, i in ours if faces[where][i].page]
    one, other = data.draw(st.lists(st.sampled_from(ours), min_size=2, max_size=2, unique=True))
    pages_there = [faces[where][i].page for where, i in (one, other)]
    for (where, i), page in zip((one, other), reversed(pages_there), strict=True):
        side = list(faces[where])
        side[i] = replace(side[i], page=page)
        faces[where] = tuple(side)
    read = [place.face.page for place in fold_part(record_of(made), faces)[0]]
    assert [page for page, place in zip(read, range(1, len(read) + 1), strict=True) if page != place] == sorted(
        pages_there, reverse=True
    )


@pytest.mark.parametrize("turn", ["turn", "tumble"])
def test_turning_instead_of_tumbling_is_seen(turn):
    """Masters made for one way to flip the stack do not read through when it is flipped the other way."""
    made = prepared(a_bound_job(fold_by_id("F16-6"), turn=turn, sheet="A4", pieces=1), 16)
    record = replace(record_of(made), flip="tumble" if turn == "turn" else "turn")
    (places,) = fold_part(record, faces_of(made.parts[0].imposition))
    assert [place.face.page for place in places] != list(range(1, 17))


@pytest.mark.parametrize("name", ["F4-2", "F16-6", "F32-9"])
def test_a_record_comes_back_as_it_was(name, art):
    made = prepared(a_bound_job(fold_by_id(name), sheet="A4", pieces=1), 30, art)
    for record in compose_records(made).values():
        again = read_record(record_text(record), sketch_bytes(record))
        assert record_text(again) == record_text(record)
        assert sketch_bytes(again) == sketch_bytes(record)
        assert again.part.creases == record.part.creases
        assert [panel.page for panel in again.panels] == [panel.page for panel in record.panels]
