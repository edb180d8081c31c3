"""Ctrl-C, a closed terminal and a polite request to end, at every moment of the program's life.

While modules are being loaded, nothing was changed yet and the program just says so and leaves; while it works, an
interrupt is an exception that undoes what was begun; once it is done, there is nothing left to stop.
"""

from __future__ import annotations

import _thread
import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

#: Said where an interrupt ends the program, which then leaves with 2.
STOPPED = "stopped; nothing was changed"

_SIGNALS = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]


def leave_at_once() -> None:
    """Have an interrupt end the program with one line, whatever is being loaded."""
    _handle_with(_leave)


def raise_interrupts() -> None:
    """Have an interrupt raise `KeyboardInterrupt`, once more where it lands in code that can let nothing through."""
    _handle_with(_raise)
    sys.unraisablehook = _raise_again


def ignore_interrupts() -> None:
    """Ignore interrupts that would have been raised, to the very end of the process: the work is done."""
    if threading.current_thread() is threading.main_thread():
        for number in _SIGNALS:
            if signal.getsignal(number) is _raise:
                signal.signal(number, signal.SIG_IGN)


@contextmanager
def hold_off_interrupts() -> Iterator[None]:
    """Let interrupts pass for the time of a block: what it does is done in a moment, and must not be done by half."""
    before = {}
    if threading.current_thread() is threading.main_thread():
        before = {number: signal.signal(number, _pass) for number in _SIGNALS if signal.getsignal(number) is not None}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def delay_interrupts() -> Iterator[None]:
    """Have interrupts wait for the end of a block: what it calls could not let one through.

    Raises:
        KeyboardInterrupt: one came.
    """
    came: list[int] = []
    before = {}
    if threading.current_thread() is threading.main_thread():
        # A signal that nobody here listens to is left to the system.
        before = {number: signal.getsignal(number) for number in _SIGNALS if callable(signal.getsignal(number))}
        for number in before:
            signal.signal(number, lambda number, _: came.append(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    for number in came:
        signal.raise_signal(number)


def _pass(number: int, frame: FrameType | None) -> None:
    del number, frame


def _handle_with(handler: signal._HANDLER) -> None:
    """Set a handler, but for a signal that whoever started the program wants ignored (`nohup`, `&` in a script)."""
    if threading.current_thread() is threading.main_thread():
        for number in _SIGNALS:
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, handler)


def _leave(number: int, frame: FrameType | None) -> NoReturn:
    del number, frame
    if sys.stderr is not None:
        os.write(2, f"{STOPPED}\n".encode())
    os._exit(2)


def _raise(number: int, frame: FrameType | None) -> NoReturn:
    del number, frame
    raise KeyboardInterrupt


def _raise_again(lost: sys.UnraisableHookArgs) -> None:
    """Raise anew an interrupt that came while an object was being cleared away, where exceptions only get printed."""
    if isinstance(lost.exc_value, KeyboardInterrupt):
        _thread.interrupt_main()
    else:
        sys.__unraisablehook__(lost)
