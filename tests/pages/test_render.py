"""The rendering worker: exact sizes and tones, and a death that is one plain line."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pikepdf
import pytest
from pikepdf import Dictionary, Name

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.limits import LIMITS
from imposer.pages import pdfs, render
from imposer.pages.render import end_workers, render_pdf_page, render_tones
from tests.oracle import SHARE, matches
from tests.pages.traps import ART, new
from tests.pages.viewer import as_viewed

PAGE = Size(200 * 25.4 / 72, 300 * 25.4 / 72)


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    file = tmp_path_factory.mktemp("render") / "page.pdf"
    new().save(file)
    return file


def ramp(file, tones=256):
    """Write a page of one point a tone, 0 … 255."""
    content = b"".join(b"%f g %d 0 1 10 re f " % (1 - tone / 255, tone) for tone in range(tones))
    new(content, box=(0, 0, tones, 10)).save(file)


def image_page(file, pixels, ppi, at=0.0):
    """Write a page that is an image at its own resolution."""
    height, width = pixels.shape
    points = (width * 72 / ppi, height * 72 / ppi)
    pdf = new(b"q %f 0 0 %f 0 0 cm /I Do Q" % points, box=(0, 0, *points))
    image = pdf.make_stream(pixels.tobytes())
    image.Type, image.Subtype, image.Width, image.Height = Name.XObject, Name.Image, width, height
    image.ColorSpace, image.BitsPerComponent = Name.DeviceGray, 8
    pdf.pages[0].Resources.XObject = Dictionary(I=image)
    pdf.save(file)
    return Size(points[0] * 25.4 / 72, points[1] * 25.4 / 72)


class TestTones:
    def test_every_gray_is_exact(self, tmp_path):
        file = tmp_path / "ramp.pdf"
        ramp(file)
        tones = render_tones(file, 0, Size(256 * 25.4 / 72, 10 * 25.4 / 72), 72, limits=LIMITS)
        assert (tones == np.arange(256)).all()

    def test_the_page_is_the_viewer_s(self, page):
        assert matches(as_viewed(page, ppi=360), render_tones(page, 0, PAGE, 360, limits=LIMITS)) < SHARE

    def test_an_image_at_its_own_resolution_comes_back_bit_for_bit(self, tmp_path):
        file = tmp_path / "image.pdf"
        pixels = np.arange(131 * 97, dtype=np.int64).reshape(131, 97).astype(np.uint8)
        size = image_page(file, pixels, 600)
        assert (render_tones(file, 0, size, 600, limits=LIMITS) == 255 - pixels).all()

    @pytest.mark.parametrize("ppi", [10, 72, 100, 150, 299.7, 600])
    def test_the_array_is_as_large_as_promised(self, page, ppi):
        tones = render_tones(page, 0, PAGE, ppi, limits=LIMITS)
        assert tones.shape == (round(PAGE.height * ppi / 25.4), round(PAGE.width * ppi / 25.4))
        assert tones.dtype == np.uint8

    def test_a_page_thinner_than_a_pixel_has_one(self, tmp_path):
        file = tmp_path / "thin.pdf"
        new(b"0 g 0 0 10 300 re f", box=(0, 0, 10, 300)).save(file)
        assert render_tones(file, 0, Size(10 * 25.4 / 72, 300 * 25.4 / 72), 4, limits=LIMITS).shape == (17, 1)

    def test_thin_lines_grow_pale_and_do_not_vanish(self, tmp_path):
        """A hairline of 0.24 pt on 72 ppi darkens its pixels by about its share of them."""
        file = tmp_path / "line.pdf"
        new(b"0 g 50 0 0.24 300 re f").save(file)
        tones = render_tones(file, 0, PAGE, 72, limits=LIMITS)[150]
        assert 0.1 < tones.astype(float).sum() / 255 < 0.5

    def test_reduction_keeps_the_mean(self, page):
        fine, coarse = render_tones(page, 0, PAGE, 360, limits=LIMITS), render_tones(page, 0, PAGE, 72, limits=LIMITS)
        assert abs(fine.mean() - coarse.mean()) < 0.5

    def test_no_page_is_stretched(self, tmp_path):
        """A page of 100.3 pixels across has 100: what is 50 pixels from its edge stays there."""
        file = tmp_path / "odd.pdf"
        new(b"0 g 50 0 10 50 re f", box=(0, 0, 100.3, 50)).save(file)
        tones = render_tones(file, 0, Size(100.3 * 25.4 / 72, 50 * 25.4 / 72), 720, limits=LIMITS)
        inked = np.flatnonzero(tones[200] > 127)
        assert (inked[0], inked[-1]) == (500, 599)

    def test_user_unit(self, tmp_path):
        file = tmp_path / "unit.pdf"
        new(UserUnit=2).save(file)
        tones = render_pdf_page(file, 0, 180)
        assert matches(as_viewed(file, unit=2, ppi=180), tones) < 10 * SHARE

    def test_a_finished_page_by_its_own_size(self, page):
        assert (render_pdf_page(page, 0, 300) == render_tones(page, 0, PAGE, 300, limits=LIMITS)).all()
        with pytest.raises(ImposerError, match="page 2: is not there; the file has 1"):
            render_pdf_page(page, 1)

    def test_two_at_once(self, page):
        due = render_tones(page, 0, PAGE, 300, limits=LIMITS)
        with ThreadPoolExecutor(4) as threads:
            found = list(threads.map(lambda _: render_tones(page, 0, PAGE, 300, limits=LIMITS), range(8)))
        assert all((one == due).all() for one in found)


@pytest.fixture
def lone():
    """End the workers before and after, so that a test has its own."""
    end_workers()
    yield
    end_workers()


@pytest.fixture
def endless(tmp_path):
    """A page that takes the renderer for ever: twenty-six drawings, each drawing the next four times."""
    pdf, inner = new(ART + b"/X Do"), None
    for _ in range(26):
        made = pdf.make_stream(b"0 0 9 9 re f" if inner is None else b"/X Do " * 4)
        made.Type, made.Subtype, made.BBox = Name.XObject, Name.Form, pikepdf.Array([0, 0, 200, 300])
        made.Resources = Dictionary() if inner is None else Dictionary(XObject=Dictionary(X=inner))
        inner = made
    pdf.pages[0].Resources.XObject = Dictionary(X=inner)
    file = tmp_path / "endless.pdf"
    pdf.save(file)
    return file


def workers():
    return [worker._process.pid for worker in render._POOL._idle]


def gone(pid):
    for _ in range(100):
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        if _state(pid) in ("Z", ""):
            return True
        time.sleep(0.02)
    return False


def _state(pid):
    found = subprocess.run(["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True, check=False)
    return found.stdout.strip()[:1]


@pytest.mark.usefixtures("lone")
class TestDeath:
    def test_a_page_that_takes_too_long(self, endless, page):
        limits = replace(LIMITS, render_seconds=0.5)
        with pytest.raises(ImposerError) as caught:
            render_tones(endless, 0, PAGE, 72, shown="endless.pdf", limits=limits)
        assert str(caught.value) == (
            "endless.pdf: page 1: takes longer than 0.5 s to draw; "
            "export the page as an image, or raise limits.render_seconds in the shop file"
        )
        # The next page has a worker again.
        assert render_tones(page, 0, PAGE, 72, limits=limits).any()

    def test_a_worker_that_is_killed_is_a_plain_line_and_replaced(self, page):
        render_tones(page, 0, PAGE, 72, limits=LIMITS)
        (pid,) = workers()
        os.kill(pid, signal.SIGKILL)
        assert gone(pid)
        with pytest.raises(
            ImposerError, match=r"page 1: is more than the renderer can draw in 4295 MB; export the page as an image"
        ):
            render_tones(page, 0, PAGE, 72, limits=LIMITS)
        assert render_tones(page, 0, PAGE, 72, limits=LIMITS).any()

    def test_memory_is_bounded(self, tmp_path):
        """A page that needs more than its worker may have: the worker says no or dies, and nobody else does."""
        file = tmp_path / "wide.pdf"
        new(ART).save(file)
        limits = replace(LIMITS, render_bytes=1_000_000_000, image_pixels=4_000_000_000)
        with pytest.raises(
            ImposerError,
            match=r"page 1: (takes more than 1000 MB of memory|is more than the renderer can draw in 1000 MB)",
        ):
            render_tones(file, 0, Size(2000, 3000), 600, limits=limits)

    def test_pixels_are_counted_before_any_is_made(self, page):
        with pytest.raises(ImposerError, match="has more than 400 million pixels"):
            render_tones(page, 0, Size(2000, 3000), 600, limits=LIMITS)
        assert workers() == []

    def test_what_is_no_pdf(self, tmp_path):
        file = tmp_path / "none.pdf"
        file.write_bytes(b"%PDF-1.4 nothing")
        with pytest.raises(ImposerError, match="the renderer cannot open the file"):
            render_tones(file, 0, PAGE, 72, limits=LIMITS)
        with pytest.raises(ImposerError, match="cannot be read"):
            render_tones(tmp_path / "missing.pdf", 0, PAGE, 72, limits=LIMITS)

    @pytest.mark.skipif(sys.platform == "win32", reason="signals are a matter of other systems")
    def test_a_worker_ends_with_who_started_it(self, endless):
        """Also if that is killed while a page is drawn, and cannot tell anybody."""
        program = (
            "import sys, threading; from pathlib import Path; from imposer.geometry import Size\n"
            "from imposer.pages import render\n"
            f"page = lambda: render.render_tones(Path({str(endless)!r}), 0, Size(70, 105), 72, limits=render.LIMITS)\n"
            "threading.Thread(target=page, daemon=True).start()\n"
            "import time\n"
            "old = render._Worker.ask\n"
            "def ask(self, *asked): print(self._process.pid, flush=True); return old(self, *asked)\n"
            "render._Worker.ask = ask\n"
            "time.sleep(60)\n"
        )
        parent = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
        pid = int(parent.stdout.readline())
        time.sleep(0.3)
        parent.kill()
        parent.wait()
        parent.stdout.close()
        assert gone(pid)

    def test_an_interrupt_leaves_no_half_read_page(self, page, endless, monkeypatch):
        """Ctrl-C while a page is awaited: the worker is ended with it, and the next page is the right one."""
        due = render_tones(page, 0, PAGE, 72, limits=LIMITS)

        def interrupted(stream, count):
            raise KeyboardInterrupt

        with monkeypatch.context() as patch:
            patch.setattr(render, "_exactly", interrupted)
            with pytest.raises(KeyboardInterrupt):
                render_tones(page, 0, Size(100, 150), 72, limits=LIMITS)
        assert (render_tones(page, 0, PAGE, 72, limits=LIMITS) == due).all()


def test_a_coloured_page_has_full_tone_where_it_is_black(tmp_path):
    """The renderer itself draws 100 % black ink paler: the page is turned to gray before it sees it."""
    file = tmp_path / "black.pdf"
    new(b"0 0 0 1 k 0 0 100 300 re f 0 0 0 0.5 k 100 0 100 300 re f").save(file)
    (source,) = pdfs.survey(file, "black.pdf")
    tones = pdfs.tones(source, source.size, 72)
    assert (tones[:, :100] == 255).all()
    assert (abs(tones[:, 100:].astype(int) - 127.5) <= 1).all()
    assert pdfs.tones(source, source.size, 0).shape == (round(300 / 72 * 600), round(200 / 72 * 600))
