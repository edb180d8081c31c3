"""A line that says how far long work is; silent where nobody watches."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from imposer.progress import Progress


@contextmanager
def shown(*, quiet: bool) -> Iterator[Progress]:
    """Give a progress function that rewrites one line of the terminal, and clear that line at the end."""
    watched = not quiet and sys.stderr.isatty()
    width = 0

    def show(what: str, done: int, of: int) -> None:
        nonlocal width
        if watched:
            line = f"{what} {done} of {of}" if of else what
            click.echo("\r" + line.ljust(width), nl=False, err=True)
            width = len(line)

    try:
        yield show
    finally:
        if width:
            click.echo("\r" + " " * width + "\r", nl=False, err=True)
