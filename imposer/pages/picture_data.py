"""Whether an image in a PDF brings all of its data: what was cut off on its way prints as bare paper or as solid ink.

Samples that are stored plainly are counted against those that are due (ISO 32000-1, 8.9.5.2). JPEG and JPEG 2000 end
with a mark (FF D9: ITU-T T.81, B.1.1.3; ITU-T T.800, A.4.4); where it is missing they are decoded to see. Fax and JBIG2
data say nothing of their length, and are not judged.
"""

from __future__ import annotations

import pikepdf

from imposer.limits import Limits
from imposer.pages.pdf_samples import coded, filters_of, has_end, read_samples, samples_due
from imposer.pages.pdf_source import PdfSource

#: The mark may be followed by a few bytes that programs fill up with.
_AFTER_THE_END = 64
_END = b"\xff\xd9"
#: What comes of data that are no data; nothing but reading them runs where it is caught.
_UNREADABLE = (
    pikepdf.PdfError, pikepdf.DependencyError, RuntimeError, ValueError, TypeError, LookupError, ArithmeticError,
)  # fmt: skip


def data_missing(source: PdfSource, image: pikepdf.Object) -> float | None:
    """Return what part of an image's data is missing, 0 … 1; every image of an opened file is looked at once.

    Returns:
        0 if all of it is there or nothing can be said; None if some is missing and nobody can say how much.
    """
    key = ("data missing", image.objgen)
    if image.objgen == (0, 0) or key not in source.seen:
        source.seen[key] = _missing(image, source.limits)
    found: float | None = source.seen[key]
    return found


def _missing(image: pikepdf.Object, limits: Limits) -> float | None:
    filters = filters_of(image)
    if filters and has_end(filters[-1]):
        return 0.0 if _ends(image, limits) else None
    try:
        due = samples_due(image)
        if due > limits.stream_bytes:
            return 0.0
        there = len(image.read_bytes(pikepdf.StreamDecodeLevel.specialized))
    except _UNREADABLE:
        return 0.0
    # Some programs leave out the last byte or two; that nobody sees.
    row = due / max(int(image.get("/Height", 1)), 1)
    return 1 - there / due if due - there >= row else 0.0


def _ends(image: pikepdf.Object, limits: Limits) -> bool:
    try:
        if _END in coded(image)[-_AFTER_THE_END:]:
            return True
        read_samples(image, limits, light=True)
    except _UNREADABLE:
        return False
    return True
