"""What a job prints, in short: a digest for each page in each ink, its settings in words, and one code for all.

Pages are held by their tones and not by their files, so that a file that was only copied or packed anew is the same.
PDF pages are drawn at a measured resolution, which could hide a change too fine for it: so what a PDF draws with counts
too, but not its dates and the like.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from imposer.approval.pdf_digest import digest_of_bytes, digest_of_pdf, is_of_drawing
from imposer.approval.settings import earlier_settings, settings_of
from imposer.prepared import Prepared

#: Signs that are not mixed up when read aloud or written down: no I, L, O, U (Crockford, Base 32).
_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
#: Signs in a code: 12 of 5 bits make a chance of one in 10¹⁸ that two jobs share one.
_LENGTH = 12
_GROUP = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Digests:
    """What is approved, or was checked."""

    #: What prints, by the name of the setting, in words.
    settings: Mapping[str, str]
    #: By "page/ink": the tones of what prints there.
    cells: Mapping[str, str]
    #: By its name below the job's folder: what every PDF draws with.
    files: Mapping[str, str]
    #: Settings that records written before hold in other words, in those words: to hold against them alone.
    earlier: Mapping[str, str] = field(default_factory=dict, compare=False)
    #: Where the PDFs are: such records hold their bytes, which are read for that alone.
    pdfs: Mapping[str, Path] = field(default_factory=dict, compare=False)

    @property
    def code(self) -> str:
        """The proof code, such as 7K3M-9QD2-XATV."""
        said = json.dumps([dict(self.settings), dict(self.cells), dict(self.files)], sort_keys=True, ensure_ascii=False)
        number = int.from_bytes(hashlib.sha256(said.encode()).digest(), "big") >> (256 - 5 * _LENGTH)
        signs = "".join(_SIGNS[number >> 5 * place & 31] for place in reversed(range(_LENGTH)))
        return "-".join(signs[i : i + _GROUP] for i in range(0, _LENGTH, _GROUP))

    def has_file(self, name: str, digest: str | None) -> bool:
        """Tell whether a PDF is what a record's digest stands for: what it draws with, or, of old, its bytes.

        Raises:
            ImposerError: the file went away.
        """
        if digest == self.files.get(name):
            return True
        of_bytes = digest is not None and not is_of_drawing(digest)
        return of_bytes and name in self.pdfs and digest == digest_of_bytes(self.pdfs[name], name)


def as_data(digests: Digests) -> dict[str, dict[str, str]]:
    """Return digests as a record keeps them."""
    return {"settings": dict(digests.settings), "pages": dict(digests.cells), "files": dict(digests.files)}


def from_data(data: Any) -> Digests:  # noqa: ANN401 - what JSON gives
    """Return the digests of a record.

    Raises:
        KeyError, TypeError: it holds something else.
    """
    settings, cells, files = tables = data["settings"], data["pages"], data["files"]
    if not all(map(_is_table, tables)):
        raise TypeError("holds other things than words")
    return Digests(settings=settings, cells=cells, files=files)


def _is_table(value: object) -> bool:
    return isinstance(value, dict) and all(isinstance(item, str) for pair in value.items() for item in pair)


def digests_of(prepared: Prepared) -> Digests:
    """Return what a prepared job prints.

    Raises:
        ImposerError: a file went away.
    """
    cells: dict[str, str] = {}
    pdfs: dict[str, Path] = {}
    for part in prepared.parts:
        cells |= {f"{page}/{ink}": found.digest for (page, ink), found in part.measured.items() if found.prints}
        pdfs |= {a.source.shown: a.source.file for a in part.table.cells.values() if a.source.kind == "pdf"}
    return Digests(
        settings=settings_of(prepared),
        cells=cells,
        files={name: digest_of_pdf(pdfs[name], name) for name in sorted(pdfs)},
        earlier=earlier_settings(prepared),
        pdfs=pdfs,
    )


def same_code(one: str, other: str) -> bool:
    """Tell whether two codes are one, however they were typed.

    >>> same_code("7k3m 9qd2 xatv", "7K3M-9QD2-XATV"), same_code("7KIM-0000-0000", "7K1M-OOOO-0000")
    (True, True)
    """
    return _plain(one) == _plain(other)


def _plain(code: str) -> str:
    told = code.upper().translate(str.maketrans("ILO", "110"))
    return "".join(sign for sign in told if sign in _SIGNS)
