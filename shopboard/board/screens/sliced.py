"""Screens that take long to work out: it is done in slices, so that keys are answered meanwhile."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator

from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError

SLICE = 0.015
"""Seconds of work at a time."""

GIVES_WAY = 0.001
"""Seconds between two slices: a screen that only hands itself the next one never lets its loop
turn, and no key comes through before the last of them."""


class SlicedScreen(ShopScreen):
    """Works out what it draws before it draws it, a slice at each picture."""

    def __init__(self) -> None:
        super().__init__()
        self._pieces: Iterator[None] | None = None
        self._pieces_for: object = None
        self._next_asked = False

    def pieces(self) -> Iterator[None]:
        """Work out, a little at a time, what the body takes long for."""
        raise NotImplementedError

    def work_out_anew(self) -> None:
        """Say that something else is to be worked out than so far."""
        self._pieces_for = None

    def is_worked_out(self) -> bool:
        """Go on with it for a slice; tell whether nothing of it is left.

        Raises:
            JournalError: when the journal cannot be read; it is begun anew then.
        """
        mark = self.open_shop.standing
        if self._pieces_for is not mark:
            self._pieces, self._pieces_for = self.pieces(), mark
        if self._pieces is None:
            return True
        begun = time.perf_counter()
        try:
            for _ in self._pieces:
                if time.perf_counter() - begun >= SLICE:
                    self._ask_for_next()
                    return False
        except JournalError:
            self._pieces_for = None
            raise
        self._pieces = None
        if time.perf_counter() - begun >= SLICE / 2:  # what the body makes of it takes time, too
            self._ask_for_next()
            return False
        return True

    def _ask_for_next(self) -> None:
        if not self._next_asked:
            self._next_asked = True
            self.call_after_refresh(self._next)

    async def _next(self) -> None:
        await asyncio.sleep(GIVES_WAY)
        self._next_asked = False
        if self.is_attached and self.is_current:
            self.repaint()
