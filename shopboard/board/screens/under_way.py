"""What is under way, where that is several things: one is chosen to be gone on with."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.under_way import under_way_lines
from shopboard.board.ways_in import go_on_with
from shopboard.up_next.under_way import all_under_way


class UnderWayScreen(ListScreen):
    """Changes of cutter, checks and tasks that were begun."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK, HELP)

    def heading(self) -> str:
        """Say what is listed."""
        return "In progress"

    def rows(self) -> int:
        """Count them."""
        return len(all_under_way(self.open_shop))

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        return under_way_lines(all_under_way(self.open_shop), self.settle(), (width, room))

    def machine_here(self) -> str:
        """It is that of the line under the cursor."""
        found = all_under_way(self.open_shop)
        return found[self._cursor].machine if self._cursor < len(found) else ""

    def choose(self, line: int) -> None:
        """Go on with one."""
        go_on_with(self, all_under_way(self.open_shop)[line])
