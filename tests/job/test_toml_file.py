"""Files that cannot be read as TOML: one plain line each."""

from __future__ import annotations

import os
import sys

import pytest

from imposer.errors import ImposerError
from imposer.job.toml_file import LARGEST_FILE, read_toml
from tests.job.files import faults_of

MEND = "text stands in quotes, lists in [ ], and a key only once in its table"


def said(folder, content, name="job.toml"):
    file = folder / name
    file.write_bytes(content)
    return faults_of(folder, lambda: read_toml(file))


def test_tables_are_read(tmp_path):
    (tmp_path / "job.toml").write_text('title = "Ночь"\n', encoding="utf-8")
    assert read_toml(tmp_path / "job.toml") == {"title": "Ночь"}


@pytest.mark.parametrize("content", [b"\xef\xbb\xbfcopies = 1", b"copies = 1\r\n"])
def test_byte_order_marks_and_line_ends_of_other_systems_are_let_pass(tmp_path, content):
    (tmp_path / "job.toml").write_bytes(content)
    assert read_toml(tmp_path / "job.toml") == {"copies": 1}


def test_a_missing_file_is_named_with_its_neighbour(tmp_path):
    (tmp_path / "job.toml").touch()
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / "jobb.toml")) == [
        'jobb.toml: there is no such file; did you mean "job.toml"?'
    ]
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / "moths.txt")) == ["moths.txt: there is no such file"]


def test_a_folder_is_no_file(tmp_path):
    (tmp_path / "job.toml").mkdir()
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / "job.toml")) == [
        "job.toml: this is a folder or a device, not a file"
    ]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "job.toml")
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / "job.toml")) == [
        "job.toml: this is a folder or a device, not a file"
    ]


def test_a_file_below_a_file_cannot_be_read(tmp_path):
    (tmp_path / "job.toml").touch()
    lines = faults_of(tmp_path, lambda: read_toml(tmp_path / "job.toml" / "shop.toml"))
    assert lines == ["job.toml/shop.toml: cannot be read: Not a directory"]


def test_names_no_system_takes_are_said(tmp_path):
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / "a\0b")) == ["a\\x00b: this is not the name of a file"]
    long = "m" * 300
    assert faults_of(tmp_path, lambda: read_toml(tmp_path / long)) == [f"{long}: cannot be read: File name too long"]


def test_other_encodings_are_said_with_their_line(tmp_path):
    assert said(tmp_path, 'copies = 1\ntitle = "Café"\n'.encode("latin-1")) == [
        "job.toml: line 2: byte 0xe9 is not UTF-8; save it as UTF-8 text"
    ]
    assert said(tmp_path, "copies = 1".encode("utf-16")) == [
        "job.toml: line 1: byte 0xff is not UTF-8; save it as UTF-8 text"
    ]


def test_a_huge_file_is_not_read_to_its_end(tmp_path):
    assert said(tmp_path, b"#" * (LARGEST_FILE + 1)) == [
        "job.toml: the file is larger than 1 MB; give the TOML file, a few kilobytes of text"
    ]


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"title = Moth Hours", "line 1, column 9: not TOML: invalid value"),
        (b"copies = 1\ncopies = 2\n", "line 2, column 11: not TOML: cannot overwrite a value"),
        (b"[page]\ntrim = 'A6'\n[page]", "line 3, column 6: not TOML: cannot declare [page] twice"),
        (b"copies = 1\ntitle", "end of document: not TOML: expected '=' after a key in a key/value pair"),
        (b'title = "a\\q"', "line 1, column 13: not TOML: unescaped '\\' in a string"),
        (b"a = " + b"9" * 5000, "not TOML: a number is too long"),
    ],
    ids=["no quotes", "twice", "table twice", "no value", "escape", "long number"],
)
def test_slips_of_the_pen_are_said_with_line_and_column(tmp_path, content, line):
    assert said(tmp_path, content) == [f"job.toml: {line}; {MEND}"]


def test_lists_without_end_are_said(tmp_path):
    (line,) = said(tmp_path, b"a = " + b"[" * 200_000)
    assert line.startswith("job.toml: not TOML: ")
    assert "nest" in line


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="this user may read every file")
def test_a_file_that_may_not_be_read_is_said(tmp_path):
    (tmp_path / "job.toml").touch(mode=0o000)
    with pytest.raises(ImposerError, match="cannot be read: Permission denied"):
        read_toml(tmp_path / "job.toml")
