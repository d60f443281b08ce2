"""An end to what would go on for ever, in seconds of the processor: a busy computer is none."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

MOST_FRAMES = 12
"""Innermost calls that are told of what went on for ever."""


class EndlessError(BaseException):
    """It went on; no `except Exception` holds it back."""


@contextmanager
def bounded(seconds: float) -> Iterator[None]:
    """Stop what is done within when it has taken so long; in the main thread, where signals are.

    Raises:
        EndlessError: with where it stood.
    """
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(_number: int, frame: FrameType | None) -> None:
        calls: list[str] = []
        while frame is not None and len(calls) < MOST_FRAMES:
            calls.append(f"{frame.f_code.co_qualname}:{frame.f_lineno}")
            frame = frame.f_back
        raise EndlessError(f"more than {seconds:g} s: {' < '.join(calls)}")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
