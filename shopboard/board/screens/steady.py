"""A screen on which a key counts once, and as it was meant: gloved fingers strike two at a time."""

from __future__ import annotations

from contextlib import suppress

from textual import events

from shopboard.base.text import plain_signs
from shopboard.board.keys import ENTER
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.keyed import TWO_KEYS
from shopboard.journal import JournalError

AT_ONCE = 0.15
"""Seconds within which nobody has read a step, and two keys were struck together."""


class SteadyScreen(ShopScreen):
    """Drops a key that comes again at once: here the same key twice means more than once.

    A screen that asks step by step says which one it shows: an answer that comes before it can have
    been read is not taken, and of two different answers at once neither.
    """

    def __init__(self) -> None:
        super().__init__()
        self._step_shown: object = None
        """Marks the step that is shown."""
        self._shown_at = 0.0
        self._chose: tuple[str, float] | None = None
        """The key that answered the choice before this step, and when."""
        self._key = ""

    def pressed(self, event: events.Key) -> None:
        """Hand the key on, unless it bounced or came together with another one."""
        if self.two_at_once(event):
            return
        if not self.bounced:
            self._key = event.key
            super().pressed(event)

    def shows(self, mark: object) -> None:
        """Note when a step is painted; `mark` tells it from the one before."""
        if mark != self._step_shown:
            self._step_shown, self._shown_at = mark, self.board.monotonic()
            self.call_after_refresh(self._is_painted, mark)

    def shows_anew(self) -> None:
        """Note that the screen comes up, or comes back."""
        self._step_shown = None
        self.shows("this screen")

    def _is_painted(self, mark: object) -> None:
        if mark == self._step_shown:
            self._shown_at = self.board.monotonic()

    def is_hasty(self) -> bool:
        """Tell whether a key came before the step can have been read, and say so."""
        if self.board.monotonic() - self._shown_at >= AT_ONCE:
            return False
        self.refuse("that key came before this could be read: ignored")
        return True

    def takes_choice(self) -> None:
        """Note that the key pressed now answers a choice."""
        self._chose = (self._key, self.board.monotonic())

    def take_choice_back(self) -> bool:
        """Go back to the choice answered last; False when that cannot be."""
        return False

    def two_at_once(self, event: events.Key) -> bool:
        """Tell whether this is another answer at the same moment; neither of them counts then."""
        if self._chose is None:
            return False
        (key, at), self._chose = self._chose, None
        digit = plain_signs(event.character or "")
        answers = event.key in ENTER or (bool(digit) and digit in "0123456789")
        if not answers or event.key == key or self.board.monotonic() - at >= AT_ONCE:
            return False
        if self.take_choice_back():
            self.refuse(TWO_KEYS)
            self.repaint()
        return True

    def take_in(self) -> None:
        """Take in what was recorded; where it cannot be read now, the next look does it."""
        with suppress(JournalError):
            self.open_shop.refresh()
