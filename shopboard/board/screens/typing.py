"""A screen with a field to type into, now and then: a number, or a few words."""

from __future__ import annotations

from textual import events

from shopboard.board.field import FieldSort, edited, pasted
from shopboard.board.keys import MINUS, Key
from shopboard.board.keys_in import REPLACED
from shopboard.board.screens.steady import SteadyScreen

NOT_UTF8 = f"{REPLACED} is a letter that did not come as UTF-8: set the terminal to UTF-8."


class TypingScreen(SteadyScreen):
    """Types what it is given into its field while one is open; hands other keys on."""

    def __init__(self) -> None:
        super().__init__()
        self._entry = ""
        """What is typed so far."""
        self._refused = False
        """What is in the field was refused: a number that is typed next takes its place."""

    @property
    def field(self) -> FieldSort | None:
        """What is typed now; None while there is no field."""
        raise NotImplementedError

    @property
    def digits_choose(self) -> bool:
        """Whether a digit chooses a line: not while it is typed."""
        return self.field is None and super().digits_choose

    def not_typed(self, keys: tuple[Key, ...]) -> tuple[Key, ...]:
        """Give the keys that do not go into the field, now that there are words in it."""
        if self.field != "words" or not self._entry:
            return keys
        left = (one for one in keys if set(one.names) - {*MINUS})
        others = {"-": "Esc", "?": "F1"}
        return tuple(one._replace(label=others.get(one.label, one.label)) for one in left)

    def clear_field(self) -> None:
        """Empty the field for what is asked next."""
        self._entry, self._refused = "", False

    def pressed(self, event: events.Key) -> None:
        """Type into the field; hand other keys on."""
        if self.two_at_once(event):
            return
        sort = self.field
        if sort is not None and self.typed_key(event, sort):
            self._notice = ()
            if REPLACED in self._entry:
                self.say(NOT_UTF8)
            self.repaint()
            return
        super().pressed(event)

    def typed_key(self, event: events.Key, sort: FieldSort) -> bool:
        """Take a key into the field; False when it is not meant for it."""
        char = "-" if event.key in MINUS else event.character  # the pad's minus may have none
        if sort == "number" and char == "-" and self.bounced:
            return True  # the second one would go back
        before = self._entry
        if sort == "number" and self._refused and char and char in "0123456789.-":
            before = ""  # the pad has no other way to take it out; a unit is put behind it
        entry = edited(before, event.key, char, sort)
        if entry is None:
            return False
        if entry == self._entry and event.key != "backspace":
            self.app.bell()
        self._entry, self._refused = entry, False
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Take the first line of a pasted text."""
        sort = self.field
        if sort is not None:
            self._entry = pasted(self._entry, event.text, sort)
            self.repaint()
