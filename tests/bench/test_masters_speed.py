"""Speed and memory of masters beside the least that has to be done, all in the same run: only ratios are judged.

Time is processor time, the best of several rounds in turn, so that other programs on the machine do not count. Memory
is the peak of a process of its own. See the figures: `pytest tests/bench/test_masters_speed.py -s`.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pikepdf
import pytest

from imposer.pages.pdf_source import close_sources
from tests.bench.art import A5_DOTS, gray_pages, vector_pdf
from tests.write.works import a_work

ROUNDS = 5
PAGES = 1000
INKS = ("lamp black", "marigold")
#: Two pages a side, four leaves to a signature, so that creep does not grow with the count of pages.
TWO_UP = {"sheet": "A3", "pieces": 1, "style": "gathered", "per_signature": 4}


@pytest.fixture(scope="module")
def thousand(tmp_path_factory):
    return vector_pdf(tmp_path_factory.mktemp("vector") / "pages.pdf", PAGES)


@pytest.fixture(scope="module")
def pictures(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures")
    yield gray_pages(folder, INKS, 64)
    shutil.rmtree(folder)


def fastest(folder, **jobs):
    """The least processor time of each job, seconds, and the output folders; each round does all jobs in turn."""
    best = dict.fromkeys(jobs, float("inf"))
    for _ in range(ROUNDS):
        for name, job in jobs.items():
            out = folder / name
            shutil.rmtree(out, ignore_errors=True)
            out.mkdir()
            start = time.process_time()
            job(out)
            best[name] = min(best[name], time.process_time() - start)
    return best


def show(title, seconds, floor):
    print(f"\n{title}: seconds, and share of “{floor}”")
    for name, value in seconds.items():
        print(f"  {name:10} {value:6.3f} s  {value / seconds[floor]:.2f}")


# --- a thousand vector pages ----------------------------------------------------------------------------------------


def test_placing_and_writing_a_thousand_vector_pages(thousand, tmp_path):
    """Against a bare open-and-save of the same file with pikepdf's defaults.

    The pages were found before, which is when they are opened and looked at for colour; a bare opening is counted here
    for what that takes.
    """
    work = a_work({"k": thousand}, pages=PAGES, **TWO_UP)
    written = work.write(tmp_path / "written")

    def floor(out):
        with pikepdf.open(thousand) as pdf:
            pdf.save(out / "saved.pdf")

    def write(out):
        pikepdf.open(thousand).close()
        work.write(out)

    def anew(out):
        close_sources()
        work.write(out)

    def back(out):
        del out
        work.read_back(written)

    seconds = fastest(tmp_path, floor=floor, write=write, back=back, anew=anew)
    show("1,000 vector pages, two a side", seconds, "floor")
    print("  (“anew” opens the file again and looks at every page for colour again)")
    assert seconds["write"] <= 0.5 * seconds["floor"]
    assert seconds["write"] + seconds["back"] <= 1.5 * seconds["floor"]


def test_the_memory_of_a_thousand_vector_pages(thousand, tmp_path):
    peak = peak_of_a_process(tmp_path, {"k": str(thousand)}, PAGES)
    print(f"\n1,000 vector pages, found, written and read back: peak {peak:.0f} MB")
    assert peak <= 200


# --- gray pages of 600 ppi ------------------------------------------------------------------------------------------


def test_masters_of_gray_pictures(pictures, tmp_path):
    """Against embedding the same bytes, by hand, one picture on a page of its own."""
    work = a_work(pictures, pages=64, **TWO_UP)

    def floor(out):
        for ink, files in pictures.items():
            embed_by_hand(files.values(), out / f"{ink}.pdf")

    def write(out):
        work.write(out)

    seconds = fastest(tmp_path, floor=floor, write=write)
    written = sum(file.stat().st_size for file in (tmp_path / "write" / "masters").iterdir())
    least = sum(file.stat().st_size for file in (tmp_path / "floor").iterdir())
    shutil.rmtree(tmp_path)
    show(f"64 pages of A5 at 600 ppi in two inks, {written / 1e6:.0f} MB", seconds, "floor")
    assert written == pytest.approx(least, rel=0.01)
    assert seconds["write"] <= 1.3 * seconds["floor"]


def embed_by_hand(files, target):
    wide, high = A5_DOTS
    pdf = pikepdf.new()
    for file in files:
        image = pdf.make_stream(picture_data(file))
        image.stream_dict = pikepdf.Dictionary(
            Type=pikepdf.Name.XObject,
            Subtype=pikepdf.Name.Image,
            Width=wide,
            Height=high,
            BitsPerComponent=8,
            ColorSpace=pikepdf.Name.DeviceGray,
            Filter=pikepdf.Name.FlateDecode,
            DecodeParms=pikepdf.Dictionary(Predictor=15, Colors=1, BitsPerComponent=8, Columns=wide),
        )
        page = pdf.add_blank_page(page_size=(wide * 0.12, high * 0.12))
        page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(P=image))
        page.Contents = pdf.make_stream(b"%f 0 0 %f 0 0 cm /P Do" % (wide * 0.12, high * 0.12))
    pdf.save(target)


def picture_data(file):
    """The picture data of a PNG, chunk by chunk (PNG specification, third edition, 5.3)."""
    content, at, found = file.read_bytes(), 8, []
    while at < len(content):
        length = int.from_bytes(content[at : at + 4], "big")
        if content[at + 4 : at + 8] == b"IDAT":
            found.append(content[at + 8 : at + 8 + length])
        at += 12 + length
    return b"".join(found)


def test_the_memory_of_gray_pictures_is_flat(pictures, tmp_path):
    peaks = {}
    for pages in (16, 64):
        some = {ink: {page: str(files[page]) for page in range(1, pages + 1)} for ink, files in pictures.items()}
        peaks[pages] = peak_of_a_process(tmp_path, some, pages)
    print(
        "\ngray pages, found, written and read back: peak "
        + ", ".join(f"{n} pages {p:.1f} MB" for n, p in peaks.items())
    )
    assert peaks[64] <= 1.1 * peaks[16]


# --- the command line -----------------------------------------------------------------------------------------------


def test_help_is_as_quick_as_bare_click():
    """Within 0.1 s of processor time of a program that is nothing but click."""
    bare = "import click\n@click.command()\ndef main(): pass\nmain()"
    ours = "import sys; sys.argv[0] = 'imposer'\nfrom imposer.cli import main\nmain()"
    seconds = {"bare": [], "ours": []}
    for _ in range(7):
        for name, code in (("bare", bare), ("ours", ours)):
            before = os.times()
            subprocess.run([sys.executable, "-c", code, "--help"], check=True, stdout=subprocess.DEVNULL)
            after = os.times()
            used = after.children_user + after.children_system - before.children_user - before.children_system
            seconds[name].append(used)
    bare_least, ours_least = min(seconds["bare"]), min(seconds["ours"])
    print(f"\n--help: bare click {bare_least:.3f} s, imposer {ours_least:.3f} s")
    assert ours_least <= bare_least + 0.1


# --- a process of its own -------------------------------------------------------------------------------------------


def peak_of_a_process(folder, files, pages):
    """The peak memory, MB, of a process that finds the pages of these files, writes their masters, reads them back."""
    out = folder / "out"
    request = json.dumps({"files": files, "pages": pages, "out": str(out), "job": TWO_UP})
    root = Path(__file__).parents[2]
    command = [sys.executable, "-m", "tests.bench.peak"]
    told = subprocess.run(command, input=request, capture_output=True, text=True, check=True, cwd=root)
    shutil.rmtree(out)
    return float(told.stdout)
