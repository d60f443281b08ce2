"""A list with a cursor, whose lines have digits."""

from __future__ import annotations

from collections.abc import Iterator

from shopboard.board.keys import Key
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.notice import board_notice
from shopboard.board.paint import Line
from shopboard.board.screens.sliced import SlicedScreen


class ListScreen(SlicedScreen):
    """A list with a cursor, whose lines have digits."""

    def rows(self) -> int:
        """Count the lines."""
        raise NotImplementedError

    def pieces(self) -> Iterator[None]:
        """Work out nothing."""
        return iter(())

    def choose(self, line: int) -> None:
        """Open what a line is about."""
        raise NotImplementedError

    def settle(self) -> int:
        """Keep the cursor on a line that is there."""
        self._cursor = max(0, min(self._cursor, self.rows() - 1))
        return self._cursor

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def do_down(self) -> None:
        """Move down."""
        self._cursor += 1
        self.settle()

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for more lines only where there are more, and none where there is none."""
        rows = self.rows()
        return tuple(one for one in without_more(self.keys, rows) if rows or one.role != "on")

    def do_more(self) -> None:
        """Number the next nine lines."""
        self._cursor = next_nine(self._cursor, self.rows())

    def do_digit(self, number: int) -> None:
        """Open the line with that digit."""
        line = line_of(number, self._cursor)
        if line >= self.rows():
            self.refuse("there is no such line")
            return
        self._cursor = line
        self.choose(line)

    def do_open(self) -> None:
        """Open the line under the cursor."""
        if self.settle() < self.rows():
            self.choose(self._cursor)
