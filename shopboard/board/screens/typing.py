"""A screen with a field to type into, now and then: a number, or a few words."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events

from shopboard.board.field import FieldSort, edited, pasted
from shopboard.board.keys import ENTER, MINUS, PAD, STRIKE_OUT, Key, Role
from shopboard.board.keys_in import REPLACED
from shopboard.board.paint import said
from shopboard.board.screens.keyed import MOST_STRUCK, NUMLOCK, KeyedScreen
from shopboard.board.screens.steady import SteadyScreen

BURST = 0.03
"""Seconds within which keys come from a gauge, which types its reading as it is."""

_NO_DIGITS = ("insert", "kp_begin", "home", "end", "pageup", "pagedown", "left", "right")
"""What the pad sends for digits while NumLock is off; there is nothing to move in a field."""

_NEVER_TYPED = ("escape", "f1", "ctrl+u")

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
    def entry(self) -> str:
        """What is typed so far."""
        return self._entry

    def understood(self) -> str:
        """Say how a number is understood that is typed so far, with its unit; empty: as it is."""
        return ""

    @property
    def digits_choose(self) -> bool:
        """Whether a digit chooses a line: not while it is typed."""
        return self.field is None and super().digits_choose

    def keys_shown(self) -> tuple[Key, ...]:
        """Show none that would be typed, and each by a name that is not."""
        keys = self.keys_now()
        if self.field is None:
            return keys
        left = tuple(one for key in keys if (one := self._not_typed(key)) is not None)
        return (left[0], STRIKE_OUT, *left[1:]) if self._entry and self.field != "words" else left

    def _not_typed(self, key: Key) -> Key | None:
        """Give a key with what is left of its names while a field is open; None: nothing is."""
        pads: tuple[Role, ...] = ("also", "on") if self._entry else ("also", "on", "back")
        goes = {name for role in pads for name in PAD[role].names}
        asks_help = not self._entry or self.field != "words"
        left = [
            one
            for one in key.names
            if one in goes or one in _NEVER_TYPED or (one == "question_mark" and asks_help)
        ]
        if not left:
            return None
        label = {"escape": "Esc", "f1": "F1"}.get(left[0])
        return key._replace(label=label) if label and left != [*key.names] else key

    def also(self) -> tuple[Key, ...]:
        """Give what the list has: in a field first what the pad has no other key for."""
        return (*((STRIKE_OUT,) if self.field is not None else ()), *super().also())

    def keys_of_use(self) -> tuple[Key, ...]:
        """Give those that do something: a field with something in it can be emptied."""
        return (*((STRIKE_OUT,) if self._entry else ()), *super().keys_of_use())

    def do_strike_out(self) -> None:
        """Empty the field."""
        self.clear_field()

    def clear_field(self) -> None:
        """Empty the field for what is asked next."""
        self._entry, self._refused = "", False

    def pressed(self, event: events.Key) -> None:
        """Type into the field; hand other keys on."""
        if self.two_at_once(event):
            return
        sort = self.field
        if sort is not None and event.key in _NO_DIGITS:
            self.refuse(NUMLOCK)
            return
        if sort is not None and self.typed_key(event, sort):
            self._notice = ()
            if REPLACED in self._entry:
                self.say(NOT_UTF8)
            self.repaint()
            return
        super().pressed(event)

    def only_leads(self, key: str) -> bool:
        """Tell so of none: what goes back here takes an answer back, or is typed."""
        return False

    def came_at_once(self, keys: Sequence[events.Key], *, has_led: bool = False) -> None:
        """Type what came at once, to the end of its line; the rest of it is for nobody."""
        if has_led or self.field is None:
            super().came_at_once(keys, has_led=has_led)
            return
        ends = next((at for at, key in enumerate(keys) if key.key in ENTER), len(keys))
        if self.field != "words" and MOST_STRUCK <= ends < len(keys) and not self.is_free():
            return
        for key in keys[: ends + 1]:
            self.on_key(key)
        rest = [key for key in keys[ends + 1 :] if key.key not in ENTER]
        top = self.app.screen
        if rest and isinstance(top, KeyedScreen):
            top.came_at_once(keys[ends + 1 :])

    def is_free(self) -> bool:
        """Make the field ready for a reading as a whole; False, and why, where that cannot be.

        Behind what a hand typed it would be another number.
        """
        if self.is_hasty():
            return False
        if self._entry and not self._refused:
            self.refuse(f"a gauge typed behind {said(self._entry)}: // strikes that out")
            return False
        self.clear_field()
        return True

    def typed_key(self, event: events.Key, sort: FieldSort) -> bool:
        """Take a key into the field; False when it is not meant for it."""
        char = "-" if event.key in MINUS else event.character  # the pad's minus may have none
        if sort != "words" and char == "-" and self.bounced:
            return True  # the second one would go back
        before = self._entry
        if sort != "words" and self._refused and char and char in "0123456789.-":
            before = ""  # it begins anew; a unit is put behind it
        at_once = self.board.monotonic() - self.board.last_key[1] < BURST
        entry = edited(before, event.key, char, sort, at_once=at_once)
        if entry is None:
            return False
        if entry == self._entry and event.key not in ("backspace", "delete"):
            self.app.bell()
        self._entry, self._refused = entry, False
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Take the first line of a pasted text."""
        sort = self.field
        if sort is not None:
            self._entry = pasted(self._entry, event.text, sort)
            self.repaint()
