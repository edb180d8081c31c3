"""A calculator program of a PDF in (function type 4, ISO 32000-1, 7.10.5); a numpy function of many points out.

Both branches of a condition are worked out for all points and the right one is chosen for each: programs have no
loops, so this ends, and it is a thousand times faster than point by point.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Column = NDArray[np.float64]

#: Words of a program, and numbers on its stack (the standard asks for at least 100).
_WORDS, _STACK = 20_000, 1_000
_WORD = re.compile(rb"%[^\r\n]*|[{}]|[^\s{}%]+")

Block = list["str | float | Block"]


def calculator(program: bytes) -> Callable[[NDArray[np.float64]], NDArray[np.float64]]:
    """Return a program as a function from (n, inputs) to (n, what is left on the stack).

    Raises:
        ValueError: it is damaged, too long or uses an unknown operator; the function raises it too.

    >>> calculator(b"{1 exch sub dup 0.5 gt {pop 1} if}")(np.array([[0.25], [0.75]])).tolist()
    [[1.0], [0.25]]
    """
    block = _parse(program)

    def run(points: NDArray[np.float64]) -> NDArray[np.float64]:
        stack = [points[:, index].astype(float) for index in range(points.shape[1])]
        with np.errstate(all="ignore"):
            _run(block, stack)
        if not stack:
            raise ValueError("a calculator function leaves nothing")
        return np.stack([np.nan_to_num(np.broadcast_to(one, len(points))) for one in stack], axis=1)

    return run


def _parse(program: bytes) -> Block:
    words = [word for word in _WORD.findall(program) if not word.startswith(b"%")]
    if len(words) > _WORDS:
        raise ValueError("a calculator function is too long")
    open_blocks: list[Block] = [[]]
    for word in words:
        if word == b"{":
            if len(open_blocks) > 50:
                raise ValueError("a calculator function is nested too deep")
            open_blocks.append([])
        elif word == b"}":
            if len(open_blocks) < 2:
                raise ValueError("a calculator function has unequal braces")
            done = open_blocks.pop()
            open_blocks[-1].append(done)
        else:
            open_blocks[-1].append(_word(word))
    outer = open_blocks[0]
    if len(open_blocks) != 1 or len(outer) != 1 or not isinstance(outer[0], list):
        raise ValueError("a calculator function has unequal braces")
    return outer[0]


def _word(word: bytes) -> str | float:
    try:
        return float(word)
    except ValueError:
        return word.decode("latin-1")


def _run(block: Block, stack: list[Column]) -> None:
    pending: list[Block] = []
    for word in block:
        if isinstance(word, list):
            pending.append(word)
        elif isinstance(word, float):
            stack.append(np.float64(word) * np.ones(1))
        elif word in ("if", "ifelse"):
            _choose(word, pending, stack)
            pending = []
        else:
            _operate(word, stack)
        if len(stack) > _STACK:
            raise ValueError("a calculator function piles up too many numbers")


def _choose(word: str, blocks: list[Block], stack: list[Column]) -> None:
    if len(blocks) != (2 if word == "ifelse" else 1):
        raise ValueError("a calculator function has a condition without its branch")
    test = _pop(stack) != 0
    yes, no = list(stack), list(stack)
    _run(blocks[0], yes)
    if word == "ifelse":
        _run(blocks[1], no)
    if len(yes) == len(no):
        stack[:] = [a if a is b else np.where(test, a, b) for a, b in zip(yes, no, strict=True)]
    elif test.all():
        stack[:] = yes
    elif not test.any():
        stack[:] = no
    else:
        raise ValueError("a calculator function has branches of different lengths")


def _pop(stack: list[Column]) -> Column:
    if not stack:
        raise ValueError("a calculator function takes more than there is")
    return stack.pop()


def _count(stack: list[Column]) -> int:
    """Pop a number that must be the same for all points: how far to reach into the stack."""
    column = _pop(stack)
    if not (column == column.flat[0]).all() or not np.isfinite(column.flat[0]):
        raise ValueError("a calculator function reaches into its stack at a varying depth")
    return int(column.flat[0])


def _operate(word: str, stack: list[Column]) -> None:
    if word in _UNARY:
        stack.append(_UNARY[word](_pop(stack)))
    elif word in _BINARY:
        second, first = _pop(stack), _pop(stack)
        stack.append(np.asarray(_BINARY[word](first, second), dtype=float))
    elif word in _STACK_WORDS:
        _STACK_WORDS[word](stack)
    elif word in ("true", "false"):
        stack.append(np.full(1, float(word == "true")))
    else:
        raise ValueError(f"a calculator function uses an unknown word {word[:20]!r}")


def _copy(stack: list[Column]) -> None:
    count = _count(stack)
    if not 0 <= count <= len(stack):
        raise ValueError("a calculator function copies more than there is")
    stack += stack[len(stack) - count :]


def _index(stack: list[Column]) -> None:
    count = _count(stack)
    if not 0 <= count < len(stack):
        raise ValueError("a calculator function reaches below its stack")
    stack.append(stack[-1 - count])


def _roll(stack: list[Column]) -> None:
    by, count = _count(stack), _count(stack)
    if not 0 <= count <= len(stack):
        raise ValueError("a calculator function rolls more than there is")
    if count:
        top = stack[-count:]
        by %= count
        stack[-count:] = top[count - by :] + top[: count - by]


def _duplicate(stack: list[Column]) -> None:
    stack.append(_pop(stack))
    stack.append(stack[-1])


def _exchange(stack: list[Column]) -> None:
    second, first = _pop(stack), _pop(stack)
    stack += [second, first]


def _discard(stack: list[Column]) -> None:
    _pop(stack)


def _integers(
    work: Callable[[NDArray[np.int64], NDArray[np.int64]], NDArray[np.int64]],
) -> Callable[[Column, Column], Column]:
    def run(first: Column, second: Column) -> Column:
        return work(_whole(first), _whole(second)).astype(float)

    return run


def _whole(column: Column) -> NDArray[np.int64]:
    return np.trunc(np.clip(np.nan_to_num(column), -(2.0**31), 2.0**31)).astype(np.int64)


def _divide(first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.int64]:
    safe = np.where(second == 0, 1, second)
    return np.asarray(np.sign(first) * np.sign(safe) * (np.abs(first) // np.abs(safe)), np.int64)


def _remainder(first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.asarray(first - _divide(first, second) * second, np.int64)


def _shift(first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.int64]:
    by = np.clip(second, -31, 31)
    return np.asarray(np.where(by >= 0, first << np.maximum(by, 0), first >> np.maximum(-by, 0)), np.int64)


_UNARY: dict[str, Callable[[Column], Column]] = {
    "abs": np.abs,
    "neg": np.negative,
    "ceiling": np.ceil,
    "floor": np.floor,
    "round": lambda a: np.floor(a + 0.5),
    "truncate": np.trunc,
    "sqrt": lambda a: np.sqrt(np.maximum(a, 0)),
    "sin": lambda a: np.sin(np.radians(a)),
    "cos": lambda a: np.cos(np.radians(a)),
    "ln": np.log,
    "log": np.log10,
    "cvi": np.trunc,
    "cvr": lambda a: a,
    # Of a truth value, that is: 0 or 1 here.
    "not": lambda a: np.where(a == 0, 1.0, 0.0),
}
_BINARY: dict[str, Callable[[Column, Column], Column]] = {
    "add": np.add,
    "sub": np.subtract,
    "mul": np.multiply,
    "div": np.divide,
    "idiv": _integers(_divide),
    "mod": _integers(_remainder),
    "exp": np.power,
    "atan": lambda a, b: np.degrees(np.arctan2(a, b)) % 360,
    "eq": lambda a, b: (a == b).astype(float),
    "ne": lambda a, b: (a != b).astype(float),
    "gt": lambda a, b: (a > b).astype(float),
    "ge": lambda a, b: (a >= b).astype(float),
    "lt": lambda a, b: (a < b).astype(float),
    "le": lambda a, b: (a <= b).astype(float),
    "and": _integers(np.bitwise_and),
    "or": _integers(np.bitwise_or),
    "xor": _integers(np.bitwise_xor),
    "bitshift": _integers(_shift),
}
_STACK_WORDS: dict[str, Callable[[list[Column]], None]] = {
    "pop": _discard,
    "exch": _exchange,
    "dup": _duplicate,
    "copy": _copy,
    "index": _index,
    "roll": _roll,
}
