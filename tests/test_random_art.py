"""Random PDFs and images through the whole main job, against a slow and simple placement that shares no code with it.

What is due comes from another library, or from samples known beforehand, and plain arrays: the page as PDFium shows it,
cut to its trim; a picture's own samples, turned as its tag says. What is there comes from the masters, rendered by
PDFium. Both must agree in place, turn and tone.
"""

from __future__ import annotations

import io

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from PIL import Image

from imposer import build
from tests.oracle import SHARE, matches
from tests.pages.pictures import png
from tests.random_pdf import CORNERS, MATRICES, Page, pdf_of
from tests.sheets import panels

PAGES = 8
#: The share of pixels that may lie between none of their neighbours: these pages are small, and each corner counts.
MOST = 10 * SHARE
#: Pixels of a point.
FINE = 2

#: Nothing is made smaller after a failure: each example is a whole build, and tells its page by itself.
ORDINARY = settings(
    deadline=None, derandomize=True, phases=[Phase.generate], suppress_health_check=[HealthCheck.too_slow]
)


def built(folder, trim, pages):
    """Build a job of these pages; return the output folder."""
    (folder / "job.toml").write_text(
        f'title = "Chance"\ncopies = 10\n[page]\ntrim = ["{trim[0]} pt", "{trim[1]} pt"]\n[binding]\ncreep = "none"\n'
        f'[sheet]\nsize = "A4"\n[[ink]]\nname = "lamp black"\npages = "{pages}"\n',
        encoding="utf-8",
    )
    found = build(folder, folder / "out")
    assert found.folder is not None, found.prepared.findings
    return found.folder


# --- PDFs -----------------------------------------------------------------------------------------------------------


@st.composite
def a_page(draw, trim):
    """A page of this trimmed size, as shown."""
    some = st.integers
    percent = some(0, 95)
    shape = st.tuples(percent, percent, some(3, 60), some(3, 60), some(0, 100))
    # However chance falls, no turn or mirror of the page is like itself.
    marks = ((8, 6, 34, 7, 0), (8, 6, 6, 60, 30), (70, 80, 22, 12, 55))
    return Page(
        trim=trim,
        origin=draw(st.tuples(some(-3000, 3000), some(-3000, 3000))),
        turns=draw(some(0, 3)),
        spins=draw(some(-2, 3)),
        unit=draw(st.sampled_from([1, 1, 0.5, 2, 1.25])),
        # Even numbers, so that they are whole pixels in every unit.
        inside=draw(st.none() | st.tuples(*[some(0, 12).map(lambda half: 2 * half)] * 4).filter(any)),
        beyond=draw(st.tuples(*[some(-30, 30)] * 4)),
        corners=draw(st.sampled_from(CORNERS)),
        inherited=draw(st.frozensets(st.sampled_from(["MediaBox", "CropBox", "Rotate", "Resources"]))),
        indirect=draw(st.frozensets(st.sampled_from(["MediaBox", "CropBox", "Rotate", "Resources", "UserUnit"]))),
        forms=draw(st.lists(some(0, len(MATRICES) - 1), max_size=4).map(tuple)),
        shapes=(*draw(st.lists(shape, max_size=6)), *marks),
    )


@st.composite
def booklets(draw):
    trim = draw(st.tuples(st.integers(4, 9), st.integers(5, 12)).map(lambda sides: (20 * sides[0], 20 * sides[1])))
    return draw(st.lists(a_page(trim), min_size=PAGES, max_size=PAGES)), draw(st.booleans())


@settings(ORDINARY, max_examples=6)
@given(booklet=booklets())
def test_any_page_of_a_pdf_comes_out_at_its_place_its_turn_and_its_tone(tmp_path_factory, booklet):
    pages, apart = booklet
    folder = tmp_path_factory.mktemp("pdf")
    files = [[page] for page in pages] if apart else [pages]
    for number, held in enumerate(files, start=1):
        (folder / f"page {number}.pdf").write_bytes(pdf_of(held))
    trim = pages[0].trim
    seen = dict(panels(built(folder, trim, "*.pdf"), 72 * FINE, (trim[1] * FINE, trim[0] * FINE)))
    assert {page for page, _ in seen} == set(range(1, PAGES + 1))
    for (number, _), placed in seen.items():
        page = pages[number - 1]
        file, index = (folder / f"page {number}.pdf", 0) if apart else (folder / "page 1.pdf", number - 1)
        due = trimmed(viewed(file, index, page.unit), page)
        assert matches(due, placed, border=2) < MOST, page
        assert tone_off(due, placed) <= 1, page


def viewed(file, index, unit):
    """Return a page's tones as PDFium shows it, which knows no /UserUnit."""
    with pypdfium2.PdfDocument(file) as document:
        page = document[index]
        wide, high = (round(side * unit * FINE) for side in page.get_size())
        bitmap = pypdfium2.PdfBitmap.new_native(wide, high, raw.FPDFBitmap_Gray)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, wide, high)
        raw.FPDF_RenderPageBitmap(bitmap.raw, page.raw, 0, 0, wide, high, 0, 0)
        tones = 255 - bitmap.to_numpy().reshape(high, -1)[:, :wide]
        page.close()
    return tones


def trimmed(shown, page):
    """Cut a page as shown to its trim, which is stated for the page as it lies."""
    lying = np.rot90(shown, page.turns)
    scale = page.unit * FINE
    left, bottom, right, top = (round(by * scale) for by in page.inside or (0, 0, 0, 0))
    return np.rot90(lying[top : lying.shape[0] - bottom, left : lying.shape[1] - right], -page.turns)


def tone_off(due, placed, reach=3):
    """Return how far the tone is off at the worst pixel around which the page is of one tone."""
    around = np.lib.stride_tricks.sliding_window_view(due, (2 * reach + 1,) * 2)
    flat = around.min(axis=(2, 3)) == around.max(axis=(2, 3))
    inner = (slice(reach, -reach),) * 2
    return np.abs(due[inner].astype(int) - placed[inner])[flat].max()


@pytest.mark.parametrize("wrong", ["turned", "mirrored", "shifted", "pale"])
def test_the_comparison_sees_what_is_wrong(wrong, tmp_path):
    page = Page(
        trim=(100, 140), origin=(0, 0), turns=0, spins=0, unit=1, inside=None, beyond=(0,) * 4, corners=CORNERS[0],
        inherited=frozenset(), indirect=frozenset(), forms=(), shapes=((8, 6, 34, 7, 0), (70, 80, 22, 12, 55)),
    )  # fmt: skip
    file = tmp_path / "page.pdf"
    file.write_bytes(pdf_of([page]))
    right = viewed(file, 0, 1)
    other = {
        "turned": right[::-1, ::-1],
        "mirrored": right[:, ::-1],
        "shifted": np.roll(right, 2, axis=0),
        "pale": (right * 0.98).astype(np.uint8),
    }[wrong]
    assert matches(right, other, border=2) > 3 * MOST or tone_off(right, other) > 1


# --- images ---------------------------------------------------------------------------------------------------------

#: An inch by an inch and a half: a whole number of pixels at any resolution below.
INCHES = (1, 1.5)
WEIGHTS = np.array([299, 587, 114]) / 1000
#: How an orientation is shown (TIFF 6.0, tag 274).
SHOWN = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.swapaxes(0, 1),
    6: lambda a: np.rot90(a, -1),
    7: lambda a: a[::-1, ::-1].swapaxes(0, 1),
    8: lambda a: np.rot90(a),
}
KINDS = (
    "png 1", "png 2", "png 4", "png 8", "png 16", "png gray alpha", "png rgb", "png rgb 16", "png rgb alpha",
    "png palette", "png interlaced", "jpeg gray", "jpeg rgb", "jpeg cmyk", "jpeg progressive", "tiff raw", "tiff lzw",
    "tiff deflate", "tiff fax", "tiff 16", "tiff rgb", "tiff cmyk", "tiff strips",
)  # fmt: skip


@st.composite
def a_picture(draw):
    """A picture's kind, resolution, whether that is stated, orientation, and a number that its samples come from."""
    kind = draw(st.sampled_from(KINDS))
    ppi = draw(st.sampled_from([60, 100] if kind.startswith("png") else [60, 100, 150, 300]))
    return kind, ppi, draw(st.booleans()), draw(st.integers(1, 8)), draw(st.integers(0, 999))


@settings(ORDINARY, max_examples=6)
@given(pictures=st.lists(a_picture(), min_size=PAGES, max_size=PAGES))
def test_any_image_comes_out_at_its_place_its_turn_and_its_tone(tmp_path_factory, pictures):
    folder = tmp_path_factory.mktemp("image")
    due = {number: written(folder, number, *picture) for number, picture in enumerate(pictures, start=1)}
    out = built(folder, tuple(72 * side for side in INCHES), "page*")
    for ppi in {picture[1] for picture in pictures}:
        shape = tuple(round(side * ppi) for side in INCHES[::-1])
        for (number, _), placed in panels(out, ppi, shape):
            if pictures[number - 1][1] == ppi:
                # Through the outermost pixels the trim cuts. Colours round once more than gray.
                off = np.abs(due[number].astype(int) - placed)[1:-1, 1:-1].max()
                assert off <= (1 if is_mixed(pictures[number - 1][0]) else 0), (number, pictures[number - 1])


def is_mixed(kind):
    return any(word in kind for word in ("rgb", "cmyk", "palette", "alpha"))


def written(folder, number, kind, ppi, stated, orientation, seed):
    """Write a picture as file `number` and return the tones that are due, as shown."""
    wide, high = (round(side * ppi) for side in (INCHES if orientation < 5 else INCHES[::-1]))
    dice = np.random.default_rng(seed)
    way, *words = kind.split()
    make = {"png": a_png, "jpeg": a_jpeg, "tiff": a_tiff}[way]
    data, lightness = make(dice, wide, high, words, ppi if stated else None, orientation)
    (folder / f"page {number}.{way}").write_bytes(data)
    return SHOWN[orientation](255 - np.floor(lightness + 0.5).astype(int))


def samples(dice, wide, high, most, channels=1):
    """Blocks of random tones with some grain."""
    coarse = dice.integers(0, most + 1, (high // 6 + 1, wide // 6 + 1, channels))
    fine = np.kron(coarse, np.ones((6, 6, 1), int))[:high, :wide]
    return np.clip(fine + dice.integers(-most // 16, most // 16 + 1, fine.shape), 0, most)


def on_white(lightness, alpha):
    return lightness * alpha + 255 * (1 - alpha)


def a_png(dice, wide, high, words, ppi, orientation):
    """A PNG written by hand, and its lightness, 0 … 255."""
    per_metre = None if ppi is None else (round(ppi / 0.0254),) * 2
    colour, depth, channels = {
        "palette": (3, 8, 1), "gray": (4, 8, 2), "rgb": (6 if "alpha" in words else 2, 8, 3 + ("alpha" in words)),
    }.get(words[0], (0, 8, 1))  # fmt: skip
    depth = int(words[-1]) if words[-1].isdigit() else depth
    most = 2**depth - 1
    given = samples(dice, wide, high, most, channels)
    palette = dice.integers(0, 256, (256, 3)) if colour == 3 else None
    data = png(
        given, depth=depth, colour_type=colour, interlaced="interlaced" in words, per_metre=per_metre,
        palette=b"" if palette is None else palette.astype(np.uint8).tobytes(), exif=turn_tag(orientation),
    )  # fmt: skip
    if palette is not None:
        return data, palette[given[..., 0]] @ WEIGHTS
    values = given * (255 / most)
    lightness = values[..., :3] @ WEIGHTS if channels >= 3 else values[..., 0]
    return data, on_white(lightness, given[..., -1] / most) if channels in (2, 4) else lightness


def turn_tag(orientation):
    tags = Image.Exif()
    tags[0x0112] = orientation
    return tags.tobytes()[6:]


def a_jpeg(dice, wide, high, words, ppi, orientation):
    """A JPEG, and the lightness of what its coding has left of the samples."""
    channels = {"rgb": 3, "cmyk": 4}.get(words[0], 1)
    given = samples(dice, wide, high, 255, channels).astype(np.uint8)
    tags = Image.Exif()
    tags[0x0112] = orientation
    saved = io.BytesIO()
    stated = {} if ppi is None else {"dpi": (ppi, ppi)}
    as_picture(given).save(saved, "JPEG", quality=90, progressive="progressive" in words, exif=tags, **stated)
    with Image.open(saved) as again:
        if channels == 3:
            # The Y that is coded is red, green and blue by the weights, before any of them is cut off (ITU-T T.871, 7).
            again.draft("YCbCr", again.size)
        left = np.asarray(again).reshape(high, wide, channels).astype(float)
    return saved.getvalue(), left[..., 0] if channels == 3 else lightness_of(left)


def a_tiff(dice, wide, high, words, ppi, orientation):
    channels, most = {"rgb": (3, 255), "cmyk": (4, 255), "16": (1, 65535)}.get(words[0], (1, 255))
    given = samples(dice, wide, high, most, channels)
    fax = words[0] == "fax"
    if fax:
        given = (given > 127) * 255
    picture = as_picture(given.astype(np.uint16 if most > 255 else np.uint8))
    if fax:
        picture = picture.convert("1", dither=Image.Dither.NONE)
    packing = {"lzw": "tiff_lzw", "deflate": "tiff_adobe_deflate", "fax": "group4"}.get(words[0])
    saved = io.BytesIO()
    stated = {} if ppi is None else {"dpi": (ppi, ppi)}
    rows = 7 if words[0] == "strips" else high
    picture.save(saved, "TIFF", compression=packing, tiffinfo={274: orientation, 278: rows}, **stated)
    return saved.getvalue(), lightness_of(given * (255 / most))


def as_picture(given):
    """Return samples as a picture in the library's hands, only to be written."""
    if given.shape[2] == 4:
        return Image.frombytes("CMYK", given.shape[1::-1], given.tobytes())
    return Image.fromarray(given.squeeze(axis=2) if given.shape[2] == 1 else given)


def lightness_of(values):
    """Return the lightness of gray, of red, green and blue, or of process inks, which darken by the same weights."""
    if values.shape[2] == 4:
        return 255 - np.minimum(255, values[..., :3] @ WEIGHTS + values[..., 3])
    return values @ WEIGHTS if values.shape[2] == 3 else values[..., 0]
