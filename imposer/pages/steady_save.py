"""Saving a PDF so that a full disk or an interrupt is an exception of ours, and not the end of the process.

The PDF library writes its last bytes where C++ lets no exception pass: an error of the disk there, or a Ctrl-C that
lands there, ends the whole program (pikepdf 10.17, qpdf 12.3). So it is given a stream that never fails, and what
failed is raised afterwards.
"""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

from imposer.interrupts import delay_interrupts

if TYPE_CHECKING:
    import pikepdf


class _Steady(io.RawIOBase):
    """A file open for writing that keeps its first error to itself, and takes no more from then on."""

    def __init__(self, file: io.FileIO) -> None:
        self._file = file
        self.error: OSError | None = None

    def writable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        return self._file.tell()

    def write(self, data: Any) -> int:  # noqa: ANN401 - any buffer
        if self.error is None:
            try:
                return self._file.write(data)
            except OSError as error:
                self.error = error
        return memoryview(data).nbytes


def save_steadily(pdf: pikepdf.Pdf, file: Path, **how: Any) -> None:  # noqa: ANN401 - pikepdf's own keywords
    """Save a PDF; `how` are the keywords of `pikepdf.Pdf.save`. The file may be there by half if this fails.

    Raises:
        OSError: it cannot be written.
        KeyboardInterrupt: one came while it was saved.
    """
    with delay_interrupts(), io.FileIO(file, "w") as plain:
        steady = _Steady(plain)
        buffered = io.BufferedWriter(steady, 1 << 16)
        pdf.save(buffered, **how)
        buffered.flush()
        if steady.error is not None:
            raise steady.error
