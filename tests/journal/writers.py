"""Several programs that record into one journal at once, until something ends them."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests.journal.helpers import writer_command

_MANY = 100_000
"""Entries of one writer: more than it ever comes to."""


class Writer:
    """A program that records and says so, line by line."""

    def __init__(self, path: Path, start: int, *flags: str) -> None:
        self._program = subprocess.Popen(
            writer_command(path, start, _MANY, *flags), stdout=subprocess.PIPE
        )
        self._text = b""

    def fileno(self) -> int:
        """Give the handle from which is read what it says."""
        assert self._program.stdout is not None
        return self._program.stdout.fileno()

    def hear(self) -> int:
        """Read what it has said; give how many lines that ended."""
        piece = os.read(self.fileno(), 4096)
        assert piece, f"it ended by itself, and said {self._text!r}"
        self._text += piece
        return piece.count(b"\n")

    def stop(self) -> None:
        """Let it stand still in the middle of what it does."""
        self._program.send_signal(signal.SIGSTOP)
        stat = Path(f"/proc/{self._program.pid}/stat")
        for _ in range(10_000):
            if stat.read_text().rsplit(")", 1)[1].split()[0] == "T":
                return
            time.sleep(0.001)
        raise AssertionError("a writer did not stop")

    def kill(self) -> None:
        """Kill it."""
        self._program.kill()
        self._program.wait()

    def said(self) -> set[str]:
        """Give the entries that it has said are recorded, once it is stopped or killed."""
        os.set_blocking(self.fileno(), False)
        try:
            while piece := os.read(self.fileno(), 65536):
                self._text += piece
        except BlockingIOError:
            pass
        whole = self._text.split(b"\n")[:-1]  # a line without its end was cut off on its way
        assert all(line.startswith(b"u") for line in whole), whole[-3:]
        return {line.decode() for line in whole}

    def close(self) -> None:
        """End it, and let go of what it said."""
        self.kill()
        assert self._program.stdout is not None
        self._program.stdout.close()


@contextmanager
def writers(path: Path, number: int, first: int = 0, *flags: str) -> Iterator[list[Writer]]:
    """Let so many programs record into one journal, each with its own numbers."""
    started: list[Writer] = []
    try:
        started.extend(Writer(path, first + which * _MANY, *flags) for which in range(number))
        yield started
    finally:
        for one in started:
            one.close()


def wait_for(programs: Sequence[Writer], lines: int) -> None:
    """Wait until they have said so much together."""
    while lines > 0:
        ready, _, _ = select.select(programs, [], [])
        lines -= sum(one.hear() for one in ready)
