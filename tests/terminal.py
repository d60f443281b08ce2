"""A program in a pseudo-terminal of its own: its bytes with the time of each, keys sent to it."""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

TOP = Path(__file__).parent.parent
"""Folder that the package is found in."""

BOARD = (sys.executable, "-m", "shopboard")
"""Command line that opens the board."""


class Terminal:
    """One program in a pseudo-terminal; use it in a ``with`` block."""

    def __init__(
        self, command: Sequence[str], size: tuple[int, int], environment: Mapping[str, str]
    ) -> None:
        """Start the program on `size` (columns, rows)."""
        self.size = size
        self.output = b""
        """Everything that the program has written."""
        self.last_byte = 0.0
        """When the newest byte came."""
        self.status: int | None = None
        """Exit status once it has ended: the code, or minus the signal's number."""
        self._answered = 0
        """Length of the output at which the newest keys have been answered by something."""
        inherited = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
        full = {**inherited, "TERM": "xterm-256color", "COLORTERM": "truecolor", **environment}
        full["PYTHONPATH"] = str(TOP)
        columns, rows = size
        self.started = time.perf_counter()
        self.pid, self._file = pty.fork()
        if self.pid == 0:
            _become(command, full, columns, rows)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        if self.status is None:
            self.signal(signal.SIGKILL)
            self._ended()
        os.close(self._file)

    def send(self, keys: bytes) -> float:
        """Press keys; give the time."""
        now = time.perf_counter()
        self._answered = len(self.output) + 1
        os.write(self._file, keys)
        return now

    def signal(self, number: int) -> None:
        """Send a signal to the program alone."""
        os.kill(self.pid, number)

    def read(self, seconds: float) -> bytes:
        """Give the next bytes; none when nothing came in time, or when the program has ended."""
        ready, _, _ = select.select([self._file], [], [], max(seconds, 0.0))
        if not ready:
            return b""
        try:
            data = os.read(self._file, 1 << 16)
        except OSError:  # Linux says so when the other side is gone
            data = b""
        if data:
            self.last_byte = time.perf_counter()
            self.output += data
        elif self.status is None:
            self._ended()
        return data

    def until(self, found: Callable[[bytes], bool], seconds: float = 20.0) -> float:
        """Read until the output is as wanted; give the time of the byte that made it so.

        Raises:
            TimeoutError: when it does not become so, with the end of the output.
        """
        end = time.perf_counter() + seconds
        while not found(self.output):
            if self.status is not None or time.perf_counter() > end:
                raise TimeoutError(f"not seen; status {self.status}: {self.output[-2000:]!r}")
            self.read(end - time.perf_counter())
        return self.last_byte

    def settle(self, quiet: float = 0.15, seconds: float = 10.0) -> float:
        """Read until nothing comes for a while; give the time of the last byte."""
        end = time.perf_counter() + seconds
        while self.read(quiet) and time.perf_counter() < end:
            pass
        return self.last_byte

    def settle_and_read(self) -> None:
        """Read to the end, and let as much time go by as a person takes to read a question.

        Who sees nothing yet of the newest key waits for it, however busy the computer is.
        """
        end = time.perf_counter() + 10.0
        while len(self.output) < self._answered and time.perf_counter() < end:
            if self.status is not None:
                return
            self.read(end - time.perf_counter())
        self.settle(0.5)

    def wait(self, seconds: float = 10.0) -> int:
        """Read to the program's end; give its exit status.

        Raises:
            TimeoutError: when it does not end.
        """
        end = time.perf_counter() + seconds
        while self.status is None:
            if time.perf_counter() > end:
                raise TimeoutError(f"still running: {self.output[-2000:]!r}")
            self.read(end - time.perf_counter())
        return self.status

    def _ended(self) -> None:
        _, status = os.waitpid(self.pid, 0)
        self.status = os.waitstatus_to_exitcode(status)


def _become(command: Sequence[str], environment: dict[str, str], columns: int, rows: int) -> None:
    """Turn the child of the fork into the program."""
    try:
        import fcntl
        import termios

        fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        for number in (signal.SIGHUP, signal.SIGINT, signal.SIGQUIT):
            signal.signal(number, signal.SIG_DFL)  # what started the tests may let them be
        os.chdir(TOP)
        os.execvpe(command[0], [*command], environment)
    finally:
        os._exit(127)
