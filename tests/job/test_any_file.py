"""Whatever stands in the two files, the answer is a job or plain lines; and whatever is sound is read as written."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.job import load_job
from imposer.job.model import MARK_KINDS, Job
from tests.job.files import JOB, SHOP

SETTINGS = settings(
    max_examples=150,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)

# ---------------------------------------------------------------- TOML, written by hand: the library only reads it


def toml(value):
    """Write a value as TOML; tables inline."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            # TOML's basic strings are JSON's, but for the one control character that JSON lets stand.
            return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
        case int():
            return hex(value) if value > 10**20 else str(value)
        case float():
            return "nan" if math.isnan(value) else repr(value)
        case list():
            return f"[{', '.join(map(toml, value))}]"
        case dict():
            return "{" + ", ".join(f"{toml(key)} = {toml(inner)}" for key, inner in value.items()) + "}"
    raise TypeError(value)


def toml_file(tables):
    return "\n".join(f"{toml(key)} = {toml(value)}" for key, value in tables.items())


# ---------------------------------------------------------------- strategies

AWKWARD = ["", " ", "A5", "A5 landscape", "letter x", "x", "140 x 200 mm", "-3 mm", "1e9 mm", "nan", "9" * 400 + " in"]
AWKWARD += [
    "#2a2a2e",
    "60 lb text",
    "3 %",
    "../x",
    "/x",
    "C:\\x",
    "**",
    "a**b",
    "[",
    "\x00",
    "\u202e",
    "saddle",
    "flat",
]
AWKWARD += ["lamp black", "k", "cream 90", "shop.toml", ".", "..", "m" * 300, "a\nb"]
TEXTS = st.one_of(st.text(st.characters(exclude_categories=["Cs"]), max_size=20), st.sampled_from(AWKWARD))
SCALARS = st.one_of(
    st.booleans(),
    st.integers(),
    st.sampled_from([0, -1, 10**18, 10**19, 10**400, 0.0, -0.0, 1e308, 5e-324, math.inf, -math.inf, math.nan]),
    st.floats(),
    TEXTS,
)
JOB_KEYS = ["title", "copies", "shop", "page", "binding", "sheet", "marks", "ink", "trim", "bleed", "fit", "style"]
JOB_KEYS += ["pieces_per_signature", "reading", "creep", "size", "paper", "lead", "turn", "pieces", "name", "pages"]
SHOP_KEYS = [
    "machine",
    "paper",
    "ink",
    "costs",
    "drums",
    "largest_sheet",
    "lead",
    "margins",
    "tail",
    "sides",
    "careful",
]
SHOP_KEYS += ["roller_track", "drift", "same_pass", "overs", "run", "scrap", "weight", "caliper", "bulk", "colour"]
SHOP_KEYS += ["sizes", "also", "name", "A3", "default", "297 x 420 mm"]
KEYS = st.one_of(st.sampled_from(JOB_KEYS + SHOP_KEYS), TEXTS)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(KEYS, inner, max_size=5)),
    max_leaves=12,
)
TABLES = st.dictionaries(KEYS, VALUES, max_size=8)


def answer(folder, job, shop):
    """Load a job of two files' text; whatever is wrong must be said in plain lines that name one of the two."""
    (folder / "job.toml").write_text(job, encoding="utf-8", newline="")
    (folder / "shop.toml").write_text(shop, encoding="utf-8", newline="")
    try:
        return load_job(folder)
    except ImposerError as error:
        told = error
    lines = str(told).split("\n")
    assert len(lines) == len(told.faults)
    for line, fault in zip(lines, told.faults, strict=True):
        assert line.isprintable()
        assert line.startswith(str(folder))
        assert fault.problem
        assert len(line) < 3000
    return lines


# ---------------------------------------------------------------- anything at all


@SETTINGS
@given(job=TABLES, shop=TABLES)
def test_any_tables_give_a_job_or_plain_lines(tmp_path, job, shop):
    assert answer(tmp_path, toml_file(job), toml_file(shop))


@SETTINGS
@given(st.binary(max_size=200))
def test_any_bytes_give_plain_lines(tmp_path, content):
    (tmp_path / "job.toml").write_bytes(content)
    with pytest.raises(ImposerError):
        load_job(tmp_path)


PLACES = [[key] for key in ("title", "copies", "shop", "page", "binding", "sheet", "marks", "ink")]
PLACES += [["page", key] for key in ("trim", "bleed", "fit")]
PLACES += [["binding", key] for key in ("style", "pieces_per_signature", "reading", "creep")]
PLACES += [["sheet", key] for key in ("size", "paper", "lead", "turn", "pieces")]
PLACES += [["marks", "crop"], ["ink", 0], ["ink", 0, "name"], ["ink", 0, "pages"]]
SHOP_PLACES = [["machine"], ["paper"], ["ink"], ["costs"], ["paper", 0], ["ink", 0]]
SHOP_PLACES += [["machine", key] for key in ("drums", "largest_sheet", "lead", "margins", "careful", "roller_track")]
SHOP_PLACES += [["machine", key] for key in ("drift", "overs")] + [["machine", "margins", "lead"]]
SHOP_PLACES += [["paper", 0, key] for key in ("name", "weight", "caliper", "bulk", "colour", "sizes")]
SHOP_PLACES += [["paper", 0, "sizes", "A3"]] + [["ink", 0, key] for key in ("name", "also", "colour")]


def with_value(tables, place, value):
    """The tables with one value put at a place."""
    copied = json.loads(json.dumps(tables))
    inner = copied
    for step in place[:-1]:
        inner = inner[step] if isinstance(inner, list) else inner.setdefault(step, {})
    inner[place[-1]] = value
    return copied


def sound_job():
    return {
        "title": "Moth Hours",
        "copies": 120,
        "shop": "shop.toml",
        "page": {"trim": "A6"},
        "binding": {"style": "saddle"},
        "sheet": {"size": "A3"},
        "ink": [{"name": "k", "pages": "*.png"}],
    }


def sound_shop():
    return {
        "machine": {"largest_sheet": "A3"},
        "paper": [{"name": "cream 90", "weight": 90, "sizes": {"A3": 0.06, "A4": 0.03}}],
        "ink": [{"name": "lamp black", "also": ["k"], "colour": "#2a2a2e"}],
    }


def test_the_sound_files_are_sound(tmp_path):
    assert isinstance(answer(tmp_path, JOB, SHOP), Job)
    assert isinstance(answer(tmp_path, toml_file(sound_job()), toml_file(sound_shop())), Job)


@SETTINGS
@given(place=st.sampled_from(PLACES), value=VALUES)
def test_any_value_at_any_place_of_a_job_gives_a_job_or_plain_lines(tmp_path, place, value):
    found = answer(tmp_path, toml_file(with_value(sound_job(), place, value)), toml_file(sound_shop()))
    if isinstance(found, Job):
        assert_sound(found)


@SETTINGS
@given(place=st.sampled_from(SHOP_PLACES), value=VALUES)
def test_any_value_at_any_place_of_a_shop_gives_a_job_or_plain_lines(tmp_path, place, value):
    found = answer(tmp_path, toml_file(sound_job()), toml_file(with_value(sound_shop(), place, value)))
    if isinstance(found, Job):
        assert_sound(found)


def assert_sound(job):
    """What later steps rely on without asking."""
    machine = job.shop.machine
    assert job.title == job.title.strip() != ""
    assert job.copies >= 1
    assert job.inks
    assert job.sheet.stocks
    assert job.sheet.pieces is None or job.sheet.pieces >= 1
    assert machine.drums >= 1
    assert machine.largest_sheet.width <= machine.largest_sheet.height
    for stock in job.sheet.stocks:
        assert stock.size.width <= stock.size.height
        assert stock.lead in ("short edge", "long edge")
    lengths = [job.page.bleed, job.page.trim.width, job.sheet.paper.caliper, machine.careful, machine.margins.lead]
    lengths += [job.binding.creep] if not isinstance(job.binding.creep, str) else []
    assert all(isinstance(mm, float) and math.isfinite(mm) and mm >= 0 for mm in lengths)
    for ink in job.inks:
        assert ink.pages
        for pattern in ink.pages:
            assert ".." not in Path(pattern).parts
            assert not Path(pattern).is_absolute()
            # A pattern that the file system's own matcher refuses would end in a traceback later.
            list(job.folder.glob(pattern))


# ---------------------------------------------------------------- what is sound is read as written


@SETTINGS
@given(
    title=st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=40),
    copies=st.integers(1, 10_000),
    trim=st.tuples(*[st.integers(25, 300)] * 2),
    bleed=st.integers(0, 20),
    style=st.sampled_from(["saddle", "gathered"]),
    reading=st.sampled_from(["left-to-right", "right-to-left"]),
    turn=st.sampled_from(["turn", "tumble"]),
    off=st.sets(st.sampled_from(MARK_KINDS)),
)
def test_a_sound_job_is_read_as_written(tmp_path, title, copies, trim, bleed, style, reading, turn, off):
    tables = sound_job() | {
        "title": title,
        "copies": copies,
        "page": {"trim": list(trim), "bleed": f"{bleed} mm"},
        "binding": {"style": style, "reading": reading},
        "sheet": {"turn": turn},
        "marks": dict.fromkeys(off, False),
    }
    job = answer(tmp_path, toml_file(tables), toml_file(sound_shop()))
    assert isinstance(job, Job), job
    assert (job.title, job.copies, job.page.trim, job.page.bleed) == (title, copies, Size(*trim), bleed)
    assert (job.binding.style, job.binding.reading, job.sheet.turn) == (style, reading, turn)
    assert job.marks == set(MARK_KINDS) - off
    assert_sound(job)
