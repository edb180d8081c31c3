"""Templates of jobs: folders with a job file, a shop file and placeholder pages, copied to start a new job."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from imposer.data.templates import templates_folder
from imposer.errors import Fault, ImposerError
from imposer.nearest import did_you_mean


@dataclass(frozen=True, slots=True)
class Template:
    """A template that ships with the program."""

    name: str
    #: One line: the first comment of its job file.
    about: str
    folder: Path


def templates() -> tuple[Template, ...]:
    """Return every template, by name."""
    found = []
    for file in sorted(templates_folder().glob("*/job.toml")):
        first = file.read_text(encoding="utf-8").splitlines()[0]
        found.append(Template(file.parent.name, first.lstrip("# ").rstrip("."), file.parent))
    return tuple(found)


def copy_template(name: str, folder: Path) -> None:
    """Copy a template to `folder`, which must be new or empty.

    Raises:
        ImposerError: there is no such template, or the folder is taken or cannot be made.
    """
    known = {template.name: template for template in templates()}
    if name not in known:
        raise ImposerError(
            Fault(
                file=name,
                problem=f"is no template; there are {', '.join(known)}",
                mend=did_you_mean(name, list(known)),
            )
        )
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise ImposerError(Fault(file=folder, problem="is there already and not empty", mend="name a new folder"))
        shutil.copytree(known[name].folder, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("*.py", "out"))
    except OSError as error:
        raise ImposerError(
            Fault(
                file=folder, problem=f"cannot be made ({error.strerror or error})", mend="name a folder you can write"
            )
        ) from error
