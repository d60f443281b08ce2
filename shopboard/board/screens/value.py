"""Asks for the value of one setting of the shop file, and leads on to the lines that it changes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import ClassVar

from textual import events

from shopboard.board import doors
from shopboard.board.amount import completed, is_amount, one_step
from shopboard.board.edit_view import Answering, asked_lines
from shopboard.board.edit_words import explained_key
from shopboard.board.field import FieldSort
from shopboard.board.keys import BACK, DOWN, GO_ON, HELP, MINUS, MORE, UP, Key
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.shop.problems import ShopFileError
from shopboard.shop.what_for.on_screen import on_screen
from shopboard.writing.by_name import choices
from shopboard.writing.edits import at_path, stands
from shopboard.writing.offers import Offer, offer
from shopboard.writing.opened import OpenedFile
from shopboard.writing.order import names_of
from shopboard.writing.spelling import BETWEEN
from shopboard.writing.things import Thing
from shopboard.writing.wishes import NotMeantError, settings_as

_DAY = re.compile(r"\d{4}-\d\d-\d\d")


class ValueScreen(TypingScreen):
    """A field, or the only values that may stand there; what they are for stands above."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, MORE, UP, DOWN, BACK, HELP)

    def keys_now(self) -> tuple[Key, ...]:
        """Show the keys of a list only where there is one, and none that would be typed."""
        if self.field is not None:
            return tuple(key for key in self.keys if key not in (MORE, UP, DOWN))
        return without_more(self.keys, len(self._offer.options) if self._offer else 0)

    def __init__(self, file: OpenedFile, thing: Thing, name: str) -> None:
        """Ask for a setting.

        Args:
            file: as it was read.
            thing: what it is of.
            name: its key; of a table below with a dot.
        """
        super().__init__()
        self._file, self._thing, self._setting = file, thing, name
        self._ticked: frozenset[str] = frozenset()
        self._offer: Offer | None = None
        self._there: list[str] = []
        self._fresh = True
        """Nothing is typed yet: a digit begins anew."""

    def on_mount(self) -> None:
        """Ask, as soon as the shop is known."""
        self.begin()

    def begin(self) -> None:
        """Begin with what stands there now."""
        found = offer(names_of(self._thing.path), self._setting, self.open_shop.shop.unit)
        named = choices(self._file.data, self._thing, self._setting)
        self.ask(self._setting, by_name(found, tuple(named)), self._values())

    def ask(self, name: str, found: Offer | None, there: list[str]) -> None:
        """Ask for a setting.

        Args:
            name: its key.
            found: what is asked for; None: nothing that can be typed.
            there: the values that the answer begins with.
        """
        if found is not None and found.key == self.word(name):
            found = found._replace(key="")  # it needs not be told twice
        self._setting, self._offer, self._there = name, found, there
        self._fresh = True
        self._entry, self._refused = f"{BETWEEN} ".join(there), False
        self._ticked, self._cursor = frozenset(there), 0
        if found is not None and there:
            values = [one for one, _ in found.options]
            self._cursor = values.index(there[0]) if there[0] in values else 0

    def explained(self) -> list[str]:
        """Explain the setting, as `shopboard explain` does."""
        return explained_key(names_of(self._thing.path), self._setting)

    def _values(self) -> list[str]:
        """Give what stands there, as it is typed."""
        path = (*self._thing.path, *self._setting.split("."))
        there = at_path(self._file.data, path) if stands(self._file.data, path) else []
        return [_typed(one) for one in (there if isinstance(there, list) else [there])]

    def heading(self) -> str:
        """Say which setting of what."""
        return f"{self._file.title(self._thing)}: {self.word(self._setting)}"

    def word(self, key: str) -> str:
        """Say what a setting is called."""
        return on_screen(names_of(self._thing.path), key)

    @property
    def field(self) -> FieldSort | None:
        """A number or words, where not one of a few values is chosen."""
        if self._offer is not None and self._offer.options:
            return None
        if self._offer is not None and _DAY.fullmatch(self._offer.example):
            return "day"
        return "number" if self._amount else "words"

    @property
    def _amount(self) -> str:
        """The number with its unit that stands there, or that would do; empty: it is none."""
        example = self._offer.example if self._offer is not None else ""
        there = self._there[0] if len(self._there) == 1 else "" if self._there else example
        return there if is_amount(there) and is_amount(example.partition(BETWEEN)[0]) else ""

    def typed_key(self, event: events.Key, sort: FieldSort) -> bool:
        """Take a key into the field: a number begins anew, + and - step what stands there."""
        char = "-" if event.key in MINUS else event.character or ""
        fresh, self._fresh = self._fresh, self._fresh and char in "+-"
        if sort == "number":
            made = one_step(self._entry, char) if char and char in "+-" else None
            if made is not None:
                self._entry, self._refused = made, False
                return True
        if sort != "words" and fresh and (char.isdigit() or char == "."):
            self._entry = ""
        return super().typed_key(event, sort)

    def told(self) -> Sequence[str]:
        """Give what it is for, and what may stand there."""
        if self._offer is None:
            return ()
        allowed = () if self._offer.options else (f"Allowed: {self._offer.allowed}.",)
        return (self._offer.words, *allowed)

    def body(self, width: int, room: int) -> list[Line]:
        """Ask."""
        if self._offer is None:
            return [(), (("  Change this with an editor.", ""),)]
        meant = completed(self._entry, self._amount) if self._amount else ""
        beside = f"= {meant}" if meant not in ("", self._entry.strip()) else ""
        asked = Answering(self._entry, beside, self._ticked, self._cursor)
        now = f"{BETWEEN} ".join(self._there)
        return asked_lines(self._offer, asked, now, (width, room))

    def do_digit(self, number: int) -> None:
        """Choose a value, or tick it."""
        options = self._offer.options if self._offer else ()
        line = line_of(number, self._cursor)
        if line >= len(options):
            self.refuse("there is no such line")
            return
        self._cursor = line
        if self._offer is not None and self._offer.several:
            self._ticked ^= {options[line][0]}
        else:
            self.set_to([options[line][0]])

    def do_more(self) -> None:
        """Give the digits to the next nine."""
        self._cursor = next_nine(self._cursor, len(self._offer.options) if self._offer else 0)

    def do_down(self) -> None:
        """Move down."""
        last = len(self._offer.options) - 1 if self._offer else 0
        self._cursor = min(self._cursor + 1, max(last, 0))

    def do_go_on(self) -> None:
        """Take what is typed, ticked or under the cursor."""
        if self._offer is None:
            return
        values = [one for one, _ in self._offer.options]
        if values and self._offer.several:
            self.set_to([one for one in values if one in self._ticked])
        elif values:
            self.set_to([values[self._cursor]])
        elif self._offer.several and not (self._amount and BETWEEN not in self._entry):
            self.set_to([one.strip() for one in self._entry.split(BETWEEN) if one.strip()])
        elif self._entry.strip():
            self.set_to([completed(self._entry, self._amount)])
        else:
            self.set_to([])

    def set_to(self, words: list[str]) -> None:
        """Make the change, and show it before it is saved."""
        if not words:
            self.refuse("nothing is typed; to leave it out, press / in the list before")
            return
        try:
            wish = settings_as(self._file.data, self._thing, {self._setting: words})
            result = self._file.changed(self._thing, wish)
        except (NotMeantError, ShopFileError) as error:
            self._refused = True
            self.refuse(str(error).splitlines()[0])
            return
        if not result.new.lines:
            self.say("It says so already.")
            return
        self.app.push_screen(doors.ChangedScreen(self._file, result, leaves=1))


def by_name(found: Offer | None, named: tuple[tuple[str, str], ...]) -> Offer | None:
    """Offer what can be meant where an id belongs, so that none has to be typed."""
    return found._replace(options=named) if found is not None and named else found


def _typed(value: object) -> str:
    """Give a value as it is typed."""
    if isinstance(value, bool):
        return str(value).lower()
    return str(value)
