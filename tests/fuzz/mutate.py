"""Seeds of every kind of file that is read, and mutations of them. Everything follows from one number."""

from __future__ import annotations

import io
from random import Random

import numpy as np
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from tests.folders import page_tones
from tests.pages.plate_cells import CELLS, page_of

TRIM = (40, 50)

JOB = b"""title = "Fuzz"
copies = 12
shop = "shop.toml"
[page]
trim = [40, 50]
bleed = "1 mm"
[binding]
style = "gathered"
pieces_per_signature = 2
creep = "round"
[sheet]
size = "A4"
paper = "white"
turn = "tumble"
[marks]
tone = false
[[ink]]
name = "black"
pages = "*.png"
"""

SHOP = b"""[machine]
drums = 2
largest_sheet = "A3"
lead = { A4 = "long edge", default = "short edge" }
margins = { lead = 5, tail = 2, sides = 3 }
careful = 10
roller_track = 60
drift = { same_pass = 0.5, between_passes = 1.0, sides = 2.0 }
[machine.overs]
run = 2
[[paper]]
name = "white"
weight = "60 lb text"
bulk = 1.3
colour = "#ffffff"
sizes = { A3 = 0.06, A4 = 0.03 }
[[ink]]
name = "lamp"
also = ["black", "k"]
colour = "#222222"
"""

#: Words that mean something to one of the readers, put where nobody expects them.
WORDS = [
    b"/Rotate 450", b"/MediaBox [0 0 1e9 1e9]", b"/MediaBox [0 0 0 0]", b"/Length 999999999", b"/Kids [1 0 R]",
    b"<<", b">>", b"endobj", b"stream\n", b"endstream", b"%%EOF", b"xref", b"trailer",
    b"/Filter [/FlateDecode /FlateDecode]", b"/W [1 2 2]", b"/Type /Page", b"BT", b"ET", b"q", b"Q", b"Do",
    b"/F1 12 Tf", b"1e999", b"nan", b"inf", b"-1", b"99999999999999999999", b"\x00", b"\xff\xff\xff\xff",
    b"\xff\xd8\xff", b"IDAT", b"IHDR", b"IEND", b"pHYs", b"tRNS", b"[[[[", b"]]", b'"""', b"'''", b"= {",
    b"\n[page]\n", b"trim = [1, 2, 3]", b"copies = 1e99", b"1979-05-27", b"true", b"[[ink]]", b"\\u0000",
    b"\xf0\x9f\xa6\x8b",
]  # fmt: skip


def seeds() -> dict[str, list[bytes]]:
    """Small sound files of every kind."""
    gray = page_tones(3, ppi=100, trim=TRIM)
    picture = Image.fromarray(gray)
    colour = Image.merge("RGB", [picture, picture.point(lambda v: v // 2), picture])
    alpha = Image.merge("LA", [picture, picture])
    return {
        "job": [JOB],
        "shop": [SHOP],
        "png": [_saved(im, "PNG") for im in (picture, picture.convert("1"), colour, alpha, colour.quantize(16))]
        + [_saved(Image.fromarray(gray.astype(np.uint16) * 257), "PNG")],
        "jpeg": [_saved(im, "JPEG") for im in (picture, colour, colour.convert("CMYK"))]
        + [_saved(colour, "JPEG", progressive=True)],
        "tiff": [_saved(picture, "TIFF", compression=c) for c in ("raw", "tiff_lzw", "tiff_adobe_deflate")]
        + [_saved(picture.convert("1"), "TIFF", compression="group4"), _saved(colour.convert("CMYK"), "TIFF")],
        "pdf": [_pdf(compress=0), _pdf(compress=1), _pdf_with_image(picture), *_plates()],
    }


def _plates() -> list[bytes]:
    """Pages in process and spot colours: overprinting, images, shadings, patterns, forms."""
    wanted = ("overprinted by a spot", "image in two spots", "spot shading", "coloured tiles", "soft mask")
    found = []
    for cell in CELLS:
        if cell.name in wanted:
            with page_of(cell.drawing, cell.things) as pdf:
                written = io.BytesIO()
                pdf.save(written, deterministic_id=True, compress_streams=False)
                found.append(written.getvalue())
    return found


def mutated(data: bytes, random: Random) -> bytes:
    """A few changes: bits, bytes, words, cuts, copies, swaps."""
    made = bytearray(data)
    for _ in range(random.choice((1, 1, 1, 2, 3, 8, 30))):
        at = random.randrange(len(made) + 1)
        match random.randrange(9):
            case 0 if made:
                made[at % len(made)] ^= 1 << random.randrange(8)
            case 1 if made:
                made[at % len(made)] = random.choice((0, 1, 0x7F, 0x80, 0xFF, random.randrange(256)))
            case 2:
                made[at:at] = random.choice(WORDS)
            case 3:
                word = random.choice(WORDS)
                made[at : at + len(word)] = word
            case 4:
                del made[at : at + random.choice((1, 4, 40, 400))]
            case 5:
                del made[at:]
            case 6:
                piece = bytes(made[at : at + random.randrange(1, 200)])
                there = random.randrange(len(made) + 1)
                made[there:there] = piece
            case 7:
                made[at:at] = random.randbytes(random.randrange(1, 20))
            case 8 if made:
                number = random.choice((b"0", b"-1", b"65536", b"2147483648", b"0.0000001"))
                digits = [i for i, value in enumerate(made) if 48 <= value <= 57]
                if digits:
                    place = random.choice(digits)
                    made[place : place + 1] = number
    return bytes(made)


def _saved(picture: Image.Image, kind: str, **options: object) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, kind, dpi=(100, 100), **options)
    return buffer.getvalue()


def _pdf(*, compress: int) -> bytes:
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(113.4, 141.7), pageCompression=compress, invariant=1)
    for page in (1, 2):
        canvas.drawString(10, 10, f"page {page}")
        canvas.setFillColorCMYK(0.2, 0.4, 0.1, 0.3)
        canvas.rect(30, 30, 40, 40, fill=1)
        canvas.linearGradient(0, 0, 50, 90, ((1, 0, 0), (0, 0, 1)))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _pdf_with_image(picture: Image.Image) -> bytes:
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(113.4, 141.7), invariant=1)
    canvas.drawInlineImage(picture.resize((30, 40)), 5, 5, 50, 60)
    canvas.drawInlineImage(picture.convert("RGB").resize((20, 20)), 60, 60, 30, 30)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()
