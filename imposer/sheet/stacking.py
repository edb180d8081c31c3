"""Which pieces share a sheet: so that cut stacks drop onto each other in order.

The sheets of a job are stacked in their order and cut; each slot gives a stack that holds one piece of every sheet.
Slot 1 takes the first pieces, slot 2 the next, and so on: stack 1 on stack 2 on stack 3 is the booklet in order.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stacking:
    """The pieces (numbered from 1) of every slot of every sheet."""

    #: For each sheet, for each slot: (piece number or None, copy from 1).
    sheets: tuple[tuple[tuple[int | None, int], ...], ...]
    #: How many whole copies one printing of all sheets gives.
    copies_per_set: int


def stack_pieces(pieces: int, slots: int, *, repeat: bool = False) -> Stacking:
    """Share `pieces` out over sheets of `slots` places, with as few sheets, and so masters, as can be.

    If a whole copy leaves room for another, the sheet carries several copies. With `repeat` every sheet carries one
    piece on all its places.

    >>> stack_pieces(4, 2).sheets
    (((1, 1), (3, 1)), ((2, 1), (4, 1)))
    >>> stack_pieces(1, 2)
    Stacking(sheets=(((1, 1), (1, 2)),), copies_per_set=2)
    >>> stack_pieces(2, 2, repeat=True).sheets
    (((1, 1), (1, 2)), ((2, 1), (2, 2)))
    >>> stack_pieces(3, 2).sheets
    (((1, 1), (3, 1)), ((2, 1), (None, 1)))
    """
    if pieces < 1 or slots < 1:
        raise ValueError("pieces and slots are counted from 1")
    if repeat:
        alike = tuple(tuple((piece, copy) for copy in range(1, slots + 1)) for piece in range(1, pieces + 1))
        return Stacking(alike, slots)
    sheets = -(-pieces // slots)
    copies = max(1, slots // pieces)
    rows = []
    for sheet in range(sheets):
        row: list[tuple[int | None, int]] = []
        for slot in range(slots):
            if copies > 1:
                copy, piece = divmod(slot, pieces)
                row.append((piece + 1, copy + 1) if copy < copies else (None, 1))
            else:
                number = slot * sheets + sheet + 1
                row.append((number if number <= pieces else None, 1))
        rows.append(tuple(row))
    return Stacking(tuple(rows), copies)
