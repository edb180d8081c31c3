"""Job and shop files on the disk for the tests of their readers, changed where a test says so."""

from __future__ import annotations

from imposer.errors import ImposerError

JOB = """\
title  = "Moth Hours"
copies = 120
shop   = "shop.toml"

[page]
trim  = "A6"
bleed = 0

[binding]
style = "saddle"
reading = "left-to-right"
creep = "flat"

[sheet]
size  = "A3"
paper = "cream 90"
lead  = "short edge"
turn  = "turn"
pieces = 2

[marks]
tone = false

[[ink]]
name  = "lamp black"
pages = "black/*.png"

[[ink]]
name  = "marigold"
pages = "marigold.pdf"
"""

SHOP = """\
[machine]
drums = 2
largest_sheet = "A3"
lead = "short edge"
margins = { lead = 5, tail = 2, sides = 3 }
careful = 10
roller_track = 60
drift = { same_pass = 0.5, between_passes = 1.0, sides = 2.0 }

[[paper]]
name = "cream 90"
weight = 90
caliper = 0.11
colour = "#f4ecd8"
sizes = { A3 = 0.06, A4 = 0.03 }

[[ink]]
name = "lamp black"
also = ["black", "k"]
colour = "#2a2a2e"

[[ink]]
name = "marigold"
colour = "#eba52c"

[costs]
"""

#: The least a job needs.
SMALL_JOB = 'title = "Moth Hours"\ncopies = 50\npage.trim = "A6"\n[[ink]]\nname = "k"\npages = "k.pdf"\n'


def written(folder, job=JOB, shop=SHOP):
    """A job's folder with these two files; no shop file if `shop` is None."""
    (folder / "job.toml").write_text(job, encoding="utf-8")
    if shop is not None:
        (folder / "shop.toml").write_text(shop, encoding="utf-8")
    return folder


def changed(text, *changes):
    """The text with each (old, new) replaced; an old one must be there, once."""
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def faults_of(folder, read):
    """What is said of the files in a folder: a line each, file names without the folder."""
    try:
        read()
    except ImposerError as error:
        return [line.replace(f"{folder}/", "") for line in str(error).split("\n")]
    return []
