"""From a zine's pages, one file per ink, to the masters, plan and guide for a two-drum stencil duplicator.

The steps, each a package that reads only those before it: `job`, `pages`, `fold`, `sheet`, `plan`, `check`, `write`;
`main_job` is the driver. What people call from here:

    from imposer import load_job, find_pages, impose, plan_passes, build
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from imposer.errors import ImposerError
    from imposer.job import load_job
    from imposer.main_job import build, prepare
    from imposer.pages.find import find_pages
    from imposer.plan.passes import plan_passes
    from imposer.sheet.impose import impose

__all__ = ["ImposerError", "build", "find_pages", "impose", "load_job", "plan_passes", "prepare"]

_HOME = {
    "ImposerError": "imposer.errors",
    "build": "imposer.main_job",
    "find_pages": "imposer.pages.find",
    "impose": "imposer.sheet.impose",
    "load_job": "imposer.job",
    "plan_passes": "imposer.plan.passes",
    "prepare": "imposer.main_job",
}


def __getattr__(name: str) -> Any:  # noqa: ANN401 - whatever was asked for
    """Import what is asked for when it is asked for: the command line starts without heavy libraries."""
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'imposer' has no attribute {name!r}")
