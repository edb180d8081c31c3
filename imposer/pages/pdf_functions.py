"""PDF functions in (ISO 32000-1, 7.10); the same as numpy functions of many points at once out.

Spot colours say by a function what they look like, and shadings how they run. Only here are such functions worked
out; a module of its own because it knows neither colours nor pages.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import pikepdf

from imposer.pages.calculator import calculator
from imposer.pages.pdf_objects import number_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: From (n, inputs) to (n, outputs), both float64.
PdfFunction = Callable[["NDArray[np.float64]"], "NDArray[np.float64]"]

#: How deep stitching functions may lie in one another.
_DEPTH = 8
#: Inputs of a sampled function that are interpolated: the work doubles with each.
_INPUTS = 6
#: Samples of one function that are unpacked.
_SAMPLES = 16_000_000


class FunctionError(ValueError):
    """A function that is not worked out here: beyond the standard or the limits."""


def numbers(value: object) -> list[float]:
    """Return an array of numbers; empty if it is none.

    Raises:
        FunctionError: something in it is no number.
    """
    if not isinstance(value, pikepdf.Array):
        return []
    found = [number_of(one) for one in value.as_list()]
    if any(one is None for one in found):
        raise FunctionError("an array of numbers holds something else")
    return [one for one in found if one is not None]


def read_function(value: object, depth: int = 0) -> PdfFunction:
    """Return a function object, or an array of functions of one output each, as one function.

    Raises:
        FunctionError: it is damaged or beyond the limits.
    """
    if depth > _DEPTH:
        raise FunctionError("functions lie too deep in one another")
    if isinstance(value, pikepdf.Array):
        parts = [read_function(one, depth + 1) for one in value.as_list()]
        if not parts:
            raise FunctionError("an array of functions is empty")
        return lambda points: np.concatenate([part(points) for part in parts], axis=1)
    if not isinstance(value, pikepdf.Dictionary | pikepdf.Stream):
        raise FunctionError("a function is missing")
    domain = _pairs(value.get("/Domain"))
    if domain is None:
        raise FunctionError("a function has no domain")
    match value.get("/FunctionType"):
        case 0:
            inner = _sampled(value, domain)
        case 2:
            inner = _exponential(value)
        case 3:
            inner = _stitched(value, domain, depth)
        case 4:
            inner = _calculated(value)
        case _:
            raise FunctionError("a function is of an unknown type")
    return _bounded(inner, domain, _pairs(value.get("/Range")))


def _pairs(value: object) -> NDArray[np.float64] | None:
    found = numbers(value)
    return np.array(found).reshape(-1, 2) if found and len(found) % 2 == 0 else None


def _bounded(inner: PdfFunction, domain: NDArray[np.float64], bounds: NDArray[np.float64] | None) -> PdfFunction:
    def outer(points: NDArray[np.float64]) -> NDArray[np.float64]:
        if points.shape[1] != len(domain):
            raise FunctionError(f"a function of {len(domain)} numbers is given {points.shape[1]}")
        found = inner(np.clip(points, domain[:, 0], domain[:, 1]))
        if bounds is None:
            return found
        if found.shape[1] < len(bounds):
            raise FunctionError("a function gives too few numbers")
        return np.clip(found[:, : len(bounds)], bounds[:, 0], bounds[:, 1])

    return outer


def _exponential(value: pikepdf.Object) -> PdfFunction:
    low, high = np.array(numbers(value.get("/C0")) or [0.0]), np.array(numbers(value.get("/C1")) or [1.0])
    power = number_of(value.get("/N"))
    if len(low) != len(high) or power is None:
        raise FunctionError("an exponential function is damaged")

    def run(points: NDArray[np.float64]) -> NDArray[np.float64]:
        with np.errstate(all="ignore"):
            part = np.nan_to_num(points[:, :1] ** power)
        found: NDArray[np.float64] = low + part * (high - low)
        return found

    return run


def _stitched(value: pikepdf.Object, domain: NDArray[np.float64], depth: int) -> PdfFunction:
    bounds, encode, parts = stitching(value, domain[0])
    functions = [read_function(part, depth + 1) for part in parts]

    def run(points: NDArray[np.float64]) -> NDArray[np.float64]:
        at = points[:, 0]
        which = np.searchsorted(bounds[1:-1], at, side="right")
        found: NDArray[np.float64] | None = None
        for index, function in enumerate(functions):
            chosen = which == index
            if found is not None and not chosen.any():
                continue
            low, high = bounds[index], bounds[index + 1]
            share = (at - low) / (high - low) if high > low else np.zeros_like(at)
            inner = encode[index, 0] + share * (encode[index, 1] - encode[index, 0])
            result = function(inner[:, None])
            found = result if found is None else np.where(chosen[:, None], result, found)
        if found is None:
            raise FunctionError("a stitching function is empty")
        return found

    return run


def stitching(
    value: pikepdf.Object, domain: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], list[pikepdf.Object]]:
    """Return the bounds (with both ends), the encoding and the parts of a stitching function.

    Raises:
        FunctionError: they do not fit one another.
    """
    functions, encode = value.get("/Functions"), _pairs(value.get("/Encode"))
    if not isinstance(functions, pikepdf.Array) or encode is None:
        raise FunctionError("a stitching function is damaged")
    bounds = np.array([domain[0], *numbers(value.get("/Bounds")), domain[1]])
    if not len(functions) == len(encode) == len(bounds) - 1:
        raise FunctionError("a stitching function is damaged")
    return bounds, encode, list(functions.as_list())


def _calculated(value: pikepdf.Object) -> PdfFunction:
    bounds = _pairs(value.get("/Range"))
    if not isinstance(value, pikepdf.Stream) or bounds is None:
        raise FunctionError("a calculator function is damaged")
    try:
        run = calculator(value.read_bytes())
    except ValueError as error:
        raise FunctionError(str(error)) from error

    def checked(points: NDArray[np.float64]) -> NDArray[np.float64]:
        try:
            return run(points)[:, -len(bounds) :]
        except ValueError as error:
            raise FunctionError(str(error)) from error

    return checked


def sample_table(value: pikepdf.Object) -> tuple[list[int], NDArray[np.float64]]:
    """Return the size of a sampled function in each input, and its samples decoded, shape (last … first, outputs).

    Raises:
        FunctionError: it is damaged or beyond the limits.
    """
    bounds = _pairs(value.get("/Range"))
    size = [int(one) for one in numbers(value.get("/Size"))]
    bits = value.get("/BitsPerSample")
    if not isinstance(value, pikepdf.Stream) or bounds is None or not size or min(size) < 1:
        raise FunctionError("a sampled function is damaged")
    if not isinstance(bits, int) or bits not in (1, 2, 4, 8, 12, 16, 24, 32):
        raise FunctionError("a sampled function has an odd number of bits")
    outputs = len(bounds)
    count = outputs
    for one in size:
        count *= one
        if count > _SAMPLES:
            raise FunctionError("a sampled function has too many samples")
    raw = unpack(value.read_bytes(), bits, count)
    decode = _pairs(value.get("/Decode"))
    decode = bounds if decode is None or len(decode) != outputs else decode
    samples = raw.reshape(-1, outputs) / (2.0**bits - 1)
    samples = decode[:, 0] + samples * (decode[:, 1] - decode[:, 0])
    return size, samples.reshape([*reversed(size), outputs])


def unpack(data: bytes, bits: int, count: int) -> NDArray[np.uint64]:
    """Return the first `count` numbers of `bits` bits each, most significant bit first; what is missing is 0."""
    needed = (count * bits + 7) // 8
    row = np.frombuffer(data[:needed].ljust(needed, b"\0"), np.uint8)
    if bits in (8, 16, 24, 32):
        width = bits // 8
        parts = row.reshape(-1, width).astype(np.uint64)
        return np.asarray(sum(parts[:, at] << np.uint64(8 * (width - 1 - at)) for at in range(width)), np.uint64)
    each = np.unpackbits(row)[: count * bits].reshape(count, bits).astype(np.uint64)
    weights = np.left_shift(np.uint64(1), np.arange(bits - 1, -1, -1, dtype=np.uint64))
    return np.asarray((each * weights).sum(axis=1), np.uint64)


def _sampled(value: pikepdf.Object, domain: NDArray[np.float64]) -> PdfFunction:
    size, table = sample_table(value)
    if len(size) != len(domain) or len(size) > _INPUTS:
        raise FunctionError("a sampled function has too many inputs")
    encode = _pairs(value.get("/Encode"))
    if encode is None or len(encode) != len(size):
        encode = np.array([[0.0, one - 1] for one in size])
    most = np.array(size) - 1.0

    def run(points: NDArray[np.float64]) -> NDArray[np.float64]:
        span = domain[:, 1] - domain[:, 0]
        share = (points - domain[:, 0]) / np.where(span == 0, 1, span)
        at = np.clip(encode[:, 0] + share * (encode[:, 1] - encode[:, 0]), 0, most)
        low = np.minimum(np.floor(at), np.maximum(most - 1, 0)).astype(int)
        part = at - low
        found = np.zeros((len(points), table.shape[-1]))
        for corner in itertools.product((0, 1), repeat=len(size)):
            weight = np.prod([part[:, i] if up else 1 - part[:, i] for i, up in enumerate(corner)], axis=0)
            # The first input varies fastest, so it is the last axis of the table.
            where = tuple(np.minimum(low[:, i] + corner[i], size[i] - 1) for i in reversed(range(len(size))))
            found += weight[:, None] * table[where]
        return found

    return run
