"""A screen on which a key that bounces counts once: a gloved finger strikes twice."""

from __future__ import annotations

from contextlib import suppress

from textual import events

from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError

BOUNCE = 0.12
"""Seconds within which the same key counts once."""


class SteadyScreen(ShopScreen):
    """Drops a key that comes again at once: here the same key twice means more than once."""

    def __init__(self) -> None:
        super().__init__()
        self._last_key = ("", -1.0)

    def pressed(self, event: events.Key) -> None:
        """Hand the key on, unless it bounced."""
        now = self.board.monotonic()
        key, at = self._last_key
        self._last_key = (event.key, now)
        if event.key != key or now - at >= BOUNCE:
            super().pressed(event)

    def take_in(self) -> None:
        """Take in what was recorded; where it cannot be read now, the next look does it."""
        with suppress(JournalError):
            self.desk.refresh()
