"""What else can be done: the list behind `*`, so that the number pad reaches every key."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.hits import hit
from shopboard.board.keys import BACK, DOWN, MORE, OPEN, UP, Key
from shopboard.board.nines import digit_of
from shopboard.board.paint import Line, clip, fit
from shopboard.board.screens.keyed import KeyedScreen, actions, on_the_pad
from shopboard.board.screens.listed import ListScreen


class AlsoScreen(ListScreen):
    """The other keys of the screen below, each with a line; a line keeps its number."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK)

    def __init__(self, below: KeyedScreen) -> None:
        """List what can be done on the screen below.

        A letter keeps its line also while it has nothing to do; what the pad has a key for
        stands behind the letters, and only if it does something here.
        """
        super().__init__()
        self._below = below
        self._of_use = actions(below.keys_of_use())
        self._listed = [
            one for one in below.also() if not on_the_pad(one) or one.action in self._of_use
        ]

    def heading(self) -> str:
        """Say what it is about."""
        return f"What else: {self._below.heading()}"

    def rows(self) -> int:
        """Count the lines."""
        return len(self._listed)

    def standing_notice(self) -> Line:
        """Say nothing: there may be no shop yet."""
        return ()

    def body(self, width: int, room: int) -> list[Line]:
        """List them; what has nothing to do just now keeps its line, dim."""
        self.settle()
        lines: list[Line] = [()]
        for number, key in enumerate(self._listed):
            here = number == self._cursor
            digit = digit_of(number, self._cursor)
            idle = key.action not in self._of_use
            words = f"{key.help}{' Not now.' if idle else ''}"
            style = "bar" if here else "dim" if idle else ""
            at: Line = ((f" {'►' if here else ' '}{digit or ' '} ", "bar" if here else "key"),)
            name = key.label.partition(" ")[0]
            row: Line = (*at, (f" {name:>5}  ", style), (clip(words, width - 14), style))
            row = fit(row, width, style if here else "")
            lines.append(hit(row, digit or f"#{number}"))
        first = max(0, self._cursor + 2 - room)
        return lines[first : first + room]

    def choose(self, line: int) -> None:
        """Do it, on the screen below."""
        key = self._listed[line]
        if key.action not in self._of_use:
            self.refuse("nothing to do there just now")
            return
        self.app.pop_screen()
        self._below.call_later(self._below.does, key.action)  # once it is on top again

    def do_also(self) -> None:
        """Leave by the key that came here."""
        self.do_back()
