"""What people really hand in, through the command line: one plain line for each fault, exit 2, nothing left behind."""

from __future__ import annotations

import io
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from PIL import Image
from pypdf import PdfReader

from imposer import build
from imposer.cli import main
from imposer.errors import ImposerError
from tests.folders import job_folder, page_tones, write_png, write_vector_pdf

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="there are other rules for names and links there")


@pytest.fixture
def imposer(monkeypatch, capsys):
    """Run a command in this process; return its exit status and the lines on both streams."""
    handlers = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}

    def run(*arguments):
        monkeypatch.setattr(sys, "argv", ["imposer", *map(os.fspath, arguments)])
        with pytest.raises(SystemExit) as left:
            main()
        said = capsys.readouterr()
        return left.value.code, said.out.splitlines(), said.err.splitlines()

    yield run
    for number, handler in handlers.items():
        signal.signal(number, handler)


def replaced(file, make):
    file.unlink()
    make(file)


def halved(file):
    data = file.read_bytes()
    file.write_bytes(data[: len(data) // 2])


def saved_as(file, kind, **how):
    with Image.open(file) as image:
        image.save(file.with_suffix(f".{kind}"), dpi=(300, 300), **how)
    file.unlink()
    return file.with_suffix(f".{kind}")


def without_pages(file):
    with pikepdf.Pdf.new() as empty:
        empty.save(file)


def locked(file):
    with pikepdf.Pdf.open(file, allow_overwriting_input=True) as pdf:
        pdf.save(file, encryption=pikepdf.Encryption(owner="owner", user="user"))


def outside(file):
    elsewhere = file.parents[2] / "outside.png"
    shutil.copy(file, elsewhere)
    replaced(file, lambda file: file.symlink_to(elsewhere))


#: What is done to the job's folder, and the line that is said of it.
BAD = {
    "a PNG that breaks off": (
        lambda folder: halved(folder / "black/2.png"),
        "black/2.png: breaks off before the end of the PNG; export or copy it again",
    ),
    "a JPEG that breaks off": (
        lambda folder: halved(saved_as(folder / "black/2.png", "jpg", quality=95)),
        "black/2.jpg: cannot be decoded (",
    ),
    "a TIFF that breaks off": (
        lambda folder: halved(saved_as(folder / "black/2.png", "tif")),
        "black/2.tif: cannot be decoded (",
    ),
    "a PDF that breaks off": (
        lambda folder: halved(folder / "marigold.pdf"),
        "marigold.pdf: breaks off before its end; copy or export it again",
    ),
    "an image of no bytes": (
        lambda folder: (folder / "black/2.png").write_bytes(b""),
        "black/2.png: is empty (0 bytes); export or copy it again",
    ),
    "a PDF of no bytes": (
        lambda folder: (folder / "marigold.pdf").write_bytes(b""),
        "marigold.pdf: is empty (0 bytes); export or copy it again",
    ),
    "a folder of art with nothing in it": (
        lambda folder: [file.unlink() for file in (folder / "black").iterdir()],
        'JOB/job.toml: ink[1].pages: "black/*.*" matches no file; "black" holds nothing',
    ),
    "a PDF without pages": (
        lambda folder: without_pages(folder / "marigold.pdf"),
        "marigold.pdf: has no pages; export it again",
    ),
    "a PDF with a password": (
        lambda folder: locked(folder / "marigold.pdf"),
        "marigold.pdf: is locked with a password; save it without one",
    ),
    "a text called a PDF": (
        lambda folder: (folder / "marigold.pdf").write_text("see the other mail"),
        "marigold.pdf: is not a PNG, JPEG, TIFF or PDF; ",
    ),
    "a folder in an image's place": (
        lambda folder: replaced(folder / "black/2.png", lambda file: file.mkdir()),
        'JOB/job.toml: ink[1].pages: "black/2.png" is a folder, not a file; put the file itself in its place',
    ),
    "a folder in a PDF's place": (
        lambda folder: replaced(folder / "marigold.pdf", lambda file: file.mkdir()),
        'JOB/job.toml: ink[2].pages: "marigold.pdf" is a folder, not files; write "marigold.pdf/*.png"',
    ),
    "a folder in the job file's place": (
        lambda folder: replaced(folder / "job.toml", lambda file: file.mkdir()),
        "JOB/job.toml: this is a folder or a device, not a file",
    ),
    "a folder in the shop file's place": (
        lambda folder: (folder / "shop.toml").mkdir(),
        "JOB/shop.toml: this is a folder or a device, not a file",
    ),
    "no job file": (
        lambda folder: (folder / "job.toml").unlink(),
        "JOB: there is no job.toml in this folder; name a job file, or a folder that holds one",
    ),
    "two files that differ by case": (
        lambda folder: shutil.copy(folder / "black/2.png", folder / "black/2.PNG"),
        "JOB/job.toml: ink[1].pages: page 2 has 2 files, black/2.PNG and black/2.png; keep one, or give each ",
    ),
    "a link out of the folder": (
        lambda folder: outside(folder / "black/2.png"),
        'JOB/job.toml: ink[1].pages: "black/2.png" is a link that leads out of the job\'s folder; put the file itself ',
    ),
    "a link that leads nowhere": (
        lambda folder: replaced(folder / "black/2.png", lambda file: file.symlink_to("nowhere.png")),
        'JOB/job.toml: ink[1].pages: "black/2.png" is a link that leads to no file; put the file itself in its place',
    ),
    "a link to itself": (
        lambda folder: replaced(folder / "black/2.png", lambda file: file.symlink_to("2.png")),
        'JOB/job.toml: ink[1].pages: "black/2.png" is a link that leads to no file; put the file itself in its place',
    ),
    "a pipe in an image's place": (
        lambda folder: replaced(folder / "black/2.png", os.mkfifo),
        'JOB/job.toml: ink[1].pages: "black/2.png" is a device, not a file; put the file itself in its place',
    ),
}


@POSIX
@pytest.mark.parametrize(("spoil", "line"), BAD.values(), ids=BAD)
def test_bad_input_is_one_plain_line(imposer, tmp_path, spoil, line):
    folder = job_folder(tmp_path / "job", pages=4)
    job = (folder / "job.toml").read_text(encoding="utf-8").replace("*.png", "*.*").replace("copies", "@copies", 1)
    shop = 'shop = "shop.toml"\n' if spoil is BAD["a folder in the shop file's place"][0] else ""
    (folder / "job.toml").write_text(job.replace("@", shop), encoding="utf-8")
    if spoil is BAD["a folder in an image's place"][0]:
        (folder / "job.toml").write_text(job.replace("@", "").replace("*.*", "*.png"), encoding="utf-8")
    spoil(folder)
    before = sorted(str(path) for path in tmp_path.rglob("*"))
    status, out, said = imposer("build", folder)
    assert (status, out) == (2, [])
    (told,) = [one.replace(str(folder), "JOB") for one in said]
    assert told.startswith(line)
    assert told.isprintable()
    assert sorted(str(path) for path in tmp_path.rglob("*")) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("build", "x" * 5000),
        ("new", "x" * 5000),
        ("new", "x" * 300),
        ("build", "JOB", "-o", "x" * 5000),
        ("build", "JOB", "-o", "x" * 300),
        ("build", "JOB", "-o", "JOB/job.toml"),
        ("build", "JOB", "-o", "JOB/job.toml/out"),
        ("build", "JOB", "-o", "JOB"),
    ],
    ids=lambda words: " ".join(word if len(word) < 99 else f"a name of {len(word)}" for word in words),
)
def test_paths_that_cannot_be_used_are_one_plain_line(imposer, tmp_path, monkeypatch, arguments):
    monkeypatch.chdir(tmp_path)
    folder = job_folder(tmp_path / "job", pages=2, second=False)
    before = sorted(str(path) for path in tmp_path.rglob("*"))
    status, out, said = imposer(*(word.replace("JOB", str(folder)) for word in arguments))
    assert (status, out, len(said)) == (2, [], 1)
    assert sorted(str(path) for path in tmp_path.rglob("*")) == before


NAMES = [
    "1 Été nº",
    "2 with spaces  and 'quotes\"",
    "3 \U0001f319 moth",
    "4 two\nlines\t",
    "5 \x1b[m red",
    "-o 6",
    "7 $(touch x)",
    "8 " + "é" * 110,
    os.fsdecode(b"9 latin \xe9"),
    "Page 10",
    "PAGE 11",
    "12",
]


@POSIX
def test_names_of_every_kind_build(tmp_path):
    """As names of the files, of the job's folder and of the output; and as words on the screen."""
    home = tmp_path / os.fsdecode(b"caf\xe9 \xf0\x9f\x8c\x99\nlines")
    folder = job_folder(home / "job", pages=12, second=False)
    for page, name in enumerate(NAMES, start=1):
        try:
            (folder / "black" / f"{page}.png").rename(folder / "black" / f"{name}.png")
        except OSError as error:
            pytest.skip(f"no such name may be given here ({error.strerror})")
    # Sixteen bits: its data wait in a file of their own, beside the output.
    Image.fromarray(page_tones(12).astype(np.uint16) * 257).save(folder / "black" / "12.png", dpi=(300, 300))
    for command in (["build", folder, "-o", home / "out"], ["plan", folder, "--pages"], ["check", folder]):
        called = [sys.executable, "-m", "imposer", *map(os.fsencode, command)]
        done = subprocess.run(called, capture_output=True, cwd=tmp_path, timeout=300)
        assert (done.returncode, done.stderr) == (0, b"")
        assert all(line.isprintable() for line in done.stdout.decode("utf-8").split("\n"))
        if command[0] == "plan":
            rows = done.stdout.decode("utf-8").split("\n\n")[0].splitlines()[1:]
            assert [row.split()[0] for row in rows] == [str(page) for page in range(1, 13)]
    assert {path.name for path in (home / "out").iterdir()} >= {"guide.pdf", "masters", "plan.json"}
    assert not (tmp_path / "x").exists()


def test_a_full_disk_leaves_the_old_output(tmp_path):
    """A process that may write no more than so much meets an error where a full disk would."""
    resource = pytest.importorskip("resource")
    folder = job_folder(tmp_path / "job", pages=4)
    command = [sys.executable, "-m", "imposer", "build", str(folder), "-q"]
    subprocess.run(command, check=True, timeout=120)
    before = {path: path.read_bytes() for path in (folder / "out").rglob("*") if path.is_file()}
    for most in (0, 2_000, 20_000):
        # SIGXFSZ is ignored by Python, so that writing fails with EFBIG.
        limited = subprocess.run(
            command,
            preexec_fn=lambda most=most: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most)),
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert (limited.returncode, limited.stdout) == (2, "")
        (line,) = limited.stderr.splitlines()
        assert "File too large" in line
        assert {path: path.read_bytes() for path in (folder / "out").rglob("*") if path.is_file()} == before
        assert [path.name for path in folder.iterdir() if path.name.startswith(".")] == []


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="there is no folder that nobody may write to")
def test_a_read_only_folder(imposer, tmp_path):
    folder = job_folder(tmp_path / "job", pages=2, second=False)
    status, out, said = imposer("build", folder, "-o", "/proc/out")
    assert (status, out, len(said)) == (2, [], 1)
    assert said[0].startswith("/proc/out: cannot be written (")
    assert said[0].endswith("; make room, check its rights, or name another output folder with -o")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="nothing is forbidden to this user")
def test_a_job_folder_that_may_not_be_written(imposer, tmp_path):
    folder = job_folder(tmp_path / "job", pages=2, second=False)
    folder.chmod(0o500)
    try:
        status, out, said = imposer("build", folder)
    finally:
        folder.chmod(0o700)
    assert (status, out, len(said)) == (2, [], 1)
    assert "cannot be written (Permission denied" in said[0]


class AtStep:
    """Something done once, when a step of the build is first told of."""

    def __init__(self, step, act):
        self.step, self.act, self.done = step, act, False

    def __call__(self, what, done, of):
        if what == self.step and not self.done:
            self.act()
            self.done = True


def gone(file):
    file.unlink()


def another(file):
    """The same kind of art with other content, as when somebody exports a page again during the build."""
    if file.suffix == ".pdf":
        write_vector_pdf(file, [7, 7, 7, 7])
    else:
        write_png(file, page_tones(9, salt=5)[:-1])


def cut(file):
    file.write_bytes(file.read_bytes()[:200])


@pytest.mark.parametrize("act", [gone, another, cut])
@pytest.mark.parametrize("name", ["black/3.png", "marigold.pdf"])
@pytest.mark.parametrize("step", ["measuring pages", "writing masters"])
def test_art_that_vanishes_or_changes_during_the_build(tmp_path, act, name, step):
    folder = job_folder(tmp_path / "job", pages=4)
    build(folder)
    before = {path: path.read_bytes() for path in (folder / "out").rglob("*") if path.is_file()}
    write_png(folder / "black" / "1.png", page_tones(1, salt=3))
    hook = AtStep(step, lambda: act(folder / name))
    with pytest.raises(ImposerError) as caught:
        build(folder, progress=hook)
    assert hook.done
    (line,) = str(caught.value).splitlines()
    assert line.startswith(name)
    assert line.isprintable()
    assert {path: path.read_bytes() for path in (folder / "out").rglob("*") if path.is_file()} == before
    assert [path.name for path in folder.iterdir() if path.name.startswith(".")] == []


def test_words_from_files_are_text_in_everything_that_is_written(tmp_path):
    """A title that would be a tag, a script, a PDF string or a colour code anywhere else."""
    words = "<script>x</script> & ) Tj (Q [31m %s {0}"
    folder = job_folder(tmp_path / "job", pages=2, second=False)
    job = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(job.replace("Small <b>job</b> & co", words), encoding="utf-8")
    out = build(folder).folder
    for file in out.rglob("*.html"):
        assert "<script>x" not in file.read_text(encoding="utf-8")
        assert "&lt;script&gt;x&lt;/script&gt; &amp; ) Tj (Q" in file.read_text(encoding="utf-8")
    master = PdfReader(io.BytesIO(next((out / "masters").iterdir()).read_bytes()))
    assert master.metadata.title.startswith(words)
    guide = "\n".join(page.extract_text() for page in PdfReader(out / "guide.pdf").pages)
    assert "<script>x</script> & ) Tj (Q" in guide
