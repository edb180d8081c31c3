"""Every limit a shop sets, through a job: an honest page beyond it is refused, or drawn as pixels, and said so."""

from __future__ import annotations

import json
import subprocess
import sys
import zlib

import numpy as np
import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name
from PIL import Image

from imposer import prepare
from imposer.errors import ImposerError
from imposer.limits import ranges
from imposer.pages.pdf_source import close_sources
from imposer.pages.render import end_workers
from tests.pages.test_hostile_pdfs import nested
from tests.pages.traps import ART, new

SHOP = """
[machine]
largest_sheet = "600 x 850 mm"
[[paper]]
name = "white"
weight = 80
sizes = { A3 = 0.04, "600 x 850 mm" = 0.1 }
[[ink]]
name = "black"
colour = "#222222"
[limits]
"""
JOB = """
title = "Limits"
copies = 10
shop = "shop.toml"
[page]
trim = "%s"
[[ink]]
name = "black"
pages = "*.%s"
"""
RASTERED = "cannot be kept as it is and is turned to pixels"


@pytest.fixture(autouse=True)
def _afresh():
    yield
    close_sources()
    end_workers()


def picture(folder, name, pixels=(278, 417), kind="PNG", **how):
    Image.fromarray(np.full(pixels[::-1], 90, np.uint8)).save(folder / name, kind, dpi=(100, 100), **how)


def pdf(folder, content=ART, pages=1, pixels=None, form=None, **how):
    made = new(content, pages=pages)
    things = Dictionary()
    if pixels:
        image = made.make_stream(bytes(pixels[0] * pixels[1] * 3))
        image.Type, image.Subtype, image.Width, image.Height = Name.XObject, Name.Image, *pixels
        image.ColorSpace, image.BitsPerComponent = Name.DeviceRGB, 8
        things.I = image
    if form:
        things.X = nested(made, *form)
    made.pages[0].Resources.XObject = things
    made.save(folder / "page.pdf", **how)


def twice_packed(folder):
    made = new()
    packed = made.make_stream(zlib.compress(zlib.compress(ART)))
    packed.Filter = Array([Name.FlateDecode] * 2)
    made.pages[0].Contents = packed
    made.save(folder / "page.pdf", compress_streams=False)


def damaged(folder):
    pdf(folder, pages=4, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    data = (folder / "page.pdf").read_bytes()
    (folder / "page.pdf").write_bytes(data.replace(b"xref\n0", b"xrfe\n0", 1).replace(b"endobj", b"endojb", 3))


def frames(folder):
    first, *others = [Image.new("L", (278, 417), tone) for tone in (0, 90, 200)]
    first.save(folder / "page.tif", dpi=(100, 100), save_all=True, append_images=others)


def poster(folder):
    """A page of 122 million pixels where it must be drawn as pixels."""
    pdf(folder)
    with pikepdf.Pdf.open(folder / "page.pdf", allow_overwriting_input=True) as made:
        made.pages[0].MediaBox = Array([0, 0, 1100, 1600])
        made.save(folder / "page.pdf")


#: What is tried: the limits as the shop states them, the art, the file's ending and what is said of it.
REFUSED = {
    "bytes of an image": (
        "file_bytes = 1_200",
        lambda folder: picture(folder, "1.jpg", kind="JPEG", quality=100),
        "1.jpg: has 0.00",
        "MB; at most 0.0012 MB are read; export it smaller, or raise limits.file_bytes in the shop file",
    ),
    "bytes of a PDF": (
        "file_bytes = 1_000",
        lambda folder: pdf(folder, pages=12),
        "page.pdf: has 0.00",
        "MB; at most 0.001 MB are read; export it smaller, or raise limits.file_bytes in the shop file",
    ),
    "pages of a PDF": (
        "pages = 3",
        lambda folder: pdf(folder, pages=4),
        "page.pdf: has 4 pages; at most 3 are read; ",
        "split it, or raise limits.pages in the shop file",
    ),
    "pages of a TIFF": (
        "pages = 2",
        frames,
        "page.tif: holds more than 2 images; ",
        "split it, or raise limits.pages in the shop file",
    ),
    "pages of a booklet": (
        "pages = 8",
        lambda folder: picture(folder, "9.png"),
        "job.toml: ink[1].pages: has 9 pages, more than the 8 that are read; ",
        "split the job, or raise limits.pages in the shop file",
    ),
    "pixels of an image": (
        "image_pixels = 100_000",
        lambda folder: picture(folder, "1.png"),
        "1.png: is 278 × 417 px, more than the 100000 px that are read; ",
        "export it at 600 ppi or less, or raise limits.image_pixels in the shop file",
    ),
    "pixels of an image in a PDF": (
        "image_pixels = 1_000_000",
        lambda folder: pdf(folder, b"q 200 0 0 300 0 0 cm /I Do Q", pixels=(1000, 1200)),
        "page.pdf: page 1: holds an image of 1000 × 1200 pixels; at most 1 million are read; ",
        "make it smaller, or raise limits.image_pixels in the shop file",
    ),
    "pixels that a PDF is drawn on": (
        "image_pixels = 1_000_000",
        lambda folder: pdf(folder),
        "page.pdf: page 1: of 70.56 × 105.83 mm at 300 ppi has more than 1 million pixels; ",
        "export it smaller, or raise limits.image_pixels in the shop file",
    ),
    "a side of an image": (
        "image_side = 400",
        lambda folder: picture(folder, "1.png"),
        "1.png: is 278 × 417 px; no side may have more than 400; ",
        "export it at the size of the page, at 600 ppi or less, or raise limits.image_side in the shop file",
    ),
    "chunks of a PNG": (
        "png_chunks = 3",
        lambda folder: picture(folder, "1.png"),
        "1.png: has more than 3 chunks; ",
        "export or copy it again, or raise limits.png_chunks in the shop file",
    ),
    "segments of a JPEG": (
        "jpeg_segments = 4",
        lambda folder: picture(folder, "1.jpg", kind="JPEG", comment=b"from the camera"),
        "1.jpg: has more than 4 segments before its picture data; ",
        "export or copy it again, or raise limits.jpeg_segments in the shop file",
    ),
    "files of an ink": (
        "files = 2",
        lambda folder: [picture(folder, f"{page}.png") for page in (1, 2, 3)],
        "job.toml: ink[1].pages: matches 3 files, more than the 2 that are read; ",
        "name the files of the pages alone, or raise limits.files in the shop file",
    ),
    "bytes a drawing unfolds to": (
        "stream_bytes = 2_000",
        lambda folder: pdf(folder, ART + b"0 0 9 9 re f " * 400),
        "page.pdf: page 1: its drawing cannot be read: it unfolds to more than 0.002 MB; ",
        "export it simpler, or raise limits.stream_bytes in the shop file",
    ),
    "filters on a drawing": (
        "stream_filters = 1",
        twice_packed,
        "page.pdf: page 1: its drawing cannot be read: 2 filters lie on it; at most 1 are undone; ",
        "export it again, or raise limits.stream_filters in the shop file",
    ),
    "faults of a damaged PDF": (
        "pdf_warnings = 2",
        damaged,
        "page.pdf: is damaged in more than 2 places; ",
        "export it again, or raise limits.pdf_warnings in the shop file",
    ),
    "drawings in one another": (
        "drawing_depth = 2",
        lambda folder: pdf(folder, ART + b"/X Do", form=(4, 1)),
        "page.pdf: page 1: has drawings inside drawings more than 2 deep; ",
        "flatten it or export it as an image",
    ),
    "the least side of a page": (
        "page_side_least = 250",
        pdf,
        "page.pdf: page 1: is 200 pt on one side; a page has 250 to 14400 pt; ",
        "export it at its printed size",
    ),
    "the largest side of a page": (
        "page_side_most = 250",
        pdf,
        "page.pdf: page 1: is 300 pt on one side; a page has 9 to 250 pt; ",
        "export it at its printed size",
    ),
    "memory of the renderer": (
        "render_bytes = 200_000_000\ndrawing_tokens = 10",
        poster,
        "page.pdf: page 1: takes more than 200 MB of memory to draw; ",
        "export the page as an image, or raise limits.render_bytes in the shop file",
    ),
    "seconds of the renderer": (
        "render_seconds = 0.01",
        lambda folder: pdf(folder, ART + b"0 0 m 100 200 300 400 5 6 c S " * 20_000),
        "page.pdf: page 1: takes longer than 0.01 s to draw; ",
        "export the page as an image, or raise limits.render_seconds in the shop file",
    ),
}
DRAWN_AS_PIXELS = {
    "words of a drawing": (
        "drawing_tokens = 20",
        pdf,
        f"page.pdf (it draws more than 20 things) {RASTERED}",
    ),
    "drawings of a page": (
        "drawings = 2",
        lambda folder: pdf(folder, ART + b"/X Do", form=(4, 1, b"1 0 0 rg 0 0 9 9 re f")),
        f"page.pdf (more than 2 drawings lie in it) {RASTERED}",
    ),
    "bytes an image unfolds to": (
        "stream_bytes = 100_000",
        lambda folder: pdf(folder, b"q 200 0 0 300 0 0 cm /I Do Q", pixels=(200, 300)),
        f"an image of 200 × 300 pixels (it unfolds to 0.18 MB, more than 0.1 MB) of page.pdf {RASTERED}",
    ),
}


def job_with(folder, limits, art):
    art(folder)
    suffix = next(folder.iterdir()).suffix[1:]
    trim = "1100 x 1600 pt" if art is poster else "200 x 300 pt"
    (folder / "job.toml").write_text(JOB % (trim, suffix), encoding="utf-8")
    (folder / "shop.toml").write_text(SHOP + limits + "\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize(("limits", "art", "begins", "ends"), REFUSED.values(), ids=REFUSED)
def test_an_honest_page_beyond_a_limit_is_refused_and_without_it_read(tmp_path, limits, art, begins, ends):
    folder = job_with(tmp_path, limits, art)
    with pytest.raises(ImposerError) as caught:
        prepare(folder)
    (line,) = {str(fault).replace(f"{tmp_path}/", "") for fault in caught.value.faults}
    assert (line[: len(begins)], line[-len(ends) :]) == (begins, ends)
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    assert prepare(folder).pages


@pytest.mark.parametrize(("limits", "art", "message"), DRAWN_AS_PIXELS.values(), ids=DRAWN_AS_PIXELS)
def test_an_honest_drawing_beyond_a_limit_is_turned_to_pixels_and_said_so(tmp_path, limits, art, message):
    folder = job_with(tmp_path, limits, art)
    assert message in [finding.message for finding in prepare(folder).findings if finding.rule == "rasterised"]
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    assert "rasterised" not in [finding.rule for finding in prepare(folder).findings]


def test_every_limit_is_tried():
    tried = " ".join(limits for limits, *_ in (*REFUSED.values(), *DRAWN_AS_PIXELS.values()))
    assert [name for name in ranges() if f"{name} = " not in tried] == []


def test_the_command_line_says_it_in_one_line(tmp_path):
    folder = job_with(tmp_path, "image_side = 400", lambda folder: picture(folder, "1.png"))
    done = subprocess.run(
        [sys.executable, "-m", "imposer", "build", str(folder)], capture_output=True, text=True, timeout=120
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "1.png: is 278 × 417 px; no side may have more than 400; "
        "export it at the size of the page, at 600 ppi or less, or raise limits.image_side in the shop file\n"
    )
    assert sorted(path.name for path in folder.iterdir()) == ["1.png", "job.toml", "shop.toml"]


def test_limits_rule_the_masters_too(tmp_path):
    """What is read again to be placed is read under the same limits: nothing on the way forgets them."""
    folder = job_with(tmp_path, "drawing_tokens = 20\nimage_pixels = 90_000_000", pdf)
    table = prepare(folder).parts[0].table
    assert {art.source.limits.drawing_tokens for art in table.cells.values()} == {20}
    subprocess.run([sys.executable, "-m", "imposer", "build", str(folder), "-q"], check=True, timeout=120)
    assert json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))["pages"] == 4
    with pikepdf.Pdf.open(next((folder / "out" / "masters").iterdir())) as master:
        images = [one for one in master.objects if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"]
    assert len(images) == 1
