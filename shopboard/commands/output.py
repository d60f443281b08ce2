"""Data to stdout, words to stderr; everything made harmless on the way, without a password."""

from __future__ import annotations

import json
import select
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import datetime
from typing import TextIO

from shopboard.base.text import first_unfit, harmless
from shopboard.base.unsaid import unsaid


def _write(stream: TextIO, lines: tuple[str, ...]) -> None:
    for text in lines:
        for line in text.split("\n"):
            stream.write(f"{unsaid(harmless(line))}\n")


def out(*lines: str) -> None:
    """Write lines of data to stdout."""
    _write(sys.stdout, lines)


def say(*lines: str) -> None:
    """Write words for a person to stderr; what was done stays done where that fails."""
    with suppress(OSError):
        _write(sys.stderr, lines)


class Progress:
    """Says on a terminal, once it takes more than a second, how far something long is."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._next = clock() + 1
        self._told = ""

    def __call__(self, done: int, of: int, what: str = "entries") -> None:
        """Say how much is done, at most once in a second; the same line is used again."""
        if sys.stderr.isatty() and self._clock() >= self._next:
            self._next = self._clock() + 1
            before, self._told = len(self._told), f"  {done:,} of {of:,} {what}"
            with suppress(OSError):
                sys.stderr.write(f"\r{self._told:<{before}}")
                sys.stderr.flush()

    def end(self) -> None:
        """Take it off the terminal again."""
        if self._told:
            with suppress(OSError):
                sys.stderr.write(f"\r{' ' * len(self._told)}\r")


def prompt(mark: str) -> str:
    """Ask for a line; empty at the end of input, without its line end otherwise kept.

    A gauge that types may end its line with CR and LF, which are two lines to a terminal: an empty
    one that is there before it was asked for answers nothing.
    """
    was_there = _is_typed_ahead()
    sys.stdout.write(mark)
    sys.stdout.flush()
    line = sys.stdin.readline()
    return sys.stdin.readline() if was_there and line == "\n" else line


def _is_typed_ahead() -> bool:
    """Tell whether a terminal has a line already; what is piped in is meant to be there."""
    try:
        return sys.stdin.isatty() and bool(select.select([sys.stdin], [], [], 0)[0])
    except (OSError, ValueError):  # a console that cannot be asked
        return False


def is_utf8() -> bool:
    """Tell whether stdout can write any character."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"


SCHEMA = 1
"""Number of the form of all JSON; it grows when a field goes or comes to mean something else."""


def moment_json(when: datetime) -> str:
    """Write a time for JSON by ISO 8601: all in the zone of this computer, whoever reckoned it."""
    return when.astimezone().isoformat()


def out_json(data: Mapping[str, object]) -> None:
    """Write JSON to stdout, in ASCII where stdout can do no more or must not; never NaN.

    What its fields mean stands in `json_fields`.
    """
    data = {"schema": SCHEMA, **data}
    text = json.dumps(data, indent=2, ensure_ascii=not is_utf8(), allow_nan=False)
    if any(first_unfit(line) is not None for line in text.split("\n")):
        text = json.dumps(data, indent=2, allow_nan=False)
    sys.stdout.write(f"{text}\n")
