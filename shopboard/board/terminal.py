"""The terminal that the board has taken: read without fail, and given back whatever happens.

Three things of Textual's driver (8.2.8) are done otherwise. Its reader ends with the first byte
that it does not understand: see `keys_in`. It draws to stderr, which may be a file; here it is
stdout, which was seen to be a terminal. And its writer ends when the terminal is gone, after
which the thirty-first piece of a picture waits for ever, and the program with it.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import select
import sys
import termios
from collections.abc import Iterator, Sequence
from time import monotonic
from typing import TYPE_CHECKING, Any, cast

from textual.drivers.linux_driver import LinuxDriver

from shopboard.base.served import bounded
from shopboard.board.keys_in import KeysIn
from shopboard.board.paper_told import ASK

if TYPE_CHECKING:
    from textual.message import Message

    from shopboard.board.app import BoardApp

GIVE_BACK = (
    b"\x18"  # cancels a sequence that was cut off
    b"\x1b[?2026l\x1b[?2004l\x1b[?7h\x1b[?1000l\x1b[?1003l\x1b[?1006l\x1b[?1015l"
    b"\x1b[?1004l\x1b[<u\x1b[?1049l\x1b[0m\x1b[?25h"
)
"""Ends all that the driver asks of a terminal: held pictures, bracketed paste, no wrapping, mouse,
focus, key codes, alternate screen, colours, no cursor."""

_LOOK = 0.1
"""Seconds between looks whether the reader is to end."""


class ShopTerminal(LinuxDriver):
    """Textual's driver, with its reader and writer guarded."""

    def __init__(self, app: Any, **options: Any) -> None:
        super().__init__(app, **options)
        self._board = cast("BoardApp", app)
        self._lasting = _Lasting(sys.__stdout__, self._board)
        self._file = cast("Any", self._lasting)
        self._size = self._get_terminal_size()  # the first picture, too, is of a size in bounds
        self.taken = False
        """Whether the terminal is in the state that the board needs."""
        self._came: list[Message] = []
        """What was read and is not handed on."""
        self._asked_back = False
        """Whether all that makes that state was asked to be undone."""

    def _get_terminal_size(self) -> tuple[int, int]:
        return bounded(*super()._get_terminal_size())

    def _query_in_band_window_resize(self) -> None:
        """Ask for no sizes among the keys: the system tells them, and nobody makes them up."""

    def _enable_mouse_support(self) -> None:
        """Ask for buttons and wheel alone, in numbers of any size: each move would be a message."""
        if self._mouse:
            self.write("\x1b[?1000h\x1b[?1006h")

    def start_application_mode(self) -> None:
        """Take the terminal."""
        self._let_wait()  # a program before may have left it otherwise
        self.taken, self._asked_back = True, False
        super().start_application_mode()  # type: ignore[no-untyped-call]

    def _let_wait(self) -> None:
        """Wait where the terminal has nothing, or takes nothing; a program beside may end that."""
        for file in (self.fileno, self._lasting.fileno()):
            os.set_blocking(file, True)

    def stop_application_mode(self) -> None:
        """Ask for all of it back."""
        super().stop_application_mode()
        self._asked_back = True

    def close(self) -> None:
        """Let the last of it be written."""
        super().close()
        self.taken = self._lasting.lost or not self._asked_back

    def give_back(self) -> None:
        """Give the terminal back at once, from any thread, when the usual way is barred."""
        if not self.taken:
            return
        self.exit_event.set()
        self._lasting.lost = True  # what still waits to be drawn would take it again
        with contextlib.suppress(OSError, ValueError, termios.error):
            file = self._lasting.fileno()
            if select.select([], [file], [], 0)[1]:
                os.write(file, GIVE_BACK)
            if self.attrs_before is not None:
                termios.tcsetattr(self.fileno, termios.TCSANOW, self.attrs_before)

    def ask_for_paper(self) -> None:
        """Ask for the colour behind everything; whoever reads the keys hears the answer."""
        self.write(ASK)
        self.flush()

    def _run_input_thread(self) -> None:
        try:
            self.run_input_thread()
        except BaseException as error:  # noqa: BLE001 - deaf is worse than stopped
            self._board.failed_elsewhere(error)

    def run_input_thread(self) -> None:
        """Read until the board ends or the terminal is gone."""
        keys = KeysIn()
        while not self.exit_event.is_set():
            came = bool(select.select([self.fileno], [], [], _LOOK)[0])
            data = self._read() if came else None
            if data == b"":
                self._board.terminal_gone()
                return
            now = monotonic()
            for message in keys.feed(data, now) if data else keys.tick(now):
                self.process_message(message)
            self._hand_on()

    def send_message(self, message: Message) -> None:
        """Keep what was read until all of it is."""
        self._came.append(message)

    def _hand_on(self) -> None:
        """Hand on together what was read together: a busy computer tears no reading apart."""
        came, self._came = self._came, []
        if came:
            for message in came:
                message.time = came[0].time
            asyncio.run_coroutine_threadsafe(self._posted(came), self._loop)

    async def _posted(self, came: Sequence[Message]) -> None:
        for message in came:
            await self._board._post_message(message)  # noqa: SLF001 - as Textual's driver does

    def _read(self) -> bytes | None:
        """Give what has come: empty once the terminal is gone, None where nothing has yet."""
        try:
            return os.read(self.fileno, 4096)
        except BlockingIOError:
            self._let_wait()
            return None
        except OSError:
            return b""


class _Lasting:
    """What is drawn to; it takes everything, and says once that it can draw no more."""

    def __init__(self, file: Any, board: BoardApp) -> None:
        self._number: int = file.fileno()
        self._encoding: str = file.encoding
        self._board = board
        self._waiting = b""
        """What is written at the next flush."""
        self.lost = False
        """Whether what is drawn goes nowhere."""

    def write(self, text: str) -> None:
        """Take more to draw."""
        with self._no_failing():
            self._waiting += text.encode(self._encoding, "replace")

    def flush(self) -> None:
        """Draw what was taken, in pieces as large as the terminal takes."""
        with self._no_failing():
            while self._waiting and not self.lost:
                try:
                    self._waiting = self._waiting[os.write(self._number, self._waiting) :]
                except BlockingIOError:  # a program beside the board made it so
                    os.set_blocking(self._number, True)

    def fileno(self) -> int:
        """Give the number of the file."""
        return self._number

    @contextlib.contextmanager
    def _no_failing(self) -> Iterator[None]:
        try:
            yield
        except OSError:
            self.lost = True
            self._board.terminal_gone()
        except BaseException as error:  # noqa: BLE001 - who waits for it to draw would wait for ever
            self.lost = True
            self._board.failed_elsewhere(error)
