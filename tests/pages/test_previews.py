"""Previews put by are read again as they were, from the file or, where it has no room, from memory."""

import os
import random
import subprocess
import sys
import textwrap

import pytest

from imposer.pages.previews import keep


def test_previews_come_back_whichever_is_read_first():
    chance = random.Random(7)
    pictures = [chance.randbytes(length) for length in (1, 0, 70_000, 3, 20_000)]
    kept = [keep(picture) for picture in pictures]
    assert all(preview.held is None for preview in kept)
    for place in (4, 0, 2, 3, 1, 2):
        assert kept[place].read() == pictures[place]


@pytest.mark.parametrize("room", [0, 10, 25_000])
def test_a_full_disk_keeps_previews_in_memory(room):
    """A process that may write no more than so much meets an error where a full disk would."""
    pytest.importorskip("resource")
    tried = textwrap.dedent(
        f"""
        import resource
        from imposer.pages.previews import keep
        resource.setrlimit(resource.RLIMIT_FSIZE, ({room}, {room}))
        pictures = [bytes([n]) * 9_000 for n in range(5)]
        kept = [keep(picture) for picture in pictures]
        assert [preview.read() for preview in kept] == pictures
        print(sum(preview.held is None for preview in kept))
        """
    )
    done = subprocess.run([sys.executable, "-c", tried], capture_output=True, text=True, timeout=60, env=os.environ)
    assert (done.returncode, done.stdout, done.stderr) == (0, f"{room // 9_000}\n", "")
