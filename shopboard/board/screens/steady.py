"""A screen on which a key that bounces counts once: a gloved finger strikes twice."""

from __future__ import annotations

from contextlib import suppress

from textual import events

from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError


class SteadyScreen(ShopScreen):
    """Drops a key that comes again at once: here the same key twice means more than once."""

    def pressed(self, event: events.Key) -> None:
        """Hand the key on, unless it bounced."""
        if not self.bounced:
            super().pressed(event)

    def take_in(self) -> None:
        """Take in what was recorded; where it cannot be read now, the next look does it."""
        with suppress(JournalError):
            self.desk.refresh()
