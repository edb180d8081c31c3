"""Delivery: everything is written into a hidden folder beside the target, which takes the target's place as a whole.

Whatever ends the program, and whenever, the target is the old output or the new one, never a mixture. What a killed
run leaves behind is known by its name, and the next run clears it.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.file_lock import NOT_OFFERED, lock
from imposer.interrupts import hold_off_interrupts, ignore_interrupts
from imposer.write.plan_json import FORMAT

#: The proofs, which may be made without the rest; and what the page says of itself near its start.
PROOFS = frozenset({"proof.html", "proof.pdf"})
OUR_PROOF = b'name="generator" content="imposer proof"'


def holds_proofs_alone(folder: Path) -> bool:
    """Tell whether a folder holds proofs that this program made, and nothing else."""
    try:
        names = {entry.name for entry in folder.iterdir()}
        if "proof.html" not in names or not names <= PROOFS:
            return False
        with (folder / "proof.html").open("rb") as page:
            return OUR_PROOF in page.read(1024)
    except OSError:
        return False


def _is_built(folder: Path) -> bool:
    """Tell whether a folder is the output of an earlier build, or of proofs alone."""
    if holds_proofs_alone(folder):
        return True
    try:
        plan = json.loads((folder / "plan.json").read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(plan, dict) and plan.get("format") == FORMAT


@contextmanager
def delivered(target: Path, sources: Iterable[Path] = (), ours: Callable[[Path], bool] = _is_built) -> Iterator[Path]:
    """Give an empty folder to write into; when the block ends well, it takes the place of `target`.

    An interrupt in the block undoes it. One that comes while the folder is moved into place, or while what was begun is
    cleared away, comes too late and is let pass.

    Args:
        target: the output folder. It may be absent, empty, or an earlier output, which is replaced as a whole.
        sources: files of the job; a target that holds one of them is refused, since they would be lost with it.
        ours: tells whether a folder is an earlier output of this kind.

    Raises:
        ImposerError: `target` is a file or somebody else's folder, another run is writing to it, or it cannot be
            written. What was there before is still there.
    """
    # A link to a folder stays a link: the folder that it leads to is what is replaced.
    target = Path(os.path.realpath(target))
    try:
        _check(target, sources, ours)
        made = _make_parents(target)
    except OSError as error:
        raise ImposerError(_fault(target, error)) from error
    new, old = _hidden(target, "new"), _hidden(target, "old")
    with ExitStack() as held:
        try:
            with _sole_run(target):
                _clear_litter(target, new, old)
                try:
                    new.mkdir()
                    yield new
                    _sync_files(new)
                    # Not only until the block ends: whoever called must not say either that nothing was changed.
                    ignore_interrupts()
                    held.enter_context(hold_off_interrupts())
                    _exchange(new, target, old)
                    made = []
                finally:
                    held.enter_context(hold_off_interrupts())
                    _bring_back(target, old)
                    _remove(new)
                    _remove(old)
        except OSError as error:
            raise ImposerError(_fault(target, error)) from error
        finally:
            for folder in made:
                with suppress(OSError):
                    folder.rmdir()


@contextmanager
def proofs_delivered(target: Path) -> Iterator[Path]:
    """Give an empty folder to write proofs into; when the block ends well, each takes its place in `target`.

    Whatever else lies in `target` stays as it is. Raises as `delivered` does.
    """
    target = Path(os.path.realpath(target))
    _check(target, (), _is_built)
    made = _make_parents(target)
    new = _hidden(target, "new")
    try:
        with _sole_run(target):
            _clear_litter(target, new, _hidden(target, "old"))
            try:
                new.mkdir()
                yield new
                _sync_files(new)
                target.mkdir(exist_ok=True)
                for file in sorted(new.iterdir()):
                    file.replace(target / file.name)
                _sync_folder(target)
                made = []
            finally:
                _remove(new)
    except OSError as error:
        raise ImposerError(_fault(target, error)) from error
    finally:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()


def _check(target: Path, sources: Iterable[Path], ours: Callable[[Path], bool]) -> None:
    """Refuse a target that is not ours to replace."""
    elsewhere = "name another output folder with -o"
    if target.exists() and not target.is_dir():
        raise ImposerError(Fault(file=target, problem="is a file, not a folder", mend=elsewhere))
    for source in sources:
        if Path(os.path.realpath(source)).is_relative_to(target):
            problem = f"holds {source.name}, which belongs to the job and would be replaced"
            raise ImposerError(Fault(file=target, problem=problem, mend=elsewhere))
    if target.is_dir() and not _is_empty(target) and not ours(target):
        record = "plan.json" if ours is _is_built else "record"
        problem = f"holds files, but no {record} of this program, so it is somebody else's folder"
        raise ImposerError(Fault(file=target, problem=problem, mend=elsewhere))


def _is_empty(folder: Path) -> bool:
    try:
        return not any(folder.iterdir())
    except OSError:
        return False


def _make_parents(target: Path) -> list[Path]:
    """Make the folders above the target; return those that were made, the innermost first."""
    missing = [folder for folder in target.parents if not folder.exists()]
    target.parent.mkdir(parents=True, exist_ok=True)
    return missing


def _hidden(target: Path, what: str) -> Path:
    """Return a name beside the target: on the same file system, so that a rename is enough to move it into place."""
    return target.with_name(f".{target.name}.imposer-{what}")


def _fault(target: Path, error: OSError) -> Fault:
    where = ""
    if error.filename and Path(os.fsdecode(error.filename)) != target:
        where = f": {Path(os.fsdecode(error.filename)).name}"
    return Fault(
        file=target,
        problem=f"cannot be written ({error.strerror or error}{where})",
        mend="make room, check its rights, or name another output folder with -o",
    )


# --- one run at a time ----------------------------------------------------------------------------------------------


@contextmanager
def _sole_run(target: Path) -> Iterator[None]:
    """Hold the lock file beside the target: the system lets go of it when the process ends, however it ends."""
    file = _hidden(target, "lock")
    handle = _open_lock(file, target)
    try:
        yield
    finally:
        with suppress(OSError):
            file.unlink()
        os.close(handle)


def _open_lock(file: Path, target: Path) -> int:
    while True:
        handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            lock(handle)
            # Who held the lock before removes the file and then lets go: what we hold may no longer bear the name.
            if file.exists() and os.path.samestat(os.fstat(handle), file.stat()):
                return handle
        except BlockingIOError as error:
            os.close(handle)
            problem = "is being written by another run at this moment"
            raise ImposerError(Fault(file=target, problem=problem, mend="let that one end first")) from error
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


# --- into place -----------------------------------------------------------------------------------------------------


def _clear_litter(target: Path, new: Path, old: Path) -> None:
    """Undo what a killed run left: bring back an old output that it had moved aside, remove the rest."""
    _bring_back(target, old)
    for folder in (new, old):
        _remove(folder)
        if folder.exists():
            raise ImposerError(Fault(file=folder, problem="is in the way and cannot be removed", mend="remove it"))


def _bring_back(target: Path, old: Path) -> None:
    if old.exists() and not target.exists():
        old.rename(target)


def _remove(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)


def _exchange(new: Path, target: Path, old: Path) -> None:
    """Put the new folder in the target's place, so that at no moment the target is neither of the two.

    Where the system cannot swap two names in one step, there is a moment between two renames when the old output bears
    its hidden name; should the program be killed then, the next run brings it back.
    """
    if not target.exists():
        new.rename(target)
    elif not _swap(new, target):
        target.rename(old)
        new.rename(target)
    _sync_folder(target.parent)


def _swap(new: Path, target: Path) -> bool:
    """Exchange two names in one step; return False where the system or the file system cannot.

    Linux: renameat2(2) with RENAME_EXCHANGE (2), paths relative to AT_FDCWD (-100). macOS: renamex_np(2) with
    RENAME_SWAP (2).
    """
    import ctypes

    if sys.platform not in ("linux", "darwin"):
        return False
    library = ctypes.CDLL(None, use_errno=True)
    a, b = os.fsencode(new), os.fsencode(target)
    try:
        if sys.platform == "linux":
            return bool(library.renameat2(-100, a, -100, b, ctypes.c_uint(2)) == 0)
        return bool(library.renamex_np(a, b, ctypes.c_uint(2)) == 0)
    except AttributeError:
        return False


def _sync_files(folder: Path) -> None:
    """Have every file on the disk before it takes another's place: a power cut must not leave empty ones."""
    for path in sorted(folder.rglob("*")):
        if path.is_dir():
            _sync_folder(path)
        else:
            with path.open("rb+") as stream:
                os.fsync(stream.fileno())
    _sync_folder(folder)


def _sync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in NOT_OFFERED:
            raise
    finally:
        os.close(handle)
