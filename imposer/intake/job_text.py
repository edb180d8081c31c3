"""The job file of a delivery: what was understood as keys, the table of pages, guesses and questions as comments."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from imposer.errors import one_line
from imposer.intake.answers import ART, quoted
from imposer.intake.model import Cell, Understood
from imposer.intake.page_size import trim_value
from imposer.units import show


def job_text(understood: Understood, title: str, copies: int | None, *, own_shop: bool) -> str:
    """Return the text of a job.toml.

    Args:
        understood: what the delivery holds.
        title: the booklet's title.
        copies: how many, if a person has said so.
        own_shop: whether a shop.toml lies beside the job.
    """
    lines = [
        "# Read from a delivery; see intake.html for the pages as they were understood.",
        "",
        f"title = {quoted(title)}",
        f"copies = {copies}" if copies else "# copies = 100                  # not in the delivery: say how many",
        *(['shop = "shop.toml"'] if own_shop else []),
        *_open_questions(understood),
        "",
        "[page]",
        *_page(understood),
        "",
        *_comments("Guessed, so look at it", understood.guesses),
        *_table(understood),
        *_inks(understood),
    ]
    return "\n".join(lines) + "\n"


def _open_questions(understood: Understood) -> Iterator[str]:
    if not understood.questions:
        return
    yield ""
    yield "# Nothing can be built while these are open. Put the lines of the right answer below this list; where there"
    yield "# is such an ink or key already, make the two one. Then take the question out of the list."
    yield "open_questions = ["
    for question in understood.questions:
        yield f"    {quoted(question.asks)},"
        for proposal in question.proposals:
            yield "    # perhaps:"
            yield from (f"    #     {one_line(line)}" for line in proposal.splitlines())
    yield "]"


def _page(understood: Understood) -> Iterator[str]:
    if understood.trim is None:
        yield '# trim = "A6"                 # no file states its size'
        return
    yield f"trim = {trim_value(understood.trim)}"
    yield f"bleed = {show(understood.bleed)}"


def _comments(heading: str, sentences: tuple[str, ...]) -> Iterator[str]:
    if sentences:
        yield f"# {heading}:"
        yield from (f"#   {one_line(sentence)}" for sentence in sentences)
        yield ""


def _table(understood: Understood) -> Iterator[str]:
    """Draw the table of page × ink as comments."""
    if not understood.cells and not understood.contested:
        return
    by_cell = {(cell.page, cell.ink): one_line(cell.place) for cell in understood.cells}
    for cell in understood.contested:
        before = by_cell.get((cell.page, cell.ink))
        by_cell[cell.page, cell.ink] = f"{before} or {one_line(cell.place)}" if before else f"? {one_line(cell.place)}"
    rows = [("page", *understood.inks)]
    for page in range(1, understood.pages + 1):
        empty = "– none –" if page in understood.holes else "·"
        rows.append((str(page), *(by_cell.get((page, ink), empty) for ink in understood.inks)))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield ("# " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))).rstrip()
    yield ""


def _inks(understood: Understood) -> Iterator[str]:
    for ink in understood.inks:
        cells = [cell for cell in understood.cells if cell.ink == ink]
        contested = [cell for cell in understood.contested if cell.ink == ink]
        yield "[[ink]]"
        yield f"name = {quoted(ink)}"
        plate = next((cell.plate for cell in cells if cell.plate), None)
        if plate:
            yield f"plate = {quoted(plate)}"
        whole = _whole_file(cells)
        if not cells and not contested:
            yield "# pages = …                   # see the questions"
        elif whole:
            yield f"pages = {quoted(f'{ART}/{whole}')}"
        else:
            yield "[ink.pages]"
            yield from _page_lines(cells, contested)
        yield ""


def _page_lines(cells: list[Cell], contested: list[Cell]) -> Iterator[str]:
    """Give the line of every page; where several files claim one, those of all, to take the sign away from one."""
    claims = Counter(cell.page for cell in contested)
    for cell in sorted((*cells, *contested), key=lambda each: each.page):
        line = f"{cell.page} = {quoted(f'{ART}/{cell.place}')}"
        several = claims[cell.page]
        yield f"# {line}   # one of {several}: take the first # away from the right one" if several else line


def _whole_file(cells: list[Cell]) -> str:
    """Return the one file that holds all pages of an ink in order, or nothing."""
    if not cells or {cell.art.shown for cell in cells} != {cells[0].art.shown}:
        return ""
    in_order = [(cell.page, cell.index) for cell in cells] == [(i + 1, i) for i in range(len(cells[0].art.pages))]
    return cells[0].art.shown if in_order and len(cells) > 1 else ""
