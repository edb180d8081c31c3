"""PDF pages in, gray pixels out, by a renderer that works in another process.

The renderer is a large C library that hostile pages can hang or bring down. It is never called here: a few children
(`render_worker`) do it, live as long as this process and are ended where they take too long. A child's death becomes
one plain line that names the file and the page.
"""

from __future__ import annotations

import atexit
import contextlib
import io
import json
import math
import os
import struct
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, cast

import numpy as np

from imposer.errors import Fault, ImposerError
from imposer.geometry import Size
from imposer.limits import LIMITS, Limits, millions, or_raise
from imposer.pages.scratch import scratch_folder
from imposer.units import show

if TYPE_CHECKING:
    from numpy.typing import NDArray

_MM_PER_INCH = 25.4

#: Pages are drawn at no fewer pixels an inch than this and averaged: the renderer draws no line thinner than a pixel,
#: so a thin line drawn coarsely comes out heavier than it is.
_LEAST_PPI = 300.0
#: How long a child may take to start, on a slow disk and a busy machine, seconds.
_START = 60.0
#: What it says then; `render_worker` has the same.
READY = b"ready"
#: An edge this near a whole pixel is meant to lie on it, pixels.
_SNAP = 0.02


@dataclass(frozen=True, slots=True)
class _Grid:
    """How a page lies on pixels."""

    width: int
    height: int
    #: Pixels a mm.
    across: float
    down: float

    @classmethod
    def of(cls, size: Size, ppi: float) -> _Grid:
        """Lay a size on pixels at the true scale; only what is a hair off a whole pixel is stretched to it."""
        (width, across), (height, down) = (_side(mm, ppi) for mm in (size.width, size.height))
        return cls(width, height, across, down)


def _side(mm: float, ppi: float) -> tuple[int, float]:
    exact = mm * ppi / _MM_PER_INCH
    pixels = max(1, round(exact))
    return pixels, pixels / mm if abs(exact - pixels) < _SNAP else ppi / _MM_PER_INCH


def render_tones(
    file: Path,
    index: int,
    size_mm: Size,
    ppi: float,
    *,
    shown: str | None = None,
    place: str | None = None,
    annotations: bool = False,
    pages_on_it: int = 1,
    limits: Limits,
) -> NDArray[np.uint8]:
    """Return the tones of a page that is gray already, as (height, width) uint8, 0 = bare paper, 255 = full tone.

    Colours come out as the renderer sees them (100 % K is not full tone there): rewrite them to gray first.

    Args:
        file: the PDF.
        index: which page, from 0.
        size_mm: the page as a viewer shows it, mm; `/UserUnit` included.
        ppi: pixels an inch. The array has `round(mm * ppi / 25.4)` pixels each way, the first at the upper left corner.
        shown: the file in words, for faults.
        place: the page in words, for faults, where it is not this one (a page rendered from a copy).
        annotations: whether annotations are drawn too.
        pages_on_it: how many pages' art lies on it, each of which may take its time.
        limits: pixels, memory and seconds the page may take.

    Raises:
        ImposerError: the page cannot be rendered within the limits.
    """
    place = place or f"page {index + 1}"
    grid = _Grid.of(size_mm, ppi)
    times = max(1, math.ceil(_LEAST_PPI / ppi))
    if grid.width * grid.height * times * times > limits.image_pixels:
        size = f"{show(size_mm.width)} × {show(size_mm.height)} mm"
        problem = f"of {size} at {ppi:g} ppi has more than {millions(limits.image_pixels)} pixels"
        raise ImposerError(
            Fault(file=shown or file, place=place, problem=problem, mend=or_raise("image_pixels", "export it smaller"))
        )
    request = {
        "file": str(file.absolute()),
        "page": index,
        "width": grid.width,
        "height": grid.height,
        "across": grid.across,
        "down": grid.down,
        "size": [size_mm.width, size_mm.height],
        "reduce": times,
        "annotations": annotations,
    }
    try:
        pixels = _POOL.ask(request, limits, max(1, pages_on_it))
    except _WorkerError as error:
        raise ImposerError(Fault(file=shown or file, place=place, problem=str(error), mend=error.mend)) from error
    tones = np.frombuffer(pixels, np.uint8)
    np.bitwise_not(tones, out=tones)
    return tones.reshape(grid.height, grid.width)


def render_pdf_page(
    file: Path, index: int = 0, ppi: float = 72.0, *, shown: str | None = None, limits: Limits = LIMITS
) -> NDArray[np.uint8]:
    """Return the tones of a finished, gray page at its own size, annotations drawn; see `render_tones`.

    Raises:
        ImposerError: the page cannot be read or rendered within the limits.
    """
    from imposer.pages.pdf_source import open_source

    source = open_source(file, shown or str(file), limits)
    if not 0 <= index < len(source.pages):
        raise source.fault(index, f"is not there; the file has {len(source.pages)}")
    space = source.space(index)
    return render_tones(file, index, space.visible_size, ppi, shown=shown, annotations=True, limits=limits)


def end_workers() -> None:
    """End every child; the next page starts new ones."""
    _POOL.end()


class _WorkerError(Exception):
    """Why a child gave no page, in words for people; `key` is the limit that ended it, where it was one."""

    def __init__(self, problem: str, key: str | None = None) -> None:
        super().__init__(problem)
        mend = "export the page as an image"
        self.mend = or_raise(key, mend) if key else mend


def _scratch() -> str:
    """Return the folder that a child takes away should this process be killed; "" if there is none."""
    try:
        return str(scratch_folder())
    except OSError:
        return ""


class _Worker:
    """One child and the pipes to it."""

    def __init__(self, limits: Limits) -> None:
        import imposer

        self.limits = limits
        home = Path(imposer.__file__).parent.parent
        path = os.pathsep.join([str(home), *filter(None, [os.environ.get("PYTHONPATH")])])
        self._process = subprocess.Popen(
            [sys.executable, "-m", "imposer.pages.render_worker", str(limits.render_bytes), _scratch()],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=os.environ | {"PYTHONPATH": path},
        )

    @property
    def alive(self) -> bool:
        return self._process.poll() is None

    def start(self) -> None:
        """Wait until the child is ready: how long that takes is no page's fault.

        Raises:
            _WorkerError: it does not start.
        """
        asleep = _WorkerError(f"cannot be drawn: the renderer does not start in {_START:g} s and {self._memory}")
        self._within(_START, lambda: self._read(len(READY)), asleep, asleep)

    def ask(self, request: dict[str, object], pages: int = 1) -> bytearray:
        """Return the pixels of a page.

        Raises:
            _WorkerError: the child said no, died or took too long.
        """
        seconds = self.limits.render_seconds * pages
        body = json.dumps(request).encode()
        return self._within(
            seconds,
            lambda: self._answer(body),
            _WorkerError(f"takes longer than {seconds:g} s to draw", "render_seconds"),
            _WorkerError(f"is more than the renderer can draw in {self._memory}", "render_bytes"),
        )

    @property
    def _memory(self) -> str:
        return f"{self.limits.render_bytes / 1e6:.0f} MB"

    def _within(
        self, seconds: float, work: Callable[[], bytearray], too_late: _WorkerError, dead: _WorkerError
    ) -> bytearray:
        """Do some talking with the child; end it if that takes too long."""
        late = threading.Event()

        def end() -> None:
            late.set()
            self._process.kill()

        timer = threading.Timer(seconds, end)
        timer.daemon = True
        timer.start()
        try:
            return work()
        except (OSError, EOFError) as error:
            self.end()
            raise (too_late if late.is_set() else dead) from error
        except _WorkerError:
            raise
        except BaseException:
            # Interrupted with an answer half read: what comes next on this pipe would be taken for another page.
            self.end()
            raise
        finally:
            timer.cancel()

    def _answer(self, body: bytes) -> bytearray:
        stdin = self._process.stdin
        if stdin is None:
            raise EOFError
        stdin.write(struct.pack(">I", len(body)) + body)
        stdin.flush()
        answer = json.loads(self._read(struct.unpack(">I", self._read(4))[0]))
        if "memory" in answer:
            raise _WorkerError(f"takes more than {self._memory} of memory to draw", "render_bytes")
        if "problem" in answer:
            raise _WorkerError(answer["problem"])
        return self._read(answer["pixels"])

    def _read(self, count: int) -> bytearray:
        return _exactly(cast(io.BufferedReader, self._process.stdout), count)

    def end(self) -> None:
        self._process.kill()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        self._process.wait()


def _exactly(stream: io.BufferedReader, count: int) -> bytearray:
    data = bytearray(count)
    rest = memoryview(data)
    while rest:
        # A pipe gives what it has; a child that died gives nothing.
        got = stream.readinto(rest)
        if not got:
            raise EOFError
        rest = rest[got:]
    return data


class _Pool:
    """At most two children: more would not fit beside one another in memory on a small machine."""

    def __init__(self) -> None:
        self._idle: list[_Worker] = []
        self._lock = threading.Lock()
        self._free = threading.BoundedSemaphore(min(2, os.cpu_count() or 1))

    def ask(self, request: dict[str, object], limits: Limits, pages: int = 1) -> bytearray:
        with self._free:
            worker = self._take(limits)
            try:
                return worker.ask(request, pages)
            finally:
                if worker.alive:
                    with self._lock:
                        self._idle.append(worker)

    def _take(self, limits: Limits) -> _Worker:
        with self._lock:
            for worker in self._idle:
                if worker.limits == limits:
                    self._idle.remove(worker)
                    return worker
            # Others are idle under other limits: they make room.
            unfit, self._idle = self._idle, []
        for worker in unfit:
            worker.end()
        worker = _Worker(limits)
        worker.start()
        return worker

    def end(self) -> None:
        with self._lock:
            idle, self._idle = self._idle, []
        for worker in idle:
            worker.end()


_POOL = _Pool()
atexit.register(end_workers)
