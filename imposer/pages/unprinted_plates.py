"""Plates of files that no ink of a job is, though something is drawn on them: it would be lost without a word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from imposer.findings import Finding
from imposer.nearest import plain
from imposer.pages.model import PageArt
from imposer.pages.readers import reader_of
from imposer.words import runs_of


def unprinted_plates(arts: Iterable[PageArt]) -> Iterator[Finding]:
    """Give a warning for each plate that carries ink in a file of which other plates are printed.

    Args:
        arts: all the art of a job.

    Raises:
        ImposerError: a page cannot be read any more.
    """
    by_file: dict[Path, list[PageArt]] = {}
    for art in arts:
        by_file.setdefault(art.source.file, []).append(art)
    left: dict[str, list[PageArt]] = {}
    for found in by_file.values():
        plates = [art.source.plate for art in found]
        if None not in plates:
            _look(found, {plain(plate) for plate in plates if plate}, left)
    for plate, found in left.items():
        files = list(dict.fromkeys(art.source.shown for art in found))
        more = f" and {len(files) - 1} more" if len(files) > 1 else ""
        pages = sorted({art.page for art in found})
        yield Finding(
            rule="unprinted-plate",
            level="warning",
            message=(
                f"no ink is plate {plate} of {files[0]}{more}, so what is drawn on it does not print "
                f"({'page' if len(pages) == 1 else 'pages'} {runs_of(pages)})"
            ),
            mend=f'give an ink plate = "{plate}", or make sure that it is not wanted',
            page=pages[0],
            file=files[0],
        )


def _look(arts: list[PageArt], taken: set[str], left: dict[str, list[PageArt]]) -> None:
    """Put the pages of one file under every plate that carries ink and is not taken."""
    for art in {art.page: art for art in arts}.values():
        reader = reader_of(art.source)
        others = [plate for plate in reader.plates(art.source) if plain(plate) not in taken]
        for plate in reader.printing_plates(art.source, art.size, others) if others else ():
            left.setdefault(plate, []).append(art)
