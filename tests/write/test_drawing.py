"""Marks on the canvas: where the ink falls, how dark, and that nothing but gray and one embedded type is used."""

from __future__ import annotations

import re
from io import BytesIO

import numpy as np
import pikepdf
import pypdf
import pypdfium2
import pytest
from numpy.typing import NDArray

from imposer.geometry import Box, Size
from imposer.sheet.model import Arrow, Label, Patch, Ring, Stroke, Words
from imposer.write.drawing import Mark, draw_label, draw_marks, marks_pdf

PAGE = Size(100, 60)
LABEL = Label(
    title="Moth Hours", sheet=2, of=4, side="front", x=5, y=5, size=3, turn=0, title_room=30,
    longest_rest=" · sheet 4 of 4 · front · pass 2 · drum 2 · lamp black", ink="lamp black",
)  # fmt: skip


def drawn(*marks: Mark) -> bytes:
    return marks_pdf([(PAGE, lambda canvas: draw_marks(canvas, marks))])


def pixels(pdf: bytes) -> NDArray[np.uint8]:
    """Return the first page at 10 pixels a millimetre, row 0 at the foot of the page, so that [y, x] are 0.1 mm."""
    page = pypdfium2.PdfDocument(pdf)[0]
    image: NDArray[np.uint8] = page.render(scale=10 * 25.4 / 72, grayscale=True).to_numpy().squeeze()
    return image[::-1][:600, :1000]


def ink_box(image: NDArray[np.uint8]) -> tuple[float, float, float, float]:
    ys, xs = np.nonzero(image < 128)
    return xs.min() / 10, ys.min() / 10, (xs.max() + 1) / 10, (ys.max() + 1) / 10


def test_patch_fills_its_box_at_its_tone() -> None:
    image = pixels(drawn(Patch("tone", Box(20, 30, 40, 50), 0.3)))
    assert image[400, 300] == pytest.approx(255 * 0.7, abs=1)
    assert image[295, 300] == image[400, 195] == image[505, 300] == image[400, 405] == 255


def test_stroke_is_centred_on_its_line() -> None:
    assert ink_box(pixels(drawn(Stroke("crop", 10, 20, 30, 20, 1)))) == pytest.approx((10, 19.5, 30, 20.5), abs=0.1)


def test_dashes_are_as_long_as_asked() -> None:
    row = pixels(drawn(Stroke("fold", 10, 20, 40, 20, 1, dash=(4, 2))))[200] < 128
    starts = np.flatnonzero(np.diff(row.astype(int)) == 1) + 1
    assert starts.tolist() == pytest.approx([100, 160, 220, 280, 340], abs=1)
    assert row[100:400].mean() == pytest.approx(4 / 6, abs=0.02)


def test_ring_is_open() -> None:
    image = pixels(drawn(Ring("registration", 50, 30, 5, 0.5)))
    assert ink_box(image) == pytest.approx((44.75, 24.75, 55.25, 35.25), abs=0.15)
    assert image[300, 500] == 255


@pytest.mark.parametrize(
    ("edge", "tip"), [("left", (41, 30)), ("right", (59, 30)), ("bottom", (50, 21)), ("top", (50, 39))]
)
def test_arrow_has_its_tip_at_the_lead_edge(edge: str, tip: tuple[int, int]) -> None:
    image = pixels(drawn(Arrow("lead", Box(40, 20, 60, 40), edge)))  # type: ignore[arg-type]
    assert image[tip[1] * 10, tip[0] * 10] < 128
    opposite = 100 - tip[0], 60 - tip[1]
    # The base is as broad as the box: its two corners are inked, those at the tip are bare.
    across = (0, 9) if edge in ("left", "right") else (9, 0)
    for sign in (1, -1):
        base = image[(opposite[1] + sign * across[1]) * 10, (opposite[0] + sign * across[0]) * 10]
        assert base < 128
        assert image[(tip[1] + sign * across[1]) * 10, (tip[0] + sign * across[0]) * 10] == 255


@pytest.mark.parametrize(("turn", "where"), [(0, (1, 1)), (90, (-1, 1)), (180, (-1, -1)), (270, (1, -1))])
def test_text_turns_about_its_start(turn: int, where: tuple[int, int]) -> None:
    x0, y0, x1, y1 = ink_box(pixels(drawn(Words("scale", "HHHHH", 50, 30, 4, turn))))  # type: ignore[arg-type]
    centre = (x0 + x1) / 2 - 50, (y0 + y1) / 2 - 30
    assert np.sign(centre).tolist() == list(where)
    assert (x1 - x0 > y1 - y0) == (turn in (0, 180))


def test_label_shortens_the_title_and_never_the_rest() -> None:
    long = Label("A title " * 20, 2, 4, "front", 5, 5, 2, 0, 20, LABEL.longest_rest, "lamp black")
    pdf = marks_pdf([(Size(200, 20), lambda canvas: draw_label(canvas, long, long.after_title(1, 2)))])
    text = pypdf.PdfReader(BytesIO(pdf)).pages[0].extract_text()
    assert re.fullmatch(r"A title.*…  ?· sheet 2 of 4 · front · pass 1 · drum 2 · lamp black", text.strip())


def test_text_is_drawn_as_typed() -> None:
    title = "<b>Été</b> & Ночь ☂ \N{GRINNING FACE}"
    label = Label(title, 1, 1, "back", 5, 5, 3, 0, 90, "", "rose")
    pdf = marks_pdf([(PAGE, lambda canvas: draw_label(canvas, label, ""))])
    assert pypdf.PdfReader(BytesIO(pdf)).pages[0].extract_text().strip() == "<b>Été</b> & Ночь ☂ □"


def test_marks_leave_labels_to_the_writer() -> None:
    assert (pixels(drawn(LABEL)) == 255).all()


def test_only_gray_and_embedded_type() -> None:
    pdf = drawn(
        Patch("tone", Box(1, 1, 9, 9), 0.5), Words("scale", "100 mm", 5, 20, 3), Ring("registration", 9, 9, 2, 1)
    )
    with pikepdf.open(BytesIO(pdf)) as document:
        page = document.pages[0]
        operators = {str(instruction.operator) for instruction in pikepdf.parse_content_stream(page)}
        fonts = list(page.resources["/Font"].values())
        embedded = ["/FontFile2" in font["/FontDescriptor"] for font in fonts]
    assert operators.isdisjoint({"rg", "RG", "k", "K", "cs", "CS", "sc", "scn", "SC", "SCN", "gs"})
    assert embedded == [True]


def test_pages_have_their_own_sizes() -> None:
    pdf = marks_pdf([(Size(420, 297), lambda _: None), (Size(297, 420), lambda _: None)])
    boxes = [page.mediabox for page in pypdf.PdfReader(BytesIO(pdf)).pages]
    found = [(float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) for box in boxes]
    assert found == [pytest.approx((420, 297), abs=0.001), pytest.approx((297, 420), abs=0.001)]


def test_same_marks_same_bytes() -> None:
    marks = (Words("scale", "100 mm", 5, 5, 3), Patch("tone", Box(20, 30, 40, 50), 0.3))
    assert drawn(*marks) == drawn(*marks)


def test_no_pages_is_a_bug() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        marks_pdf([])
