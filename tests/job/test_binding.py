"""Folds of a job's pieces: named by the catalogue or listed, and sound before anything is laid out."""

import pytest

from imposer.errors import ImposerError
from imposer.fold.booklet import read_booklet
from imposer.fold.creases import scheme
from imposer.job import load_job
from imposer.sheet.impose import impose


def load(folder, binding):
    (folder / "job.toml").write_text(
        f'title = "t"\ncopies = 10\n[page]\ntrim = [60, 80]\n[binding]\n{binding}\n'
        '[[ink]]\nname = "black"\npages = "*.png"\n',
        encoding="utf-8",
    )
    return load_job(folder)


def test_a_fold_by_its_catalogue_id_and_by_its_creases_is_the_same(tmp_path):
    """XJDF 2.2, Table E.5, F16-6: 4 × 2 cells, folded V, H, V."""
    named = load(tmp_path, 'fold = "f16-6"').binding.scheme
    listed = load(tmp_path, 'creases = ["V1/2U", "H1/2U", "V1/4D"]').binding.scheme
    assert named == listed == scheme(4, 2, "V1/2U H1/2U V1/4D")


@pytest.mark.parametrize("name", ["F8-7", "F16-6", "F16-7", "F16-9", "F16-13", "F24-11", "F32-4"])
def test_right_angle_signatures_are_imposed_and_read_in_order(name, tmp_path):
    job = load(tmp_path, f'fold = "{name}"')
    imposition = impose(job, 32)
    booklet = imposition.booklet
    assert read_booklet(booklet.pieces, booklet.scheme) == tuple(range(1, booklet.pages + 1))
    safe = imposition.layout.safe
    for sheet in imposition.sheets:
        for panels in (sheet.front.panels, sheet.back.panels):
            assert all(safe.contains(panel.clip) for panel in panels)
            assert not any(a.clip.meets(b.clip) for i, a in enumerate(panels) for b in panels[:i])


def test_a_sixteen_page_signature_counts_four_nested_layers(tmp_path):
    """Derived: two collected 16-page signatures (32 pages) nest 8 sheets deep, so flat creep is 7 calipers."""
    job = load(tmp_path, 'fold = "F16-6"')
    assert impose(job, 32).creep == pytest.approx(7 * job.sheet.paper.caliper)


@pytest.mark.parametrize(
    ("binding", "says"),
    [
        ('fold = "F16-99"', '"F16-99" is no fold of the catalogue; did you mean "F16-9"?'),
        ('fold = "F6-1"', '"F6-1" leaves pages 5, 6 of each piece on no spine: trimmed, they fall out'),
        ('creases = ["V1/3U"]', "2 stacks are left, not one: folds are missing"),
        ('creases = ["V1/2"]', "'V1/2' is not a fold such as V1/2U"),
        ("creases = []", "is not a list of creases"),
        ("creases = [1]", "binding.creases"),
        ('creases = ["V1/64U"]', "more than 16 cells"),
        ('fold = "F8-7"\ncreases = ["V1/2U", "H1/2U"]', "the job names a fold as well"),
        ("fold = 8", "binding.fold"),
    ],
)
def test_folds_that_will_not_do_say_why(binding, says, tmp_path):
    with pytest.raises(ImposerError) as caught:
        load(tmp_path, binding)
    (fault,) = caught.value.faults
    assert says in str(fault)
