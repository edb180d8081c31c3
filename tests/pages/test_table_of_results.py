"""The table of results in DEVELOPERS.md, made from the tests themselves: it cannot say more than they try."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from imposer.pages import pdfs
from tests.cli.test_bad_input import BAD
from tests.oracle import matches
from tests.pages.test_deliveries import ASKED, FORMATS, TOLD
from tests.pages.traps import TRAPS
from tests.pages.viewer import as_viewed, placed
from tests.test_limits import DRAWN_AS_PIXELS, REFUSED

ROOT = Path(__file__).parents[2]
FILE = ROOT / "DEVELOPERS.md"
HEADING = "## What artwork may be"
KINDS = ("images", "images_embed", "gray", "hostile_pdfs", "page_form", "plates_of_images", "plates_of_pdfs")
FILES = [f"tests/pages/test_{name}.py" for name in KINDS]

#: What is tried by the tests of a class, and what comes out.
CLASSES = [
    ("images", "TestResolution", "resolution stated, silly, missing, in every unit", "read as stated, or told"),
    ("images", "TestOrientation", "the eight orientations of Exif and TIFF", "placed; every sample equal"),
    (
        "images",
        "TestPngSamples",
        "PNG of 1 to 16 bits: gray, palette, colour, alpha, interlaced",
        "gray samples equal; of colour and alpha none more than 1 of 255 from sums by hand",
    ),
    (
        "images",
        "TestTiffSamples",
        "TIFF in strips, tiles and pages, either byte order, 1 to 16 bits, CMYK, alpha",
        "gray samples equal; of colour and alpha none more than 1 of 255 from sums by hand",
    ),
    (
        "images",
        "TestJpegSamples",
        "JPEG in colour, CMYK and CMYK the other way round",
        "none more than 1.5 of 255 away",
    ),
    ("images", "TestReducing", "images drawn smaller", "size and mean tone kept"),
    ("images", "TestColour", "layers in colour, or gray saved as colour", "told, or silent"),
    ("images", "TestRefused", "images cut off, damaged, lying, of unread kinds", "refused, or ended"),
    ("images_embed", "TestUntouched", "gray PNG, JPEG, G4 and Flate TIFF", "the file's own data, byte by byte"),
    ("images_embed", "TestPackedAgain", "images that no PDF can hold as they are", "packed without loss"),
    ("gray", "TestOperators", "colour operators of vectors", "gray vectors of known tone; 100 % black is 100 %"),
    ("gray", "TestImages", "coloured images in PDFs", "gray images of known tone, or pixels and told"),
    ("gray", "TestShadings", "shadings and their functions", "gray shadings, or pixels and told"),
    ("gray", "TestNestedDrawings", "colours in forms, patterns, glyphs, masks", "gray vectors, or pixels and told"),
    ("plates_of_images", "TestSamples", "plates of CMYK images", "the plate's own samples, without loss"),
    (
        "plates_of_pdfs",
        "TestTones",
        "plates of PDFs in process and spot colours: fills, images, shadings, patterns, forms, masks, overprinting",
        "gray vectors of known tone on every plate, and as a separator of another make finds them",
    ),
    ("plates_of_pdfs", "TestRefused", "plates of what is on none: light, blending that mixes them", "refused"),
]


def counts():
    """How many cases every class of these test files has."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--collect-only", "-q", *FILES],
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stdout[-2000:]
    return Counter("::".join(line.split("[")[0].split("::")[:2]) for line in done.stdout.splitlines() if "::" in line)


def hostile():
    """What the test of each hostile PDF asks for: its name, by result."""
    results = {"refused": [], "read or refused": [], "read": []}
    tree = ast.parse((ROOT / "tests/pages/test_hostile_pdfs.py").read_text(encoding="utf-8"))
    for function in [one for group in tree.body if isinstance(group, ast.ClassDef) for one in group.body]:
        if isinstance(function, ast.FunctionDef) and function.name.startswith("test_"):
            calls = [node.func for node in ast.walk(function) if isinstance(node, ast.Call)]
            called = {getattr(call, "id", getattr(call, "attr", "")) for call in calls}
            refused = bool({"refused", "raises"} & called)
            either = "used_or_refused" in called or (refused and "use" in called)
            result = "read or refused" if either else "refused" if refused else "read"
            results[result].append(words(function.name.removeprefix("test_")))
    return results


def words(name):
    return name.replace("_", " ")


def measured(folder):
    """The share of pixels that lie elsewhere than a viewer shows them, for every trap."""
    found = {}
    for name, make in TRAPS.items():
        file = folder / f"{name}.pdf"
        viewed = make(file)
        source = pdfs.survey(file, file.name)[viewed.index]
        found[name] = matches(as_viewed(file, viewed.index, viewed.unit), placed(source, 0))
    return found


def table(differences):
    """The lines of the table."""
    of = counts()
    off = {name: share for name, share in differences.items() if share}
    rows = [
        (
            f"PDFs that set traps: {', '.join(map(words, sorted(TRAPS)))}",
            len(TRAPS),
            f"placed, turned or not, and toned as a viewer shows them; in {len(TRAPS) - len(off)} no pixel differs"
            + "".join(f", in “{words(name)}” {share * 100:.2g} %" for name, share in off.items()),
        )
    ]
    for file, group, what, result in CLASSES:
        rows.append((what, of[f"tests/pages/test_{file}.py::{group}"], result))
    rows += [(f"hostile PDFs: {', '.join(names)}", len(names), result) for result, names in hostile().items() if names]
    rows += [
        (f"beyond a limit: {', '.join(REFUSED)}", len(REFUSED), "refused with the figure and the key that raises it"),
        (f"beyond a limit: {', '.join(DRAWN_AS_PIXELS)}", len(DRAWN_AS_PIXELS), "drawn as pixels and told"),
        (f"spoilt jobs: {', '.join(BAD)}", len(BAD), "refused in one line, exit 2"),
        (
            "names of files: page, ink, folders, covers, spreads, languages, trash of exports",
            len(TOLD),
            "the right page",
        ),
        (f"names of files: {', '.join(ASKED)}", len(ASKED), "asked"),
        ("other formats: " + ", ".join(what.split("(")[1][:-1] for _, _, what, _ in FORMATS), len(FORMATS), "refused"),
    ]
    head = ["| what is tried | cases | what comes out |", "| --- | ---: | --- |"]
    return head + [f"| {what} | {count} | {result} |" for what, count, result in rows]


def written():
    """The table as it stands in the file: its lines, and the text before and after them."""
    lines = FILE.read_text(encoding="utf-8").splitlines()
    start = lines.index(HEADING)
    begin = next(i for i in range(start, len(lines)) if lines[i].startswith("|"))
    end = next(i for i in range(begin, len(lines)) if not lines[i].startswith("|"))
    return lines[:begin], lines[begin:end], lines[end:]


def test_the_table_of_results_is_what_the_tests_try(tmp_path, request):
    differences = measured(tmp_path)
    due = table(differences)
    before, found, after = written()
    if request.config.getoption("--update-golden"):
        FILE.write_text("\n".join([*before, *due, *after]) + "\n", encoding="utf-8")
        return
    # Another version of the renderer may draw a hairline elsewhere; the first row's figures have their own test.
    assert found[0:2] == due[0:2]
    assert found[2].split("in ")[0].split(" no pixel")[0] == due[2].split("in ")[0].split(" no pixel")[0]
    assert found[3:] == due[3:]


def test_few_pixels_of_traps_lie_elsewhere(tmp_path):
    """What the first row says of pixels: nearly all traps differ in none, and none beyond the limit of the tests."""
    differences = measured(tmp_path)
    assert sum(not share for share in differences.values()) >= 0.9 * len(TRAPS)
    assert max(differences.values()) < 3e-5


@pytest.mark.parametrize("group", [f"tests/pages/test_{file}.py::{group}" for file, group, *_ in CLASSES])
def test_every_class_in_the_table_is_there(group):
    file, name = group.split("::")
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    assert name in [one.name for one in tree.body if isinstance(one, ast.ClassDef)]
