"""A lock on an open file or folder, which the system lets go of when the process ends, however it ends.

A module of its own because two things need to know whether somebody is still at work: the output folder, and the
folder of scratch files.
"""

from __future__ import annotations

import errno
import sys

#: Not every file system can lock a file or sync a folder; these say that it cannot, and not that it failed.
NOT_OFFERED = frozenset({errno.EINVAL, errno.ENOTSUP, errno.ENOSYS, errno.ENOLCK, errno.EBADF})


def lock(handle: int) -> None:
    """Lock an open file for this process alone. Where the system can lock nothing, go on without.

    Raises:
        BlockingIOError: another process holds it.
        OSError: it cannot be locked.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            try:
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            except PermissionError as error:
                raise BlockingIOError(errno.EWOULDBLOCK, "locked") from error
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError as error:
        if error.errno not in NOT_OFFERED:
            raise
