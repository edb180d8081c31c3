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
    from imposer.unprinted import lay_out
    from imposer.write.dummy import write_dummy
    from imposer.write.page_guide import write_page_guides

__all__ = [
    "ImposerError",
    "build",
    "find_pages",
    "impose",
    "lay_out",
    "load_job",
    "plan_passes",
    "prepare",
    "write_dummy",
    "write_page_guides",
]

_HOME = {
    "ImposerError": "imposer.errors",
    "build": "imposer.main_job",
    "find_pages": "imposer.pages.find",
    "impose": "imposer.sheet.impose",
    "lay_out": "imposer.unprinted",
    "load_job": "imposer.job",
    "plan_passes": "imposer.plan.passes",
    "prepare": "imposer.main_job",
    "write_dummy": "imposer.write.dummy",
    "write_page_guides": "imposer.write.page_guide",
}


def __getattr__(name: str) -> Any:  # noqa: ANN401 - whatever was asked for
    """Import what is asked for when it is asked for: the command line starts without heavy libraries."""
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'imposer' has no attribute {name!r}")
