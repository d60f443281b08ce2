"""Copies of the journal while the board is open: made by a program beside it, never by the board.

A copy is verified from its first entry to its last, which takes seconds after some years, and the
place for it may be a disk that does not answer: no key waits for either.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

from shopboard.base import exit_codes
from shopboard.journal import JournalError

FIRST_AFTER = 30.0
"""Seconds after the first picture; who only looks in has left before."""

AGAIN_AFTER = 4 * 3600.0
"""Seconds until the next; one in which nothing would be new is not made."""

MISSED_AGAIN_AFTER = 300.0
"""Seconds until it is tried again where it failed: the stick may be back."""

TOO_LONG = 1800.0
"""Seconds after which a copy that is not done is told: a disk that does not answer hangs it."""

_LOCKED_OFTEN = 3
"""So often in a row somebody may be recording, before that is told."""

_NO_START = "the program for it does not start"
_ENDED = "the program for it ended and gave no reason"
_NOT_DONE = (
    "A copy of the journal was begun half an hour ago and is not done: perhaps the disk for it does"
    " not answer."
)

_LEAST_URGENT = 19


class Copying:
    """Has the copies made that are kept by age, and keeps in mind what keeps them from it."""

    def __init__(
        self,
        shop_file: Path,
        journal_file: Path,
        mark: Callable[[], int],
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        """Take the files, what gives the journal's change mark, and seconds."""
        self.words = ""
        """Why there is no new copy, in a sentence or two; empty while there is one."""
        self._command = [
            *(sys.executable, "-m", "shopboard", "backup"),
            *(f"--shop={shop_file}", f"--journal={journal_file}"),
        ]
        self._mark = mark
        self._copied = self._mark_now()
        self._on_its_way = self._copied
        self._child: subprocess.Popen[bytes] | None = None
        self._told: IO[bytes] | None = None
        self._seconds = monotonic
        self._began = 0.0
        self._locked = 0
        """How often in a row somebody else held the journal."""

    def begin(self) -> None:
        """Have a copy made where anything is new; `look` tells how it went."""
        if self._child is not None:
            return
        self._on_its_way, self._began = self._mark_now(), self._seconds()
        told: IO[bytes] | None = None
        try:
            told = tempfile.TemporaryFile()  # noqa: SIM115 - read when the program has ended
            self._child, self._told = self._started(told), told
        except OSError as error:
            if told is not None:
                told.close()
            self.words = f"No copy of the journal is made: {_NO_START} ({error.strerror})."

    def begin_where_missed(self) -> None:
        """Try again where the last one failed."""
        if self.words or self._locked:
            self.begin()

    def look(self) -> bool:
        """Take in how a copy went that has ended meanwhile; tell whether `words` changed."""
        code = self._child.poll() if self._child is not None else None
        before = self.words
        if code is None:
            if self._child is not None and self._seconds() - self._began > TOO_LONG:
                self.words = _NOT_DONE
            return self.words != before
        told, self._child = self._what_it_told(), None
        self._locked = self._locked + 1 if code == exit_codes.LOCKED else 0
        if code == exit_codes.ALL_RIGHT:
            self.words, self._copied = "", self._on_its_way
        elif not 0 < self._locked < _LOCKED_OFTEN:  # else somebody is recording: the next time
            self.words = told or f"No copy of the journal is made: {_ENDED} ({code})."
        return self.words != before

    def leave(self) -> None:
        """Have a copy made that outlives the board, where anything was recorded since the last."""
        if self._told is not None:
            self._told.close()  # nobody reads it any more
        mark = self._mark_now()
        under_way = self._child is not None and self._on_its_way == mark
        if mark != self._copied and not under_way:
            with suppress(OSError):
                self._child = self._started(subprocess.DEVNULL)

    def _started(self, told: IO[bytes] | int) -> subprocess.Popen[bytes]:
        nothing = subprocess.DEVNULL
        child = subprocess.Popen(  # noqa: S603 - this very program, and files as named to it
            self._command,
            stdin=nothing,
            stdout=nothing,
            stderr=told,
            env=_this_program_alone(),
            start_new_session=True,
        )
        if hasattr(os, "setpriority"):
            with suppress(OSError):
                os.setpriority(os.PRIO_PROCESS, child.pid, _LEAST_URGENT)
        return child

    def _what_it_told(self) -> str:
        if self._told is None:
            return ""
        with self._told:
            self._told.seek(0)
            told = self._told.read(4000).decode(errors="replace")
        newest, _, why = told.rpartition("shopboard: ")
        title, stop, _ = why.partition(". ")
        return " ".join(f"{title}{stop} {newest}".split())

    def _mark_now(self) -> int:
        try:
            return self._mark()
        except JournalError:
            return -1


def _this_program_alone() -> dict[str, str]:
    """Give an environment in which no file of the folder that it is started in is taken for code.

    With ``-m`` Python would look there first, for a `calendar.py` of the shop's, too.
    """
    alone = {**os.environ, "PYTHONSAFEPATH": "1"}
    above = Path(__file__).parents[2]
    if above.name not in ("site-packages", "dist-packages"):  # where it was not installed
        paths = (str(above), os.environ.get("PYTHONPATH", ""))
        alone["PYTHONPATH"] = os.pathsep.join(filter(None, paths))
    return alone
