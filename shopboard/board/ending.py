"""An application that gives the terminal back, whatever ends it: a signal, a hang-up, a mistake."""

from __future__ import annotations

import asyncio
import contextlib
from typing import Any

from textual.app import App
from textual.worker import WorkerFailed

from shopboard.base import exit_codes


class EndingApp(App[None], inherit_css=False):
    """Ends in order; every answer is on disk before it is acknowledged."""

    def __init__(self) -> None:
        super().__init__()
        self.crash: BaseException | None = None
        """What stopped the board, to be explained when the terminal is given back."""
        self.gone = False
        """Whether the terminal is there no more."""
        self._stop_code = 0
        """Exit code of what it was told to stop by; 0 while it was not."""
        self._own_loop: asyncio.AbstractEventLoop | None = None
        """The loop, while it can be told anything."""

    def hear_of_ends(self) -> None:
        """From now on, be told by the loop what went wrong; stop where that was asked before."""
        if not self.is_headless:
            self._own_loop = asyncio.get_running_loop()
            self._own_loop.set_exception_handler(self._failed_in_loop)
        if self._stop_code:
            self._stop()

    def _handle_exception(self, error: Exception) -> None:
        """Stop in order, so that the terminal is restored and no traceback fills it."""
        if self.is_headless:  # a test wants to see it
            super()._handle_exception(error)
            return
        cause = error.error if isinstance(error, WorkerFailed) else error
        self.crash = self.crash or cause
        self.exit(return_code=exit_codes.CRASH)

    def _failed_in_loop(self, _: object, context: dict[str, Any]) -> None:
        """Stop for what went wrong in no message: a task, or something called later."""
        self._handle_exception(context.get("exception") or RuntimeError(context["message"]))

    def failed_elsewhere(self, error: BaseException) -> None:
        """Stop for what went wrong in another thread; called there."""
        self.crash = self.crash or error
        self.told_to_stop(exit_codes.CRASH)

    def told_to_stop(self, code: int) -> None:
        """Give the terminal back soon; called from any thread. Every answer is on disk already."""
        self._stop_code = self._stop_code or code
        if self._own_loop is not None:
            with contextlib.suppress(RuntimeError):  # it has ended meanwhile
                self._own_loop.call_soon_threadsafe(self._stop)

    def _stop(self) -> None:
        self.exit(return_code=self._stop_code)

    def terminal_gone(self) -> None:
        """Stop as for a signal that the terminal has hung up; called from any thread."""
        self.gone = True
        self.told_to_stop(exit_codes.HUNG_UP)

    def give_back_terminal(self) -> None:
        """Give the terminal back at once, if it is still taken; called from any thread."""
        give_back = getattr(self._driver, "give_back", None)
        if give_back is not None:
            give_back()
