"""The child that renders PDF pages: requests on standard input, gray pixels on standard output.

A process of its own because a renderer meets hostile drawings and may hang, take all memory or end the whole process;
here it can be ended without harm. It knows nothing of the program but the numbers it is sent.

First it says `ready`. A request is a length (4 bytes, big-endian) and that much JSON: `file`, `page`, `width`, `height`
(pixels), `across`, `down` (pixels a mm), `size` (the page as shown, mm), `reduce` (pixels averaged each way) and
`annotations`. An answer is a length and JSON: `problem`, or `memory` (there is too little), or `pixels`, how many bytes
follow (one a pixel, the top row first, 0 = black, 255 = white).
"""

from __future__ import annotations

import contextlib
import ctypes
import json
import os
import queue
import shutil
import signal
import struct
import sys
import threading
from collections import OrderedDict
from typing import Any, BinaryIO

import pypdfium2
import pypdfium2.raw as pdfium

#: Documents kept open: pages of one file are mostly asked for in a row.
_KEPT = 4

#: Said once, before the first answer.
READY = b"ready"

_room = bytearray(0)
_documents: OrderedDict[tuple[str, int, int], Any] = OrderedDict()


class RenderError(Exception):
    """A page that the renderer cannot draw, in words."""


def render(request: dict[str, Any]) -> memoryview:
    """Render one page as the module's text says.

    Raises:
        RenderError: the renderer cannot open the file or load the page.
    """
    document = _document(request["file"])
    page = pdfium.FPDF_LoadPage(document.raw, request["page"])
    if not page:
        raise RenderError("the renderer cannot read the page")
    try:
        return _drawn(page, request)
    finally:
        pdfium.FPDF_ClosePage(page)


def _drawn(page: Any, request: dict[str, Any]) -> memoryview:  # noqa: ANN401 - a C pointer has no type to speak of
    times = request["reduce"]
    width, height = request["width"] * times, request["height"] * times
    # The renderer measures a page in its own units; the caller knows how many mm it has, /UserUnit and all.
    across = request["across"] * request["size"][0] / pdfium.FPDF_GetPageWidthF(page) * times
    down = request["down"] * request["size"][1] / pdfium.FPDF_GetPageHeightF(page) * times
    pixels = _pixels(width * height)
    buffer = (ctypes.c_char * len(pixels)).from_buffer(pixels)
    bitmap = pdfium.FPDFBitmap_CreateEx(width, height, pdfium.FPDFBitmap_Gray, buffer, width)
    if not bitmap:
        raise MemoryError
    try:
        pdfium.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
        matrix = pdfium.FS_MATRIX(across, 0, 0, down, 0, 0)
        clip = pdfium.FS_RECTF(0, 0, width, height)
        flags = pdfium.FPDF_ANNOT if request["annotations"] else 0
        pdfium.FPDF_RenderPageBitmapWithMatrix(bitmap, page, matrix, clip, flags)
    finally:
        pdfium.FPDFBitmap_Destroy(bitmap)
    return _reduced(pixels, width, height, times)


def _pixels(count: int) -> memoryview:
    """Return room for pixels, the same again and again: fresh memory costs as much as drawing."""
    global _room
    if len(_room) < count:
        _room = bytearray(0)
        _room = bytearray(count)
    return memoryview(_room)[:count]


def _reduced(pixels: memoryview, width: int, height: int, times: int) -> memoryview:
    """Average squares of pixels, so that thin lines grow pale but do not vanish."""
    if times == 1:
        return pixels
    from PIL import Image

    # Any buffer will do, whatever the stubs say.
    image = Image.frombuffer("L", (width, height), pixels, "raw", "L", 0, 1)  # type: ignore[arg-type]
    return memoryview(image.reduce(times).tobytes())


def _document(file: str) -> Any:  # noqa: ANN401 - the renderer's own document
    stat = os.stat(file)  # noqa: PTH116 - the name may hold bytes that are no text
    key = (file, stat.st_mtime_ns, stat.st_size)
    if key in _documents:
        _documents.move_to_end(key)
        return _documents[key]
    try:
        document = pypdfium2.PdfDocument(open(file, "rb"), autoclose=True)  # noqa: SIM115, PTH123
    except pypdfium2.PdfiumError as error:
        raise RenderError("the renderer cannot open the file") from error
    _documents[key] = document
    while len(_documents) > _KEPT:
        _documents.popitem(last=False)[1].close()
    return document


def bound_memory(most: int) -> None:
    """Bound this process's address space, where the system can."""
    if sys.platform != "win32":
        import resource

        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_AS, (most, most))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def serve(requests: BinaryIO, answers: BinaryIO, scratch: str = "") -> None:
    """Answer requests until the other side is gone, also in the midst of a page; then clear its scratch folder away."""
    waiting: queue.SimpleQueue[bytes] = queue.SimpleQueue()

    def listen() -> None:
        while True:
            head = requests.read(4)
            if len(head) < 4:
                # Whoever asked was killed (or it would have ended this process first), and left its files behind.
                if scratch:
                    shutil.rmtree(scratch, ignore_errors=True)
                os._exit(0)
            waiting.put(requests.read(struct.unpack(">I", head)[0]))

    threading.Thread(target=listen, daemon=True).start()
    answers.write(READY)
    answers.flush()
    while True:
        body = memoryview(b"")
        try:
            body = render(json.loads(waiting.get()))
            answer: dict[str, Any] = {"pixels": len(body)}
        except RenderError as problem:
            answer = {"problem": str(problem)}
        except MemoryError:
            answer = {"memory": "too little"}
        except OSError as error:
            answer = {"problem": f"cannot be read ({error.strerror or error})"}
        head = json.dumps(answer).encode()
        answers.write(struct.pack(">I", len(head)) + head)
        answers.write(body)
        answers.flush()


def main() -> None:
    """Serve standard input; the arguments are the bound on memory in bytes and the scratch folder of the caller."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    bound_memory(int(sys.argv[1]))
    serve(sys.stdin.buffer, sys.stdout.buffer, *sys.argv[2:])


if __name__ == "__main__":
    main()
