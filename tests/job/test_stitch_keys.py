"""Keys of [binding] for stitches: read where they make sense, elsewhere a plain fault."""

import pytest

from imposer.job import load_job
from tests.job.files import JOB, changed, faults_of, written


def binding(tmp_path, *lines):
    job = changed(JOB, ('style = "saddle"\n', "\n".join(lines) + "\n"))
    return load_job(written(tmp_path, job)).binding


def faults(tmp_path, *lines):
    job = changed(JOB, ('style = "saddle"\n', "\n".join(lines) + "\n"))
    folder = written(tmp_path, job)
    return faults_of(folder, lambda: load_job(folder))


def test_usual_stitches_of_the_styles(tmp_path):
    assert binding(tmp_path, 'style = "saddle"').stitch == "saddle"
    assert binding(tmp_path, 'style = "gathered"').stitch == "side"


def test_stab_with_all_its_keys(tmp_path):
    found = binding(
        tmp_path, 'style = "gathered"', 'stitch = "stab"', "holes = 5", 'hole_line = "0.5 in"', "binding_margin = 30"
    )
    spec = found.stitching
    assert (found.stitch, spec.holes, spec.line, spec.margin) == ("stab", 5, 12.7, 30)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            ('style = "saddle"', 'stitch = "sewn"'),
            ('binding.stitch: a saddle-stitched booklet is stapled through its fold; set style = "gathered"'),
        ),
        (
            ('style = "gathered"', 'stitch = "saddle"'),
            (
                "binding.stitch: gathered signatures lie on one another and have "
                'no fold in common to be stapled through; give "side", "sewn" or "stab", or style = "saddle"'
            ),
        ),
        (
            ('style = "gathered"', 'stitch = "stab"', "holes = 6"),
            ("binding.holes: 6 is no pattern of a stab binding; give 4 or 5"),
        ),
        (
            ('style = "gathered"', 'stitch = "sewn"', "holes = 5"),
            (
                "binding.holes: thread that goes in must come out: 5 "
                "holes do not sew a signature; give an even number from 4 to 12"
            ),
        ),
        (
            ('style = "gathered"', "holes = 4"),
            ('binding.holes: a side stitch is two staples; leave it out; it is for stitch = "sewn" or "stab"'),
        ),
        (
            ('style = "gathered"', 'stitch = "sewn"', "binding_margin = 10"),
            ("binding.binding_margin: a booklet held in its folds opens flat and needs none; leave it out"),
        ),
        (
            ('style = "gathered"', 'stitch = "stab"', "hole_line = 20", "binding_margin = 15"),
            (
                "binding.binding_margin: "
                "15 mm end before the holes, 20 mm from the spine; give at least 40 mm, "
                "so that pages open beyond the holes"
            ),
        ),
        (
            ('style = "gathered"', 'stitch = "sewm"'),
            ('binding.stitch: "sewm" is none of "saddle", "sewn", "side", "stab"; did you mean "sewn"?'),
        ),
    ],
)
def test_faults_say_why(tmp_path, lines, said):
    found = faults(tmp_path, *lines)
    assert [line.removeprefix("job.toml: ") for line in found] == [said]
