"""Signals that end the board: in order if that can be, within seconds in any case.

A handler of Python runs when the main thread comes back to it; one that sits in a call on the
journal or the disk may not. So a thread of its own hears the signal, asks, and ends the program
itself when nothing came of that. Nothing acknowledged is lost by it: every answer is on disk.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from types import FrameType
from typing import Protocol

GRACE = 3.0
"""Seconds for an end in order."""

NAMES = (
    *("SIGINT", "SIGQUIT", "SIGTERM", "SIGHUP"),
    *("SIGABRT", "SIGALRM", "SIGUSR1", "SIGUSR2", "SIGVTALRM", "SIGPROF", "SIGXCPU"),
)
"""Those that a person or the system may send, and that end a program which does not hear them."""


class Stoppable(Protocol):
    """What can be asked to end."""

    def told_to_stop(self, code: int) -> None:
        """End soon with that exit code; called from any thread."""

    def give_back_terminal(self) -> None:
        """Give the terminal back at once; called from any thread."""


class Stops:
    """Hears the signals from when it is made."""

    def __init__(self) -> None:
        self.code = 0
        """Exit code of the first signal; 0 while there was none."""
        self._board: Stoppable | None = None
        self._over = threading.Event()
        self._numbers = []
        for name in NAMES:
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) is not signal.SIG_IGN:  # nohup
                signal.signal(number, self._told)
                self._numbers.append(int(number))
        if sys.platform != "win32":  # there, only a socket can be told
            read, write = os.pipe()
            os.set_blocking(write, False)
            signal.set_wakeup_fd(write, warn_on_full_buffer=False)
            watch = threading.Thread(target=self._watch, args=(read,), daemon=True, name="stops")
            watch.start()

    def end(self, board: Stoppable) -> None:
        """Ask the board from now on, rather than end the program where it is."""
        self._board = board
        if self.code:
            board.told_to_stop(self.code)

    def over(self) -> None:
        """Let signals be: the program ends by itself now, and the terminal is given back."""
        self._over.set()
        self._ignore()

    def _ignore(self) -> None:
        """Let no further one cut in: Python, as it ends, would take it as it is by default."""
        for number in self._numbers:
            signal.signal(number, signal.SIG_IGN)

    def _told(self, number: int, _: FrameType | None) -> None:
        """Note a signal, in the main thread."""
        if self.code or self._over.is_set():
            return
        self.code = 128 + number
        if self._board is None:
            self._ignore()
            raise SystemExit(self.code)
        self._board.told_to_stop(self.code)

    def _watch(self, read: int) -> None:
        """Hear signals whatever the main thread does."""
        while True:
            for number in os.read(read, 64):
                if number in self._numbers:
                    self._see_to_it(128 + number)

    def _see_to_it(self, code: int) -> None:
        if self._board is not None:
            self._board.told_to_stop(code)
        if not self._over.wait(GRACE):
            if self._board is not None:
                self._board.give_back_terminal()
            os._exit(code)
