"""From a page count to pieces: folded, nested into signatures, gathered; and back again to reading order.

`fold_booklet` decides which page every leaf carries; `read_booklet` takes the pieces, folds, nests and gathers them as
a person would, and reads the result. The two share the crease simulator and nothing else, so one proves the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from imposer.fold.creases import SINGLE_FOLD, fold
from imposer.fold.leaflets import read_leaflet
from imposer.fold.model import Booklet, Leaf, Piece, Scheme


def fold_booklet(
    pages: int,
    *,
    scheme: Scheme = SINGLE_FOLD,
    pieces_per_signature: int | None = None,
    right_to_left: bool = False,
    short_inside: bool = False,
) -> Booklet:
    """Fold `pages` pages into a booklet; what is left over at the end are blanks.

    Args:
        pages: the pages to be bound, at least 1.
        scheme: how one piece is folded.
        pieces_per_signature: how many pieces nest in each signature; None nests all of them in one (saddle). One
            signature is short if the pieces do not come out even.
        right_to_left: the booklet opens at the other side; page 1 stays the first page read.
        short_inside: the short signature is the last but one; else the last.

    >>> [(leaf.front, leaf.back) for piece in fold_booklet(8).pieces for leaf in piece.leaves]
    [(1, 2), (8, 7), (3, 4), (6, 5)]

    Raises:
        ValueError: a count is below 1, or the pieces cannot nest because they have no middle opening.
    """
    if pages < 1 or (pieces_per_signature is not None and pieces_per_signature < 1):
        raise ValueError("pages and pieces in a signature are counted from 1")
    total = -(-pages // scheme.pages)
    sizes = signature_sizes(total, pieces_per_signature, short_inside=short_inside)
    if max(sizes) > 1 and scheme.pages % 4:
        raise ValueError(f"pieces of {scheme.pages} pages have no fold in the middle of their pages and cannot nest")
    padded = total * scheme.pages
    if right_to_left:
        # The paper is laid out left to right and read from its back: what comes last there is read first.
        sizes = sizes[::-1]
    pieces: list[Piece] = []
    before = 0
    for signature, size in enumerate(sizes, 1):
        pieces += _signature(scheme, signature, size, before, first_piece=len(pieces) + 1)
        before += size * scheme.pages
    if right_to_left:
        pieces = _read_from_the_back(pieces, padded)
    return Booklet(scheme, tuple(pieces), padded, tuple(range(pages + 1, padded + 1)), right_to_left)


def signature_sizes(pieces: int, pieces_per_signature: int | None, *, short_inside: bool = False) -> tuple[int, ...]:
    """Return how many pieces each signature nests.

    A short signature is weak: as the outermost it takes the pull of the cover with few folds to hold it. So in a sewn
    book it stands second from the end, between full ones; common practice, no source. Of two both are outermost.

    >>> signature_sizes(5, 2), signature_sizes(5, None), signature_sizes(5, 2, short_inside=True)
    ((2, 2, 1), (5,), (2, 1, 2))
    """
    if pieces_per_signature is None:
        return (pieces,)
    full, rest = divmod(pieces, pieces_per_signature)
    sizes = (pieces_per_signature,) * full + ((rest,) if rest else ())
    return (*sizes[:-2], sizes[-1], sizes[-2]) if short_inside and rest and full > 1 else sizes


def read_booklet(pieces: Sequence[Piece], scheme: Scheme, *, right_to_left: bool = False) -> tuple[int | None, ...]:
    """Fold, nest and gather pieces and return the pages in the order a reader meets them.

    Only the panels and their places are looked at, never the page numbers. The faces of a leaflet that carry no page
    are left out; its poster comes last. Cards are read one after the other.
    """
    if scheme.leaflet and scheme.columns * scheme.rows == 1:
        by_number = sorted(pieces, key=lambda piece: piece.number)
        return tuple(page for piece in by_number for page in read_leaflet((piece,), scheme))
    if scheme.leaflet:
        return read_leaflet(tuple(pieces), scheme)
    ordered = sorted(pieces, key=lambda piece: (piece.signature, piece.nest))
    signatures = [list(group) for _, group in groupby(ordered, key=lambda piece: piece.signature)]
    if right_to_left:
        signatures.reverse()
    read: list[int | None] = []
    for nested in signatures:
        inside: list[int | None] = []
        for piece in reversed(nested):
            faces = _faces(piece, scheme)
            middle = len(faces) // 2
            inside = [*faces[:middle], *inside, *faces[middle:]]
        read += inside
    return tuple(reversed(read)) if right_to_left else tuple(read)


def _faces(piece: Piece, scheme: Scheme) -> list[int | None]:
    """Return the pages of one folded piece, from the top face of the stack to the bottom one."""
    leaves = {(leaf.column, leaf.row): leaf for leaf in piece.leaves}
    faces: list[int | None] = []
    for layer in fold(scheme):
        leaf = leaves[layer.column, layer.row]
        faces += [leaf.front, leaf.back] if layer.front_up else [leaf.back, leaf.front]
    return faces


def _signature(scheme: Scheme, signature: int, size: int, before: int, first_piece: int) -> list[Piece]:
    """Nest `size` pieces; the first page of the signature is `before` + 1."""
    layers = fold(scheme)
    middle = len(layers) // 2
    leaves_in_all = size * len(layers)
    pieces = []
    for nest in range(size):
        leaves = []
        for i, layer in enumerate(layers):
            outside = nest * middle
            at = outside + i if i < middle or size == 1 else leaves_in_all - outside - len(layers) + i
            up, down = before + 2 * at + 1, before + 2 * at + 2
            front, back = (up, down) if layer.front_up else (down, up)
            depth = min(at, leaves_in_all - 1 - at)
            leaves.append(Leaf(layer.column, layer.row, layer.head, layer.spine, front, back, depth))
        pieces.append(Piece(first_piece + nest, signature, nest, tuple(leaves)))
    return pieces


def _read_from_the_back(pieces: Sequence[Piece], pages: int) -> list[Piece]:
    """Renumber a booklet so that its last page is the first one read; the paper stays as it lies."""
    signatures = max(piece.signature for piece in pieces)
    turned = [
        Piece(
            0,
            signatures + 1 - piece.signature,
            piece.nest,
            tuple(
                replace(leaf, front=_from_the_back(leaf.front, pages), back=_from_the_back(leaf.back, pages))
                for leaf in piece.leaves
            ),
        )
        for piece in pieces
    ]
    turned.sort(key=lambda piece: (piece.signature, piece.nest))
    return [Piece(i, p.signature, p.nest, p.leaves) for i, p in enumerate(turned, 1)]


def _from_the_back(page: int | None, pages: int) -> int | None:
    return None if page is None else pages + 1 - page
