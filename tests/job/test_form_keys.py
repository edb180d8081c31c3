"""The keys of leaflets and cards, and what is said of keys that a form has no use for."""

import pytest

from imposer.errors import ImposerError
from imposer.job.model import FormSpec
from tests.job.test_binding import load


@pytest.mark.parametrize(
    ("binding", "form"),
    [
        ('style = "mini"', FormSpec()),
        ('style = "mini"\nposter = true', FormSpec(poster=True)),
        ('style = "mini"\nsides = 1', FormSpec(sides=1)),
        (
            'style = "accordion"\npanels = 9\nsides = 1\nglue_flap = "0.5 in"',
            FormSpec(panels=9, sides=1, glue_flap=12.7),
        ),
        ('style = "letter"\ntuck = 2', FormSpec(tuck=2)),
        ('style = "gate"\ntuck = "6 mm"', FormSpec(tuck=6)),
        ('style = "flat"\nsides = 1', FormSpec(sides=1)),
    ],
)
def test_keys_are_read(binding, form, tmp_path):
    assert load(tmp_path, binding).binding.form == form


@pytest.mark.parametrize(
    ("binding", "says"),
    [
        (
            'style = "mini"\npieces_per_signature = 2',
            "binding.pieces_per_signature: a mini zine is one piece, and nothing",
        ),
        ('style = "mini"\nfold = "F8-7"', "binding.fold: a mini zine is folded in its own way; leave it out"),
        ('style = "letter"\ncreases = ["V1/2U"]', "binding.creases: a letter fold is folded in its own way"),
        ('style = "flat"\ncreep = "round"', "binding.creep: a card nests no pieces, so nothing creeps"),
        ('style = "mini"\nsides = 2', "binding.sides: a mini zine has pages on one side alone"),
        ('style = "mini"\npanels = 8', "binding.panels: a mini zine has its number of panels by what it is"),
        ('style = "accordion"\ntuck = 2', "binding.tuck: an accordion tucks no panel into another: all are equal"),
        ('style = "letter"\nglue_flap = 8', "binding.glue_flap: a letter fold is never joined from several sheets"),
        ('style = "flat"\nposter = true', "binding.poster: a card has no back of its own that a poster could fill"),
        ('style = "saddle"\npanels = 4', "binding.panels: a saddle booklet is bound from its pages' own count"),
        (
            'style = "letter"\nposter = true\nsides = 2',
            "binding.sides: the poster fills the back, so pages lie on one side",
        ),
        ('style = "accordion"\nsides = 3', "binding.sides: 3 is no number of sides"),
        ('style = "leter"', 'did you mean "letter"?'),
        ('style = "accordion"\npanels = 1', "binding.panels: 1 is too small"),
    ],
)
def test_keys_that_make_no_sense_say_why(binding, says, tmp_path):
    with pytest.raises(ImposerError) as caught:
        load(tmp_path, binding)
    (line,) = str(caught.value).splitlines()
    assert says in line
