"""Patterns of the job file in, files of artwork out; what matches nothing becomes a fault that names the nearest.

Only files inside the job's folder are art: a job folder is handed from person to person and must not reach into the
rest of a disk. Litter of file managers and the program's own output folder are passed over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path, PurePosixPath

from imposer.errors import Fault, one_line
from imposer.limits import Limits, or_raise
from imposer.nearest import nearest
from imposer.own_files import is_dummy, is_page_guides
from imposer.pages.names import natural_key

_LITTER = frozenset({"__MACOSX", "thumbs.db", "desktop.ini"})
_GLOB_SIGNS = "*?["


@dataclass(frozen=True, slots=True)
class Matched:
    """A file of artwork."""

    file: Path
    #: Its path below the job's folder, with "/" between folders.
    shown: str


@dataclass(frozen=True, slots=True)
class Matches:
    """What the patterns of one ink found."""

    #: By pattern in the job's order, within each in natural order; no file twice.
    files: tuple[Matched, ...]
    #: Whether the job lists files one by one, so that their order is the person's own.
    listed: bool
    faults: tuple[Fault, ...]


def match_files(folder: Path, patterns: tuple[str, ...], job_file: Path, place: str, limits: Limits) -> Matches:
    """Match the patterns of one ink.

    Args:
        folder: The job's folder.
        patterns: Relative to it, with "/" between folders; `*`, `?`, `[…]` and `**` match as usual, unless a file of
            just that name exists.
        job_file: The job file as the user named it, for faults.
        place: The dotted key of the patterns, for faults.
        limits: How many files there may be.
    """
    files: dict[Path, Matched] = {}
    faults: list[Fault] = []
    counts: list[int] = []
    for pattern in patterns:
        try:
            found = _match(folder, pattern)
            for path in found:
                files.setdefault(path, Matched(path, _as_text(_inside(folder, path))))
        except _NoMatchError as error:
            faults.append(Fault(file=job_file, place=place, problem=str(error), mend=error.mend))
            continue
        counts.append(len(found))
    if len(files) > limits.files:
        problem = f"matches {len(files)} files, more than the {limits.files} that are read"
        faults.append(
            Fault(
                file=job_file, place=place, problem=problem, mend=or_raise("files", "name the files of the pages alone")
            )
        )
    listed = len(patterns) > 1 and all(count == 1 for count in counts)
    return Matches(tuple(files.values()), listed, tuple(faults))


class _NoMatchError(Exception):
    """A pattern gives no usable file: why, and the mend."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.mend = mend


def _match(folder: Path, pattern: str) -> list[Path]:
    """Return the files a pattern matches, in natural order."""
    shown = f'"{pattern}"'
    parts = PurePosixPath(pattern).parts
    if not parts or PurePosixPath(pattern).is_absolute() or ".." in parts or "\0" in pattern:
        raise _NoMatchError(f"{shown} is not a path inside the job's folder", "copy the artwork into the job's folder")
    literal = folder / pattern
    try:
        if literal.is_file():
            return _held(folder, [literal])
        if literal.is_dir():
            inside = sorted({path.suffix.lower() for path in _entries(literal) if path.suffix}) or [".png"]
            better = f"{pattern.rstrip('/')}/*{inside[0] if len(inside) == 1 else ''}"
            raise _NoMatchError(f"{shown} is a folder, not files", f'write "{better}"')
        is_output = cache(_is_output)
        found = [path for path in folder.glob(pattern) if not _passed_over(folder, path, parts, is_output)]
        files = [path for path in found if _is_art(folder, path, PurePosixPath(pattern).suffix)]
    except (OSError, ValueError, RuntimeError, NotImplementedError, IndexError) as error:
        raise _NoMatchError(f"{shown} cannot be matched ({one_line(str(error))[:80]})", "write it anew") from error
    files.sort(key=lambda path: natural_key(_inside(folder, path)))
    if files:
        return _held(folder, files)
    if found:
        raise _NoMatchError(f"{shown} matches folders alone", f'write "{pattern.rstrip("/")}/*"')
    raise _NoMatchError(f"{shown} matches no file", _nearest(folder, parts))


def _is_art(folder: Path, path: Path, suffix: str) -> bool:
    """Tell whether a match is a file; what only seems to be one is refused, for its page would come out blank.

    A folder that `*` matches is passed over; one that `*.png` matches bears the name of a file.
    """
    if path.is_file():
        return True
    if path.is_dir():
        if not suffix or any(sign in suffix for sign in _GLOB_SIGNS):
            return False
        what = "is a folder, not a file"
    else:
        what = "is a link that leads to no file" if path.is_symlink() else "is a device, not a file"
    raise _NoMatchError(f'"{_inside(folder, path)}" {what}', "put the file itself in its place")


def _held(folder: Path, files: list[Path]) -> list[Path]:
    """Return files that really lie in the job's folder; a link out of it is refused."""
    home = folder.resolve()
    real = cache(Path.resolve)
    for file in files:
        # Only the last part can differ between files of one folder: a thousand are asked for.
        where = file.resolve() if file.is_symlink() else real(file.parent)
        if not where.is_relative_to(home):
            problem = f'"{_inside(folder, file)}" is a link that leads out of the job\'s folder'
            raise _NoMatchError(problem, "put the file itself in its place")
    return files


def _inside(folder: Path, path: Path) -> str:
    return path.relative_to(folder).as_posix()


def _as_text(name: str) -> str:
    r"""Return a name with bytes that are no UTF-8 written out: it will stand in files of ours.

    >>> print(_as_text("moth \udce9.png"))
    moth \xe9.png
    """
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def _passed_over(folder: Path, path: Path, parts: tuple[str, ...], is_output: Callable[[Path], bool]) -> bool:
    """Tell whether a match is litter, hidden (unless the pattern says so), or lies in an output folder."""
    below = path.relative_to(folder)
    dotted = any(part.startswith(".") for part in parts)
    for part in below.parts:
        if part in _LITTER or part.casefold() in _LITTER or (part.startswith(".") and not dotted):
            return True
    if any(is_output(folder / parent) for parent in below.parents if parent.parts):
        return True
    return path.name == "dummy.pdf" and is_dummy(path)


def _is_output(folder: Path) -> bool:
    return is_page_guides(folder) or ((folder / "plan.json").is_file() and (folder / "masters").is_dir())


def _entries(folder: Path) -> Iterator[Path]:
    """Give what a folder holds, litter and hidden things left out, in natural order."""
    try:
        names = sorted((path.name for path in folder.iterdir()), key=natural_key)
    except OSError:
        names = []
    for name in names:
        if not name.startswith(".") and name not in _LITTER and name.casefold() not in _LITTER:
            yield folder / name


def _nearest(folder: Path, parts: tuple[str, ...]) -> str:
    """Return the mend for a pattern that matches nothing: the nearest that would, or what the folder holds."""
    held, depth = folder, 0
    while depth < len(parts) - 1 and not any(sign in parts[depth] for sign in _GLOB_SIGNS):
        if not (held / parts[depth]).is_dir():
            break
        held, depth = held / parts[depth], depth + 1
    missing = parts[depth]
    entries = list(_entries(held))
    endings = {f"*{entry.suffix}" for entry in entries if entry.is_file() and entry.suffix}
    is_pattern = any(sign in missing for sign in _GLOB_SIGNS)
    better = nearest(missing, sorted(endings) if is_pattern else [entry.name for entry in entries])
    if better:
        return f'did you mean "{PurePosixPath(*parts[:depth], better, *parts[depth + 1 :])}"?'
    where = f'"{PurePosixPath(*parts[:depth])}"' if depth else "the job's folder"
    return f"{where} holds {_short_list(entries)}"


def _short_list(entries: list[Path]) -> str:
    names = [entry.name + ("/" if entry.is_dir() else "") for entry in entries]
    if not names:
        return "nothing"
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
